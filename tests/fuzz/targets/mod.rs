//! What is fed with bytes: one plain function a target, shared by cargo-fuzz (`tests/fuzz/bins/`) and by the replay on
//! stable (`tests/laws/fuzz.rs`). A target panics where the program broke its word, and returns otherwise.
//!
//! A new target: a function here, its line in [`TARGETS`], a file in `bins/` with its `[[bin]]`, and at
//! least one seed in `corpus/<name>/`. `tests/laws/fuzz.rs` fails where one of them is missing.

#[path = "../../common/mod.rs"]
mod common;
#[path = "../../common/sane.rs"]
mod sane;

pub mod planner;
mod readings;

use pourcard::app::{import, link, number, page::Page, plain, prices, saved, view};
use pourcard::job::{self, fleet::Fleet};

/// A target.
pub type Target = fn(&[u8]);

/// Every target by its name, which is also that of its folder of seeds.
pub const TARGETS: &[(&str, Target)] = &[
    ("fleet_csv", fleet_csv),
    ("job_file", job_file),
    ("kept_record", kept_record),
    ("link", link),
    ("number", number),
    ("planner", planner::planner),
    ("prices_csv", prices_csv),
    ("properties_csv", properties_csv),
    ("reading", readings::reading),
];

/// Runs a target by its name.
#[allow(dead_code)] // the programs' door; the replay has the whole table
pub fn run(name: &str, data: &[u8]) {
    let (_, target) = TARGETS.iter().find(|(n, _)| *n == name).expect("a target");
    target(data);
}

/// A job file: read or refused with a reason; what was read is written and read back the same, answered without a number
/// that is none or a law that is broken, and drawn.
pub fn job_file(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    match job::read(text) {
        Err(fault) => assert!(!fault.message.is_empty(), "refused without a reason"),
        Ok(read) => {
            let written = job::write(&read);
            let again = job::read(&written).expect("what was written is read");
            // Numbers of over nineteen digits, which every limit refuses, are written as the largest that is kept.
            sane::same_file(&job::write(&again), &written);
            let mut answer = job::answer(&read);
            sane::lawful(&read, &answer);
            job::after::add(&read, &mut answer);
            sane::finite(&answer);
            let page = Page::new(import::model(&read));
            let _ = plain::text("", &view::card(&page));
        }
    }
}

/// A record kept on the device, and a file of several.
pub fn kept_record(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    if let Ok(model) = saved::decode(text) {
        let record = saved::encode(&model);
        let again = saved::decode(&record).expect("what was kept is read");
        sane::same_record(&saved::encode(&again), &record);
        let _ = view::card(&Page::new(model));
    }
    let _ = saved::unbundle(text);
}

/// A link's fragment: opened or refused, and what was packed is packed the same again.
pub fn link(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let Some(Ok(packed)) = link::carried(text) else {
        return;
    };
    let again = link::carried(&link::fragment(&packed)).expect("our own fragment");
    assert_eq!(again.as_ref(), Ok(&packed), "{text}");
    if let link::Packed::Plain(bytes) = &packed
        && let Ok(text) = std::str::from_utf8(bytes)
    {
        let _ = link::opened(text);
    }
}

/// A table of vehicles: refused as a whole, or every row planned or refused with a reason, and a report of it.
pub fn fleet_csv(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let shelf = include_str!("../../../data/demo/orchard_fleet.json");
    let job = job::read(shelf).expect("the demo is read");
    let Ok(fleet) = Fleet::planned(&job, text.to_owned()) else {
        return;
    };
    let out = fleet.csv();
    for bad in ["NaN", "inf,", "inf;"] {
        assert!(!out.contains(bad) || text.contains(bad), "{out}");
    }
    let _ = fleet.report().count();
    let _ = fleet.summary();
}

/// A price list: what is taken is written and read back the same, what is refused has a line and a reason.
pub fn prices_csv(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let read = prices::read(text);
    let written = prices::write(&read.articles);
    let again = prices::read(&written);
    assert_eq!(again.articles.len(), read.articles.len(), "{written}");
    for (back, first) in again.articles.iter().zip(&read.articles) {
        // A name that a spreadsheet would take for a formula gets an apostrophe, once and for all.
        let bare = |name: &str| name.replace('\'', "");
        assert_eq!(bare(&back.name), bare(&first.name), "{written}");
        let rest = |a: &prices::Article| (a.size, a.price.clone(), a.kind);
        assert_eq!(rest(back), rest(first), "{written}");
    }
    assert_eq!(prices::write(&again.articles), written);
}

/// A number as typed: what is read is what the standard library reads, and what is printed reads back.
pub fn number(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let Ok(Some(value)) = number::parse(text) else {
        return;
    };
    assert!(value.is_finite(), "{text:?} is {value}");
    if let Ok(standard) = text.trim().replace('\u{2212}', "-").parse::<f64>() {
        assert_eq!(value, standard, "{text:?}");
    }
    let printed = number::print(value);
    let back = number::parse(&printed);
    if value.abs() < 1e17 && (value == 0.0 || value.abs() > 1e-9) {
        assert_eq!(back, Ok(Some(value)), "{text:?} printed {printed:?}");
    }
    for digits in 0..9 {
        assert!(!number::fixed(value, digits).contains("NaN"));
        assert!(!number::significant(value, digits.max(1)).contains("NaN"));
    }
}

/// Properties in bulk: every row keeps its place, and has a value or a reason.
pub fn properties_csv(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let Ok(out) = job::properties::answer_csv(text) else {
        return;
    };
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .from_reader(out.as_bytes());
    let headers = reader.headers().expect("a header").clone();
    let column = |name: &str| headers.iter().position(|h| h == name).expect("a column");
    let (value, error) = (column("value"), column("error"));
    for row in reader.records() {
        let row = row.expect("a row");
        let (value, error) = (&row[value], &row[error]);
        assert!(value.is_empty() != error.is_empty(), "{row:?}");
        assert!(
            value.is_empty() || value.parse::<f64>().is_ok_and(f64::is_finite),
            "{row:?}"
        );
    }
}

/// Bytes as a run of choices and numbers; past their end, zeros.
pub struct Bytes<'a>(pub &'a [u8]);

impl Bytes<'_> {
    /// The next byte.
    pub fn byte(&mut self) -> u8 {
        let (&first, rest) = self.0.split_first().unwrap_or((&0, &[]));
        self.0 = rest;
        first
    }

    /// Of two.
    pub fn yes(&mut self) -> bool {
        self.byte() & 1 == 1
    }

    /// From `low` to `high`, in 65 536 steps.
    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        let raw = u16::from_le_bytes([self.byte(), self.byte()]);
        low + (high - low) * f64::from(raw) / f64::from(u16::MAX)
    }

    /// Any bits at all.
    pub fn any(&mut self) -> f64 {
        f64::from_bits(u64::from_le_bytes(std::array::from_fn(|_| self.byte())))
    }

    /// Anything, or within, as one byte says.
    pub fn wild(&mut self, low: f64, high: f64) -> f64 {
        if self.byte() == 255 {
            self.any()
        } else {
            self.within(low, high)
        }
    }
}
