//! `compare BEFORE.csv AFTER.csv`: logs of drives before and after a change.

use std::io::Read as _;
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, Result, ensure};
use lexopt::prelude::*;
use pourcard::engine::after::held::{OPENING_K, Side as At, Thermostat, Thermostats};
use pourcard::engine::after::survey::ACCURACY_K;
use pourcard::engine::log::steady::Steady;
use pourcard::job::log::{
    columns::{Role, Said, Unit},
    compare::{Settings, Side, compare},
    read::Log,
    words::{self, Scale},
};

use crate::text;

/// What was found on standard output. Exit code 2 where a log was refused.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    let mut files: Vec<(PathBuf, bool)> = Vec::new();
    let (mut after, mut sided, mut json, mut fahrenheit) = (false, false, false, false);
    let mut said = Said::default();
    let (mut opens, mut full_open, mut opens_after, mut full_open_after) = (None, None, None, None);
    let (mut accuracy_k, mut planned) = (ACCURACY_K, None);
    while let Some(arg) = args.next()? {
        match arg {
            Value(path) => files.push((PathBuf::from(path), after)),
            Long("after") => (after, sided) = (true, true),
            Long("before") => (after, sided) = (false, true),
            Long("json") => json = true,
            Long("fahrenheit") => fahrenheit = true,
            Long("column") => {
                let (role, heading) = pair(&args.value()?.string()?)?;
                said.columns.push((role, heading));
            }
            Long("unit") => {
                let (role, unit) = pair(&args.value()?.string()?)?;
                let found = role.units().iter().find(|u| u.text() == unit);
                let all: Vec<&str> = role.units().iter().map(|u| Unit::text(*u)).collect();
                let found =
                    found.with_context(|| format!("{unit:?} is none of {}", all.join(", ")))?;
                said.units.push((role, *found));
            }
            Long("opens") => opens = Some(args.value()?.parse::<f64>()?),
            Long("full-open") => full_open = Some(args.value()?.parse::<f64>()?),
            Long("opens-after") => opens_after = Some(args.value()?.parse::<f64>()?),
            Long("full-open-after") => full_open_after = Some(args.value()?.parse::<f64>()?),
            Long("accuracy") => accuracy_k = args.value()?.parse::<f64>()?,
            Long("planned") => planned = Some(args.value()?.parse::<u32>()?),
            other => return Err(other.unexpected().into()),
        }
    }
    if !sided && files.len() == 2 {
        files[1].1 = true;
    }
    ensure!(
        files.iter().any(|f| f.1) && files.iter().any(|f| !f.1),
        "compare needs logs of both sides: `cargo xtask compare BEFORE.csv AFTER.csv`, or several: `… compare A.csv B.csv --after C.csv D.csv`"
    );
    let thermostat = |opens: Option<f64>, full: Option<f64>| {
        opens.map(|opens_c| Thermostat {
            opens_c,
            full_open_c: full.unwrap_or(opens_c + OPENING_K),
            side: At::Outlet,
        })
    };
    let first = thermostat(opens, full_open);
    let settings = Settings {
        accuracy_k,
        planned,
        thermostats: Thermostats {
            before: first,
            after: thermostat(opens_after, full_open_after).or(first),
        },
    };
    let mut sides = Vec::new();
    for (path, after) in files {
        let name = path.display().to_string();
        let mut file = std::fs::File::open(&path).with_context(|| format!("reading {name}"))?;
        let mut log = Log::new(said.clone(), Steady::default());
        let mut piece = vec![0; 1 << 16];
        loop {
            let n = file
                .read(&mut piece)
                .with_context(|| format!("reading {name}"))?;
            if n == 0 {
                break;
            }
            log.feed(&piece[..n]);
        }
        match log.end() {
            Ok(read) => sides.push(Side { name, after, read }),
            Err(why) => return Ok(text::refuse("compare", &words::refused(&name, &why))),
        }
    }
    let found = compare(&sides, &settings);
    if json {
        text::print(&(serde_json::to_string_pretty(&found)? + "\n"))?;
        return Ok(ExitCode::SUCCESS);
    }
    let scale = Scale { fahrenheit };
    let mut lines = words::files(&found);
    lines.extend(found.signals.iter().map(|s| words::verdict(s, scale)));
    lines.extend(words::notes(&found));
    text::print(&text::shown(&(lines.join("\n") + "\n")))?;
    Ok(ExitCode::SUCCESS)
}

/// "coolant=Engine temp".
fn pair(text: &str) -> Result<(Role, String)> {
    let (role, value) = text
        .split_once('=')
        .with_context(|| format!("{text:?} is not of the form coolant=…"))?;
    let all: Vec<&str> = Role::ALL.iter().map(|r| Role::text(*r)).collect();
    let found = Role::ALL.iter().find(|r| r.text() == role);
    let found = found.with_context(|| format!("{role:?} is none of {}", all.join(", ")))?;
    Ok((*found, value.to_owned()))
}
