//! The steps of `test`: each taken, timed, and told of in one line; what it said is shown where it failed.
//!
//! A step that fails does not stop the ones that can still say something; one that needs a failed step fails as well.
//! How long each took is kept in the target folder, to be told next time.

use std::collections::BTreeMap;
use std::fs;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, anyhow};

use crate::project::{logged, say, scratch};

/// Of a failed step's words so many lines are shown; all of them stay in its log.
const SHOWN: usize = 200;

/// How a step ended.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Outcome {
    Passed,
    Failed,
    Skipped,
}

impl Outcome {
    fn word(self) -> &'static str {
        match self {
            Self::Passed => "passed",
            Self::Failed => "FAILED",
            Self::Skipped => "skipped",
        }
    }
}

/// The steps taken so far.
pub struct Steps {
    begun: Instant,
    logs: PathBuf,
    times: PathBuf,
    /// Seconds each took when it last passed.
    last: BTreeMap<String, f64>,
    taken: Vec<(&'static str, Duration, Outcome)>,
}

/// A step under way beside the others.
pub struct Begun<T> {
    name: &'static str,
    thread: JoinHandle<Ended<T>>,
}

struct Ended<T> {
    made: Result<T>,
    took: Duration,
}

impl Steps {
    /// None yet.
    ///
    /// # Errors
    /// When the folder for the logs cannot be made.
    pub fn new() -> Result<Self> {
        let logs = scratch("log")?;
        fs::create_dir_all(&logs).with_context(|| format!("making {}", logs.display()))?;
        let times = scratch("times.json")?;
        // Only a convenience: whatever is wrong with it, it is written anew.
        let last = fs::read(&times)
            .ok()
            .and_then(|text| serde_json::from_slice(&text).ok())
            .unwrap_or_default();
        Ok(Self {
            begun: Instant::now(),
            logs,
            times,
            last,
            taken: Vec::new(),
        })
    }

    /// Take one step and hand on what it made; `None` where it failed.
    pub fn take<T>(&mut self, name: &'static str, step: impl FnOnce() -> Result<T>) -> Option<T> {
        self.announce(name);
        let ended = taken(&self.log(name), step);
        self.end(name, ended)
    }

    /// Begin a step that goes on beside the next ones.
    pub fn begin<T: Send + 'static>(
        &self,
        name: &'static str,
        step: impl FnOnce() -> Result<T> + Send + 'static,
    ) -> Begun<T> {
        let log = self.log(name);
        Begun {
            name,
            thread: std::thread::spawn(move || taken(&log, step)),
        }
    }

    /// Wait for a step that was begun.
    pub fn join<T>(&mut self, Begun { name, thread }: Begun<T>) -> Option<T> {
        self.announce(name);
        let ended = thread.join().unwrap_or_else(|_| Ended {
            made: Err(anyhow!("the step broke off")),
            took: Duration::ZERO,
        });
        self.end(name, ended)
    }

    /// A step this machine cannot take, and why.
    pub fn leave_out(&mut self, name: &'static str, why: &str) {
        say(&format!("{name}: skipped: {why}"));
        self.taken.push((name, Duration::ZERO, Outcome::Skipped));
    }

    fn log(&self, name: &str) -> PathBuf {
        self.logs.join(name.replace(' ', "-")).with_extension("txt")
    }

    /// On a terminal, where the line is written over when the step ends.
    fn announce(&self, name: &str) {
        let last = match self.last.get(name) {
            Some(seconds) => format!(" ({seconds:.0} s last time)"),
            None => String::new(),
        };
        let mut out = std::io::stdout();
        let end = if out.is_terminal() { "\r" } else { "\n" };
        let _ = write!(out, "{name} …{last}{end}").and_then(|()| out.flush());
    }

    fn end<T>(&mut self, name: &'static str, Ended { made, took }: Ended<T>) -> Option<T> {
        let outcome = if made.is_ok() {
            Outcome::Passed
        } else {
            Outcome::Failed
        };
        let clear = if std::io::stdout().is_terminal() {
            "\x1b[2K"
        } else {
            ""
        };
        let seconds = took.as_secs_f64();
        say(&format!(
            "{clear}{name}: {} in {seconds:.1} s",
            outcome.word()
        ));
        match &made {
            Ok(_) => {
                self.last
                    .insert(name.to_owned(), (seconds * 10.0).round() / 10.0);
                let _ = serde_json::to_vec_pretty(&self.last)
                    .map_err(Into::into)
                    .and_then(|text| fs::write(&self.times, text));
            }
            Err(error) => {
                let log = self.log(name);
                say(&last_lines(&log));
                say(&format!(
                    "{name}: {error:#}\n(all of it: {})",
                    log.display()
                ));
            }
        }
        self.taken.push((name, took, outcome));
        made.ok()
    }

    /// The table, and whether all is well.
    pub fn sum_up(&self) -> ExitCode {
        say("");
        for (name, took, outcome) in &self.taken {
            let seconds = took.as_secs_f64();
            say(&format!("{seconds:>8.1} s  {:<7}  {name}", outcome.word()));
        }
        let all = self.begun.elapsed().as_secs_f64();
        say(&format!("{all:>8.1} s  from first to last"));
        let count = |wanted| self.taken.iter().filter(|step| step.2 == wanted).count();
        let (failed, skipped) = (count(Outcome::Failed), count(Outcome::Skipped));
        let skipped = match skipped {
            0 => String::new(),
            n => format!(", {n} skipped"),
        };
        say(&format!(
            "{} passed, {failed} failed{skipped}",
            count(Outcome::Passed)
        ));
        if failed == 0 {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        }
    }
}

fn taken<T>(log: &Path, step: impl FnOnce() -> Result<T>) -> Ended<T> {
    let begun = Instant::now();
    let made = logged(log, step).and_then(|made| made);
    Ended {
        made,
        took: begun.elapsed(),
    }
}

fn last_lines(log: &Path) -> String {
    let text = fs::read(log).unwrap_or_default();
    let text = String::from_utf8_lossy(&text);
    let lines: Vec<_> = text.lines().collect();
    lines[lines.len().saturating_sub(SHOWN)..].join("\n")
}
