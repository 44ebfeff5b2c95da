//! A log's file, as it comes in pieces: cut into drives, and each drive into steady blocks.
//!
//! Comma, semicolon or tab; a decimal comma where the separator is none; quotes; blanks, where a logger writes each column in
//! its own time (a figure holds for [`HELD_S`] seconds). A clock that goes back, or stops for [`GAP_S`], begins a new drive.
//! Kept are blocks and a few points for a picture, so that a million rows take no more room than a thousand.

use super::columns::{Column, Missing, Role, Said, find, guess};
use crate::engine::log::steady::{Block, Cutter, Sample, Steady};
use crate::job::after::date::day;

/// The signals that are judged.
pub const SIGNALS: [Role; 3] = [Role::Coolant, Role::Oil, Role::Intake];
/// Seconds without a row after which it is another drive. Ours.
pub const GAP_S: f64 = 900.0;
/// A figure that is not written again holds so long, s. Ours.
pub const HELD_S: f64 = 10.0;
/// Rows that are looked at before units are guessed.
const FIRST: usize = 200;
/// Points of a drive's picture.
const POINTS: usize = 400;

/// Why a file says nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refused {
    /// It has no row of headings.
    Empty,
    /// It lacks something.
    Lacks(Missing),
    /// No row has a time.
    NoTime,
}

/// One drive.
#[derive(Debug, Clone)]
pub struct Drive {
    /// Its steady blocks.
    pub blocks: Vec<Block<3>>,
    /// Of the first signal, over time: s and °C.
    pub points: Vec<(f64, f64)>,
    /// How long, s.
    pub seconds: f64,
}

/// A file that was read.
#[derive(Debug, Clone)]
pub struct Read {
    /// The columns used.
    pub columns: Vec<Column>,
    /// Its drives.
    pub drives: Vec<Drive>,
    /// Rows with a time.
    pub rows: u64,
    /// Rows without.
    pub skipped: u64,
}

/// A file being read.
#[derive(Debug)]
pub struct Log {
    said: Said,
    steady: Steady,
    carry: Vec<u8>,
    separator: u8,
    head: Option<Result<Vec<Column>, Refused>>,
    first: Vec<Vec<f64>>,
    ready: bool,
    held: Vec<(f64, f64)>,
    base: f64,
    last: f64,
    now: Option<(Cutter<3>, Points)>,
    drives: Vec<Drive>,
    rows: u64,
    skipped: u64,
}

#[derive(Debug)]
struct Points {
    begin: f64,
    every: f64,
    next: f64,
    list: Vec<(f64, f64)>,
}

impl Points {
    fn take(&mut self, time: f64, value: f64) {
        if !value.is_finite() || time < self.next {
            return;
        }
        self.list.push((time - self.begin, value));
        self.next = time + self.every;
        if self.list.len() > 2 * POINTS {
            let mut keep = false;
            self.list.retain(|_| {
                keep = !keep;
                keep
            });
            self.every = (self.every * 2.0).max(0.5);
        }
    }
}

impl Log {
    /// Nothing read yet.
    pub fn new(said: Said, steady: Steady) -> Self {
        Self {
            said,
            steady,
            carry: Vec::new(),
            separator: b',',
            head: None,
            first: Vec::new(),
            ready: false,
            held: Vec::new(),
            base: f64::NAN,
            last: f64::NAN,
            now: None,
            drives: Vec::new(),
            rows: 0,
            skipped: 0,
        }
    }

    /// Takes the next piece.
    pub fn feed(&mut self, mut piece: &[u8]) {
        while let Some(end) = piece.iter().position(|b| matches!(b, b'\n' | b'\r')) {
            if self.carry.is_empty() {
                self.line(&piece[..end]);
            } else {
                let mut line = std::mem::take(&mut self.carry);
                line.extend_from_slice(&piece[..end]);
                self.line(&line);
                line.clear();
                self.carry = line;
            }
            piece = &piece[end + 1..];
        }
        self.carry.extend_from_slice(piece);
    }

    /// The end of the file.
    ///
    /// # Errors
    /// [`Refused`].
    pub fn end(mut self) -> Result<Read, Refused> {
        let line = std::mem::take(&mut self.carry);
        self.line(&line);
        self.settle();
        self.end_drive();
        let columns = self.head.unwrap_or(Err(Refused::Empty))?;
        if self.rows == 0 {
            return Err(Refused::NoTime);
        }
        Ok(Read {
            columns,
            drives: self.drives,
            rows: self.rows,
            skipped: self.skipped,
        })
    }

