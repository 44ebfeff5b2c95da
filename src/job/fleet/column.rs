//! The columns of a fleet table: their names, and the unit a heading may carry.

use super::table::Cells;
use crate::job::record::names;

names! {
    /// A column, by its heading. Case does not count, and a space or a hyphen is as good as `_`.
    pub enum Column {
        /// What the user calls the vehicle.
        Vehicle = "vehicle",
        /// Its licence plate: comes back as it is.
        Plate = "plate",
        /// As its instrument shows it: comes back as it is.
        Mileage = "mileage",
        /// What they call the loop.
        Loop = "loop",
        /// What it is for.
        Kind = "kind",
        /// Which glycol is in it.
        Glycol = "glycol",
        /// Inhibitor family in it.
        Family = "family",
        /// Filled to the mark.
        Volume = "volume",
        /// Half-width of that.
        VolumePlusMinus = "volume_plus_minus",
        /// Below the mark.
        Missing = "missing",
        /// Half-width of that.
        MissingPlusMinus = "missing_plus_minus",
        /// What is in it: a reading with its unit, or a word.
        Now = "now",
        /// Half-width of that.
        NowPlusMinus = "now_plus_minus",
        /// Temperature of the sample read.
        Sample = "sample",
        /// Side of the turning point.
        Side = "side",
        /// What did not come out at the flush.
        LeftBehind = "left_behind",
        /// What it should be: percent or frost.
        Aim = "aim",
        /// Points that count as there.
        Within = "within",
        /// Lowest percentage.
        Low = "low",
        /// Highest percentage.
        High = "high",
        /// The coldest it must survive.
        Coldest = "coldest",
        /// The most one draw gives.
        DrawLimit = "draw_limit",
        /// The share that drains.
        Drains = "drains",
        /// Where the growth goes.
        Tank = "tank",
        /// Air above the mark.
        TankRoom = "tank_room",
        /// Of the coolant when poured.
        FillTemperature = "fill_temperature",
        /// The hottest it runs.
        PeakTemperature = "peak_temperature",
        /// Rating of the cap.
        Cap = "cap",
        /// Above sea level.
        Altitude = "altitude",
        /// The least that can be measured.
        MeasureStep = "measure_step",
        /// The same for the additive.
        DoseStep = "dose_step",
        /// Is it dosed?
        Additive = "additive",
        /// Additive in it before.
        Already = "already",
    }
}

/// How many there are.
pub const COUNT: usize = Column::ALL.len();

/// The headings of a table.
#[derive(Debug, Clone)]
pub struct Headings {
    /// For each column its place, and the unit in its heading; empty where there is none.
    places: Vec<Option<(usize, String)>>,
    /// Cells in the heading.
    pub width: usize,
    /// The units of a number that has none, nor its heading.
    pub usual: Usual,
}

/// Units that go without saying: of volumes, temperatures, pressures, heights and small volumes; blank: none does.
pub type Usual = [&'static str; 5];

/// The columns that come back as they are.
pub const FREE: [Column; 2] = [Column::Plate, Column::Mileage];

/// Which of the usual units a column is in.
const fn usual(column: Column) -> Option<usize> {
    Some(match column {
        Column::Volume
        | Column::Missing
        | Column::LeftBehind
        | Column::DrawLimit
        | Column::TankRoom => 0,
        Column::Coldest | Column::FillTemperature | Column::PeakTemperature | Column::Sample => 1,
        Column::Cap => 2,
        Column::Altitude => 3,
        Column::MeasureStep | Column::DoseStep | Column::Already => 4,
        _ => return None,
    })
}

/// What is odd about a heading, and left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Odd {
    /// Not a column.
    Unknown(String),
    /// There before.
    Twice(String),
}

impl Headings {
    /// From the first row.
    pub fn read(row: &Cells) -> (Self, Vec<Odd>) {
        let mut places: Vec<Option<(usize, String)>> = vec![None; COUNT];
        let mut odd = Vec::new();
        for (place, heading) in row.cells.iter().enumerate() {
            let (name, unit) = parted(heading);
            if name.is_empty() {
                continue;
            }
            match Column::ALL.iter().position(|c| c.text() == name) {
                None => odd.push(Odd::Unknown(heading.trim().to_owned())),
                Some(c) if places[c].is_some() => odd.push(Odd::Twice(heading.trim().to_owned())),
                Some(c) => places[c] = Some((place, unit)),
            }
        }
        let width = row.cells.len();
        let usual = Usual::default();
        let headings = Self {
            places,
            width,
            usual,
        };
        (headings, odd)
    }

    /// Is there such a column?
    pub fn has(&self, column: Column) -> bool {
        self.places[column as usize].is_some()
    }

    /// The text of a row's cell; empty where there is no such column.
    pub fn cell<'a>(&self, column: Column, row: &'a Cells) -> &'a str {
        let place = self.places[column as usize].as_ref();
        place
            .and_then(|(place, _)| row.cells.get(*place))
            .map_or("", |cell| trimmed(cell))
    }

    /// The unit in a column's heading, or what goes without saying; empty where there is none.
    pub fn unit(&self, column: Column) -> &str {
        match &self.places[column as usize] {
            Some((_, unit)) if !unit.is_empty() => unit,
            _ => usual(column).map_or("", |kind| self.usual[kind]),
        }
    }

    /// The same of a reading or an aim: below zero it is no percentage.
    pub fn unit_of(&self, column: Column, value: f64) -> &str {
        match self.unit(column) {
            "" if value < 0.0 && matches!(column, Column::Now | Column::Aim) => self.usual[1],
            unit => unit,
        }
    }
}

/// Without the spaces around it, no-break ones too.
pub fn trimmed(text: &str) -> &str {
    text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}')
}

/// In lower case, with one `_` for every run of spaces, hyphens and `_`.
pub fn plain_name(text: &str) -> String {
    let mut name = String::new();
    for c in trimmed(text).chars() {
        if c.is_whitespace() || c == '-' || c == '_' {
            if !name.ends_with('_') {
                name.push('_');
            }
        } else {
            name.push(c.to_ascii_lowercase());
        }
    }
    name
}

/// A heading's name, and the unit in brackets behind it.
fn parted(heading: &str) -> (String, String) {
    let heading = trimmed(heading);
    let unit = heading
        .strip_suffix(']')
        .and_then(|h| h.split_once('['))
        .or_else(|| heading.strip_suffix(')').and_then(|h| h.split_once('(')));
    match unit {
        Some((name, unit)) => (plain_name(name), trimmed(unit).to_owned()),
        None => (plain_name(heading), String::new()),
    }
}
