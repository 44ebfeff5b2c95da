//! The reader in the background: files in pieces, and what they say in words and pictures.

use super::{LogChart, LogPath, LogsView, Order, received, sent};
use crate::app::choice::{Choice, System};
use crate::engine::{
    after::{
        held::{OPENING_K, Side as At, Thermostat, Thermostats},
        survey::ACCURACY_K,
    },
    log::steady::Steady,
};
use crate::job::log::{
    columns::Said,
    compare::{Finding, Settings, Side, compare},
    read::{Drive, Log},
    words::{self, Scale},
};

/// Drives whose course is drawn.
const DRAWN: usize = 12;

/// Logs being read.
#[derive(Debug, Default)]
pub struct Reader {
    order: Option<Order>,
    sides: Vec<Side>,
    refused: Vec<String>,
    open: Option<(String, bool, Log)>,
}

impl Reader {
    /// For an order of the page's.
    pub fn new(order: &str) -> Self {
        Self {
            order: received(order),
            ..Self::default()
        }
    }

    /// Begins a file.
    pub fn begin(&mut self, name: String, after: bool) {
        self.open = Some((name, after, Log::new(Said::default(), Steady::default())));
    }

    /// Takes its next piece.
    pub fn feed(&mut self, piece: &[u8]) {
        if let Some((_, _, log)) = &mut self.open {
            log.feed(piece);
        }
    }

    /// Ends it.
    pub fn end(&mut self) {
        let Some((name, after, log)) = self.open.take() else {
            return;
        };
        match log.end() {
            Ok(read) => self.sides.push(Side { name, after, read }),
            Err(why) => self.refused.push(words::refused(&name, &why)),
        }
    }

    /// What they say, for the page.
    pub fn told(&self) -> String {
        sent(&self.view())
    }

    fn view(&self) -> LogsView {
        let order = self.order.as_ref();
        let of = |f: fn(&Order) -> Option<f64>| order.and_then(f);
        let thermostat = |opens: Option<f64>, full: Option<f64>| {
            opens.map(|opens_c| Thermostat {
                opens_c,
                full_open_c: full.unwrap_or(opens_c + OPENING_K).max(opens_c),
                side: At::Outlet,
            })
        };
        let first = thermostat(of(|o| o.opens), of(|o| o.full_open));
        let settings = Settings {
            accuracy_k: of(|o| o.accuracy).unwrap_or(ACCURACY_K),
            planned: of(|o| o.planned)
                .filter(|n| *n >= 3.0)
                .map(|n| n.ceil() as u32),
            thermostats: Thermostats {
                before: first,
                after: thermostat(of(|o| o.opens_after), of(|o| o.full_open_after)).or(first),
            },
        };
        let scale = Scale {
            fahrenheit: order.and_then(|o| System::from_code(&o.system)) == Some(System::Us),
        };
        let found = compare(&self.sides, &settings);
        let both = found.files.iter().any(|f| f.after) && found.files.iter().any(|f| !f.after);
        let mut files = self.refused.clone();
        files.extend(words::files(&found));
        let mut charts = over_ambient(&found, scale);
        charts.extend(self.over_time(scale));
        LogsView {
            verdicts: if both {
                found
                    .signals
                    .iter()
                    .map(|s| words::verdict(s, scale))
                    .collect()
            } else {
                vec![words::ONE_SIDE.to_owned()]
            },
            notes: if both {
                words::notes(&found)
            } else {
                Vec::new()
            },
            files,
            charts,
        }
    }

    /// Each drive over time, its steady blocks marked below.
    fn over_time(&self, scale: Scale) -> Vec<LogChart> {
        let drives = self
            .sides
            .iter()
            .flat_map(|s| s.read.drives.iter().map(move |d| (s, d)));
        drives
            .take(DRAWN)
            .filter_map(|(s, d)| course(s, d, scale))
            .collect()
    }
}

/// A frame: figures across and up, to 340 by 130.
struct Frame {
    x: (f64, f64),
    y: (f64, f64),
}

impl Frame {
    fn of(points: &[(f64, f64)]) -> Self {
        let range = |of: fn(&(f64, f64)) -> f64| {
            let all = points.iter().map(of);
            let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
                (l.min(v), h.max(v))
            });
            (low, if high - low < 1.0 { low + 1.0 } else { high })
        };
        Self {
            x: range(|p| p.0),
            y: range(|p| p.1),
        }
    }

    fn across(&self, x: f64) -> i32 {
        (50.0 + (x - self.x.0) / (self.x.1 - self.x.0) * 280.0).round() as i32
    }

    fn down(&self, y: f64) -> i32 {
        (100.0 - (y - self.y.0) / (self.y.1 - self.y.0) * 90.0).round() as i32
    }

    fn axes() -> LogPath {
        path("axis", "M44 6V106H334".to_owned())
    }
}

fn path(class: &str, course: String) -> LogPath {
    LogPath {
        class: class.to_owned(),
        course,
    }
}

fn course(side: &Side, drive: &Drive, scale: Scale) -> Option<LogChart> {
    if drive.points.len() < 2 {
        return None;
    }
    let frame = Frame::of(&drive.points);
    let mut line = String::new();
    for (i, p) in drive.points.iter().enumerate() {
        let letter = if i == 0 { 'M' } else { 'L' };
        line += &format!("{letter}{} {}", frame.across(p.0), frame.down(p.1));
    }
    let mut paths = vec![Frame::axes(), path("course", line)];
    for b in &drive.blocks {
        let (from, to) = (frame.across(b.from), frame.across(b.to));
        paths.push(path("sure", format!("M{from} 103v6m0 -3H{to}m0 -3v6")));
    }
    let minutes = |s: f64| format!("{:.0}\u{a0}min", s / 60.0);
    Some(LogChart {
        words: words::course(&side.name, side.after, drive.blocks.len()),
        paths,
        ends: vec![
            minutes(frame.x.0),
            minutes(frame.x.1),
            scale.at(frame.y.0),
            scale.at(frame.y.1),
        ],
    })
}

/// A signal over ambient: a dot a drive, and the lines.
fn over_ambient(found: &Finding, scale: Scale) -> Vec<LogChart> {
    let mut charts = Vec::new();
    for s in found.signals.iter().filter(|s| s.points.len() > 1) {
        let points: Vec<(f64, f64)> = s.points.iter().map(|p| (p.0, p.1)).collect();
        let frame = Frame::of(&points);
        let mut paths = vec![Frame::axes()];
        if let (Some(slope), Some(height), Some(change)) = (s.slope, s.height_c, s.difference_k) {
            for off in [0.0, change] {
                let at =
                    |x: f64| frame.down((height + off + slope * x).clamp(frame.y.0, frame.y.1));
                let course = format!("M50 {}L330 {}", at(frame.x.0), at(frame.x.1));
                paths.push(path("sure", course));
            }
        }
        for p in &s.points {
            let (x, y) = (frame.across(p.0), frame.down(p.1));
            let class = if p.2 { "dot" } else { "dot before" };
            paths.push(path(
                class,
                format!("M{} {y}a5 5 0 1 0 10 0a5 5 0 1 0 -10 0", x - 5),
            ));
        }
        charts.push(LogChart {
            words: words::over_ambient(s),
            paths,
            ends: vec![
                scale.at(frame.x.0),
                scale.at(frame.x.1),
                scale.at(frame.y.0),
                scale.at(frame.y.1),
            ],
        });
    }
    charts
}