    fn line(&mut self, line: &[u8]) {
        let line = line.strip_prefix(b"\xef\xbb\xbf").unwrap_or(line);
        if line.iter().all(u8::is_ascii_whitespace) {
            return;
        }
        if self.head.is_none() {
            let count = |s: u8| line.iter().filter(|b| **b == s).count();
            for s in [b',', b';', b'\t'] {
                if count(s) > count(self.separator) {
                    self.separator = s;
                }
            }
            let cells = cells(line, self.separator);
            let headings: Vec<String> = cells
                .iter()
                .map(|c| String::from_utf8_lossy(c).trim().to_owned())
                .collect();
            let found = find(&headings, &self.said).map_err(Refused::Lacks);
            self.head = Some(found.map(|list| list.into_iter().map(|c| c.0).collect()));
            return;
        }
        let Some(Ok(columns)) = &self.head else {
            return;
        };
        let comma = self.separator != b',';
        let mut row = vec![f64::NAN; columns.len()];
        if line.contains(&b'"') {
            let cells = cells(line, self.separator);
            for (value, column) in row.iter_mut().zip(columns) {
                let cell = cells.get(column.place).map_or(&[][..], |c| &c[..]);
                *value = number(cell, comma, column.role);
            }
        } else {
            for (place, cell) in line.split(|b| *b == self.separator).enumerate() {
                for (value, column) in row.iter_mut().zip(columns) {
                    if column.place == place {
                        *value = number(cell, comma, column.role);
                    }
                }
            }
        }
        if self.ready {
            self.row(&row);
        } else {
            self.first.push(row);
            if self.first.len() >= FIRST {
                self.settle();
            }
        }
    }

    /// Guesses the units, and takes the rows that waited for that.
    fn settle(&mut self) {
        if self.ready {
            return;
        }
        self.ready = true;
        let first = std::mem::take(&mut self.first);
        if let Some(Ok(columns)) = &mut self.head {
            guess(columns, &first);
            self.held = vec![(f64::NAN, f64::NEG_INFINITY); columns.len()];
        }
        for row in first {
            self.row(&row);
        }
    }

    fn row(&mut self, row: &[f64]) {
        let Some(Ok(columns)) = &self.head else {
            return;
        };
        let at = |role: Role| columns.iter().position(|c| c.role == role);
        let clock = at(Role::Time).map_or(f64::NAN, |i| columns[i].unit.plain(row[i]));
        if !clock.is_finite() {
            self.skipped += 1;
            return;
        }
        self.rows += 1;
        if self.base.is_nan() {
            self.base = clock;
        }
        let time = clock - self.base;
        for ((held, value), column) in self.held.iter_mut().zip(row).zip(columns) {
            if value.is_finite() {
                *held = (column.unit.plain(*value), time);
            }
        }
        let value = |role: Role| {
            let held = at(role).map_or((f64::NAN, time), |i| self.held[i]);
            if time - held.1 <= HELD_S {
                held.0
            } else {
                f64::NAN
            }
        };
        let sample = Sample {
            time,
            speed: value(Role::Speed),
            load: value(Role::Load),
            ambient: value(Role::Ambient),
            signals: SIGNALS.map(value),
        };
        if time < self.last || time - self.last > GAP_S {
            self.end_drive();
        }
        self.last = time;
        let steady = self.steady;
        let (cutter, points) = self.now.get_or_insert_with(|| {
            let points = Points {
                begin: time,
                every: 0.0,
                next: f64::NEG_INFINITY,
                list: Vec::new(),
            };
            (Cutter::new(steady), points)
        });
        cutter.take(&sample);
        let shown = sample.signals.iter().copied().find(|v| v.is_finite());
        points.take(time, shown.unwrap_or(f64::NAN));
    }

    fn end_drive(&mut self) {
        for held in &mut self.held {
            held.1 = f64::NEG_INFINITY;
        }
        let Some((cutter, points)) = self.now.take() else {
            return;
        };
        self.drives.push(Drive {
            seconds: self.last - points.begin,
            blocks: cutter
                .blocks
                .into_iter()
                .map(|b| Block {
                    from: b.from - points.begin,
                    to: b.to - points.begin,
                    ..b
                })
                .collect(),
            points: points.list,
        });
    }
}

/// Cells of a line, quotes taken off.
fn cells(line: &[u8], separator: u8) -> Vec<Vec<u8>> {
    let mut list = vec![Vec::new()];
    let mut quoted = false;
    for &b in line {
        match b {
            b'"' => quoted = !quoted,
            _ if b == separator && !quoted => list.push(Vec::new()),
            _ => {
                if let Some(cell) = list.last_mut() {
                    cell.push(b);
                }
            }
        }
    }
    list
}

