//! What the logs say, in words.

use super::columns::{Missing, Role};
use super::compare::{Finding, SignalFinding};
use super::read::Refused;

fn tenths(k: f64) -> String {
    // Nothing is minus nothing.
    let text = format!("{k:.1}");
    match text.strip_prefix('-') {
        Some("0.0") => "0.0".to_owned(),
        Some(rest) => ["\u{2212}", rest].concat(),
        None => text,
    }
}

/// How degrees are written: of a scale, and between two temperatures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// °F instead of °C.
    pub fahrenheit: bool,
}

impl Scale {
    /// A temperature.
    pub fn at(self, celsius: f64) -> String {
        let value = if self.fahrenheit {
            celsius * 1.8 + 32.0
        } else {
            celsius
        };
        [&tenths(value), self.sign()].concat()
    }

    /// A difference.
    pub fn by(self, k: f64) -> String {
        [
            &tenths(if self.fahrenheit { k * 1.8 } else { k }),
            self.sign(),
        ]
        .concat()
    }

    const fn sign(self) -> &'static str {
        if self.fahrenheit {
            "\u{a0}°F"
        } else {
            "\u{a0}°C"
        }
    }
}

fn name(role: &str) -> &'static str {
    match role {
        "time" => "time",
        "coolant" => "Coolant",
        "oil" => "Oil",
        "intake" => "Intake air",
        "ambient" => "ambient",
        "speed" => "speed",
        _ => "load",
    }
}

/// Why a file says nothing.
pub fn refused(file: &str, why: &Refused) -> String {
    let why = match why {
        Refused::Empty => "it is empty".to_owned(),
        Refused::NoTime => "no row has a time".to_owned(),
        Refused::Lacks(Missing::Heading(heading)) => {
            ["no column is called \u{201c}", heading, "\u{201d}"].concat()
        }
        Refused::Lacks(Missing::Role(Role::Time)) => {
            "no column for time was found; name it".to_owned()
        }
        Refused::Lacks(Missing::Role(_)) => {
            "no column for a temperature (coolant, oil or intake) was found; name it".to_owned()
        }
    };
    [file, ": ", &why, "."].concat()
}

/// How each file was understood.
pub fn files(found: &Finding) -> Vec<String> {
    let line = |f: &super::compare::FileFinding| {
        let columns = f.columns.iter().map(|(role, heading, unit, guessed)| {
            let sure = if *guessed { ", guessed" } else { "" };
            if *role == "time" {
                return format!("time from \u{201c}{heading}\u{201d}");
            }
            format!(
                "{} from \u{201c}{heading}\u{201d} ({unit}{sure})",
                name(role).to_lowercase()
            )
        });
        let side = if f.after { "after" } else { "before" };
        let columns: Vec<String> = columns.collect();
        let skipped = match f.skipped {
            0 => String::new(),
            n => format!(", {n} without a time left out"),
        };
        format!(
            "{} ({side}): {} rows{skipped}, drives: {}, steady blocks: {}. {}.",
            f.name,
            f.rows,
            f.drives,
            f.blocks,
            columns.join(", ")
        )
    };
    found.files.iter().map(line).collect()
}

/// What a signal comes to.
pub fn verdict(s: &SignalFinding, scale: Scale) -> String {
    let k = s.difference_k.unwrap_or(0.0);
    let half = s.plus_minus_k.unwrap_or(0.0);
    let kind = match s.behaves {
        "held" => ", where the thermostat holds it",
        "free" => ", above full open",
        _ => "",
    };
    let subject = [name(s.signal), kind, ": "].concat();
    let by = scale.by(k.abs());
    let way = if k < 0.0 { "cooler" } else { "warmer" };
    let range = format!(
        "from {} to {}",
        scale.by((k.abs() - half).max(0.0)),
        scale.by(k.abs() + half)
    );
    let open = format!("from {} to {}", scale.by(k - half), scale.by(k + half));
    let (before, after) = s.drives;
    let text = match s.verdict {
        "cooler" | "warmer" => format!("{way} by {by}, {range}"),
        "none_seen" => format!("no difference seen; the drives allow {open}"),
        "cannot_tell" => format!("can\u{2019}t tell yet: the drives vary too much, {open}"),
        "air_differed" => "can\u{2019}t tell: as it stands it says one thing, as a rise above ambient another. Enter the thermostat, or drive in the same weather".to_owned(),
        "air_apart" => {
            let [b, a] = s.ambient_c;
            format!(
                "can\u{2019}t tell: ambient was {} to {} before and {} to {} after, which barely overlap",
                scale.at(b.0), scale.at(b.1), scale.at(a.0), scale.at(a.1)
            )
        }
        "two_drives" => format!("these two drives differ: after it was {by} {way}. One drive each says nothing of the change"),
        "few_drives" => format!("{by} {way} over {before} and {after} drives: it takes three of each to tell"),
        "planned" => format!("the verdict comes when the planned drives are in; so far {before} and {after}"),
        _ => "no steady stretch of both sides".to_owned(),
    };
    [&subject, &text, "."].concat()
}

/// What else there is to know.
pub fn notes(found: &Finding) -> Vec<String> {
    let mut list = Vec::new();
    if found.no_ambient {
        list.push(
            "Not every log has a column for ambient: without it nothing can be compared."
                .to_owned(),
        );
    }
    if found.not_steady {
        list.push("There is no column for speed or load, so whole drives count as steady: blocks may mix idling and hard driving.".to_owned());
    }
    if let Some(by) = found.speed_differs {
        let way = if by < 0.0 { "slower" } else { "faster" };
        list.push(format!("The steady stretches after are {:.0}\u{a0}km/h {way}: that alone can make a difference.", by.abs()));
    }
    if let Some(by) = found.load_differs {
        let way = if by < 0.0 { "lower" } else { "higher" };
        list.push(format!("Load in the steady stretches after is {:.0} points {way}: that alone can make a difference.", by.abs()));
    }
    if found.standing > 0 {
        list.push(format!(
            "Blocks of a standing engine are left out: {}.",
            found.standing
        ));
    }
    list
}

/// While logs of one side are there.
pub const ONE_SIDE: &str = "Choose logs of the other side as well.";

/// A drive over time, in words.
pub fn course(file: &str, after: bool, blocks: usize) -> String {
    let side = if after { "after" } else { "before" };
    format!("{file}, {side}, over time. Steady blocks, marked below: {blocks}")
}

/// A signal over ambient, in words.
pub fn over_ambient(s: &SignalFinding) -> String {
    let lines = if s.slope.is_some() {
        ", with a line for each"
    } else {
        ""
    };
    format!(
        "{} over ambient, a dot a drive: before \u{25cb}, after \u{25cf}{lines}",
        name(s.signal)
    )
}