/// A cell as a number; a time may be a clock's, or a date and a clock's.
fn number(cell: &[u8], comma: bool, role: Role) -> f64 {
    let cell = cell.trim_ascii();
    if cell.is_empty() {
        return f64::NAN;
    }
    let Ok(text) = std::str::from_utf8(cell) else {
        return f64::NAN;
    };
    if role == Role::Time && cell.contains(&b':') {
        return clock(text, comma).unwrap_or(f64::NAN);
    }
    let parsed = if comma && cell.contains(&b',') {
        text.replacen(',', ".", 1).parse::<f64>()
    } else {
        text.parse::<f64>()
    };
    parsed.ok().filter(|v| v.is_finite()).unwrap_or(f64::NAN)
}

/// "12:01:02.5", "2026-03-31 12:01:02", "2026-03-31T12:01:02Z": in seconds.
fn clock(text: &str, comma: bool) -> Option<f64> {
    let text = text.trim_end_matches('Z');
    let (date, clock) = match text.split_once([' ', 'T']) {
        Some((date, clock)) => (day(date)? as f64, clock),
        None => (0.0, text),
    };
    let mut seconds = 0.0;
    for part in clock.split(':') {
        let part = if comma {
            part.replacen(',', ".", 1)
        } else {
            part.to_owned()
        };
        seconds = seconds * 60.0 + part.parse::<f64>().ok()?;
    }
    // Minutes and seconds alone are a clock as well.
    let parts = clock.split(':').count();
    (parts == 2 || parts == 3).then_some(date * 86_400.0 + seconds)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Read, Refused> {
        // In pieces of any size.
        let mut log = Log::new(Said::default(), Steady::default());
        for piece in text.as_bytes().chunks(7) {
            log.feed(piece);
        }
        log.end()
    }

    #[test]
    fn two_drives_in_one_file_with_decimal_commas() {
        let mut text = String::from("\u{feff}Time;Coolant (°C);Speed (km/h);Ambient (°C)\r\n");
        for begin in ["08", "17"] {
            for s in 0..200 {
                text += &format!(
                    "{begin}:{:02}:{:02},5;90,{};80,0;20,5\r\n",
                    s / 60,
                    s % 60,
                    s % 10
                );
            }
        }
        let found = read(&text).unwrap();
        assert_eq!((found.drives.len(), found.rows, found.skipped), (2, 400, 0));
        let block = found.drives[1].blocks[0];
        assert!((block.mean.ambient - 20.5).abs() < 1e-9);
        assert!((block.mean.signals[0] - 90.45).abs() < 1e-9, "{block:?}");
        assert!((block.from - 60.0).abs() < 1e-9 && (found.drives[1].seconds - 199.0).abs() < 1e-9);
    }

    #[test]
    fn columns_in_their_own_time_and_rows_that_are_none() {
        let mut text = String::from("time,coolant,\"speed, vehicle\",ambient\n");
        for s in 0..200 {
            text += &match s % 2 {
                0 => format!("{s},90,,\n"),
                _ => format!("{s},,\"80\",20\n"),
            };
        }
        text += "gone,1,2,3\n";
        let found = read(&text).unwrap();
        assert_eq!((found.rows, found.skipped), (200, 1));
        let mean = found.drives[0].blocks[0].mean;
        assert!((mean.signals[0] - 90.0).abs() < 1e-9 && (mean.speed - 80.0).abs() < 1e-9);
    }

    #[test]
    fn files_that_say_nothing() {
        assert_eq!(read("").unwrap_err(), Refused::Empty);
        assert_eq!(read("time,coolant\nx,1\n").unwrap_err(), Refused::NoTime);
        let lacks = read("time,rpm\n1,2\n").unwrap_err();
        assert_eq!(lacks, Refused::Lacks(Missing::Role(Role::Coolant)));
    }

    #[test]
    fn clocks() {
        assert_eq!(clock("01:02:03.5", false), Some(3723.5));
        assert_eq!(clock("02:03", false), Some(123.0));
        let day = |d: &str| clock(d, false).unwrap();
        let apart = day("2026-03-01T00:00:01Z") - day("2026-02-28 23:59:59");
        assert!((apart - 2.0).abs() < 1e-6);
        assert_eq!(clock("1:2:3:4", false), None);
    }
}
