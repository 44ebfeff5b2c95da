//! What is typed once the job is done: the re-reading, levels, spots and runs.
//!
//! Every text is an [`Entry`] under a [`Spot`] of its own, so that typing, units, keeping and undoing treat it as any
//! other; what is chosen stands in the row's part of the job file. In reading order: here the rows and their entries,
//! [`update`] (what a user does), [`file`] (to and from a job file).
//! Never done here: judging.

pub mod file;
pub mod update;

use super::{
    choice::{ReadingBy, System},
    field::{Entry, Field, Measure, Unit},
    model::{LoopModel, Spot},
};
pub use crate::job::after_file::{Much, SpotSide, Surface, ThermostatPlace, When};
use crate::job::{
    after_file::{Level, Run, Spot as FileSpot},
    record::Field as _,
};

/// A look at the level.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelRow {
    /// In the order of [`LevelPart`].
    pub entries: [Entry; 6],
    /// What the file says that the page has no field for.
    pub kept: Level,
}

/// What is typed of a look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LevelPart {
    /// The date.
    Date,
    /// Below the mark.
    Missing,
    /// Temperature of the coolant.
    At,
    /// What it read in percent.
    Percent,
    /// What the frost scale read.
    Frost,
    /// Put in afterwards.
    Added,
}

/// The parts of a look in order.
pub const LEVEL_PARTS: [LevelPart; 6] = [
    LevelPart::Date,
    LevelPart::Missing,
    LevelPart::At,
    LevelPart::Percent,
    LevelPart::Frost,
    LevelPart::Added,
];

impl LevelPart {
    /// What it measures; `None`: a text.
    pub const fn measure(self) -> Option<Measure> {
        match self {
            Self::Date => None,
            Self::Missing | Self::Added => Some(Measure::Volume),
            Self::At | Self::Frost => Some(Measure::Temperature),
            Self::Percent => Some(Measure::Percent),
        }
    }
}

/// Spots and runs.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyModel {
    /// What is stated of all of it, in the order of [`STUDY_PARTS`].
    pub told: [Entry; 7],
    /// Where it is measured.
    pub places: Vec<PlaceRow>,
    /// When it was.
    pub runs: Vec<RunRow>,
    /// Where the thermostats sit, before and after; `None`: not said.
    pub sits: [Option<ThermostatPlace>; 2],
}

/// What is stated of a survey as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StudyPart {
    /// The thermometer's accuracy.
    Accuracy,
    /// The difference to tell.
    Difference,
    /// Planned runs of each side.
    Planned,
    /// The thermostat opens.
    Opens,
    /// It is full open.
    FullOpen,
    /// The one after the change.
    OpensAfter,
    /// The same.
    FullOpenAfter,
}

/// The parts of a survey in order, with the key each is kept and filed under.
pub const STUDY_PARTS: [(StudyPart, &str, &str); 7] = [
    (StudyPart::Accuracy, "accuracy", "survey.accuracy"),
    (StudyPart::Difference, "difference", "survey.difference"),
    (StudyPart::Planned, "planned", "survey.planned"),
    (StudyPart::Opens, "opens", "survey.thermostat.opens"),
    (
        StudyPart::FullOpen,
        "full-open",
        "survey.thermostat.full_open",
    ),
    (
        StudyPart::OpensAfter,
        "opens-after",
        "survey.thermostat_after.opens",
    ),
    (
        StudyPart::FullOpenAfter,
        "full-open-after",
        "survey.thermostat_after.full_open",
    ),
];

impl StudyPart {
    /// What it measures.
    pub const fn measure(self) -> Measure {
        match self {
            Self::Accuracy | Self::Difference => Measure::Interval,
            Self::Planned => Measure::Number,
            _ => Measure::Temperature,
        }
    }
}

/// A spot.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceRow {
    /// What the user calls it.
    pub name: Entry,
    /// Its surface, and what the page has no field for.
    pub kept: FileSpot,
}

/// A run.
#[derive(Debug, Clone, PartialEq)]
pub struct RunRow {
    /// In the order of [`RUN_PARTS`].
    pub entries: [Entry; 6],
    /// What was shown, one a place.
    pub shown: Vec<Entry>,
    /// Before or after, and what the page has no field for.
    pub kept: Run,
}

/// What is typed of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunPart {
    /// Temperature of the air.
    Ambient,
    /// Since it was stopped.
    Minutes,
    /// The instrument's emissivity setting.
    Setting,
    /// Temperature of what the surfaces mirror.
    Reflected,
    /// What pairs it with a run of the other side.
    Pair,
    /// The stop it belongs to.
    Stop,
    /// What it showed at a place.
    Shown(usize),
}

/// The parts of a run in order, but for what was shown.
pub const RUN_PARTS: [RunPart; 6] = [
    RunPart::Ambient,
    RunPart::Minutes,
    RunPart::Setting,
    RunPart::Reflected,
    RunPart::Pair,
    RunPart::Stop,
];

impl RunPart {
    /// What it measures; `None`: a text.
    pub const fn measure(self) -> Option<Measure> {
        match self {
            Self::Ambient | Self::Reflected | Self::Shown(_) => Some(Measure::Temperature),
            Self::Minutes | Self::Setting => Some(Measure::Number),
            Self::Pair | Self::Stop => None,
        }
    }
}

/// A text is kept as an entry that measures nothing.
pub const fn text() -> Entry {
    Entry::blank(Unit::None)
}

impl LevelRow {
    /// Nothing typed.
    pub fn blank(system: System) -> Self {
        Self {
            entries: LEVEL_PARTS
                .map(|p| p.measure().map_or(text(), |m| Entry::blank(m.unit(system)))),
            kept: Level::blank(),
        }
    }
}

impl SurveyModel {
    /// Nothing typed.
    pub fn blank(system: System) -> Self {
        Self {
            told: STUDY_PARTS.map(|(part, ..)| Entry::blank(part.measure().unit(system))),
            places: Vec::new(),
            runs: Vec::new(),
            sits: [None; 2],
        }
    }

    /// A part of what is stated of all of it.
    pub fn part(&self, part: StudyPart) -> &Entry {
        &self.told[part as usize]
    }
}

impl PlaceRow {
    /// A spot of this name.
    pub fn named(name: &str) -> Self {
        let mut row = Self {
            name: text(),
            kept: FileSpot::blank(),
        };
        row.kept.surface = None;
        row.kept.emissivity = None;
        row.kept.side = None;
        name.clone_into(&mut row.name.typed);
        row
    }

    /// Its surface.
    pub fn surface(&self) -> Surface {
        self.kept.surface.unwrap_or(Surface::Dull)
    }
}

impl RunRow {
    /// Nothing typed, for so many places.
    pub fn blank(when: When, places: usize, system: System) -> Self {
        let entry = |part: RunPart| {
            let measure = part.measure();
            measure.map_or(text(), |m| Entry::blank(m.unit(system)))
        };
        let mut kept = Run::blank();
        kept.when = when;
        Self {
            entries: RUN_PARTS.map(entry),
            shown: vec![entry(RunPart::Ambient); places],
            kept,
        }
    }
}

/// The instrument of the re-reading: chosen, or the one the loop was read with before.
pub fn instrument(lp: &LoopModel) -> ReadingBy {
    lp.back.unwrap_or(match lp.reading {
        by @ (ReadingBy::Frost | ReadingBy::Gravity | ReadingBy::Index | ReadingBy::Brix) => by,
        _ => ReadingBy::Percent,
    })
}

/// What is read at a look: what stands there already, else by the instrument of the re-reading.
pub fn read_part(lp: &LoopModel, row: &LevelRow) -> LevelPart {
    let has = |part: LevelPart| !row.entries[part as usize].is_blank();
    let by_frost = instrument(lp) == ReadingBy::Frost;
    if has(LevelPart::Frost) || by_frost && !has(LevelPart::Percent) {
        LevelPart::Frost
    } else {
        LevelPart::Percent
    }
}

/// The field a re-reading by this instrument is typed into.
pub const fn back_field(by: ReadingBy) -> Field {
    match by {
        ReadingBy::Frost => Field::BackFrost,
        ReadingBy::Gravity => Field::BackGravity,
        ReadingBy::Index => Field::BackIndex,
        ReadingBy::Brix => Field::BackBrix,
        _ => Field::BackPercent,
    }
}

/// The field of how sure that is.
pub const fn back_spread(by: ReadingBy) -> Field {
    match by {
        ReadingBy::Frost => Field::BackFrostSpread,
        ReadingBy::Gravity => Field::BackGravitySpread,
        ReadingBy::Index => Field::BackIndexSpread,
        ReadingBy::Brix => Field::BackBrixSpread,
        _ => Field::BackPercentSpread,
    }
}

/// What the spots of afterwards measure; `None` for others and for texts.
pub const fn measure(spot: &Spot) -> Option<Measure> {
    match spot {
        Spot::Level(_, part) => part.measure(),
        Spot::Run(_, part) => part.measure(),
        Spot::Study(part) => Some(part.measure()),
        _ => None,
    }
}

/// The entry of a spot of afterwards.
pub fn entry<'a>(lp: &'a LoopModel, survey: &'a SurveyModel, spot: &Spot) -> Option<&'a Entry> {
    match *spot {
        Spot::BackDate => Some(&lp.back_date),
        Spot::Level(i, part) => Some(&lp.levels.get(i)?.entries[part as usize]),
        Spot::Place(i) => Some(&survey.places.get(i)?.name),
        Spot::Run(i, RunPart::Shown(k)) => survey.runs.get(i)?.shown.get(k),
        Spot::Run(i, part) => survey.runs.get(i)?.entries.get(index(part)),
        Spot::Study(part) => Some(survey.part(part)),
        _ => None,
    }
}

/// The same, to change.
pub fn entry_mut<'a>(
    lp: &'a mut LoopModel,
    survey: &'a mut SurveyModel,
    spot: &Spot,
) -> Option<&'a mut Entry> {
    match *spot {
        Spot::BackDate => Some(&mut lp.back_date),
        Spot::Level(i, part) => Some(&mut lp.levels.get_mut(i)?.entries[part as usize]),
        Spot::Place(i) => Some(&mut survey.places.get_mut(i)?.name),
        Spot::Run(i, RunPart::Shown(k)) => survey.runs.get_mut(i)?.shown.get_mut(k),
        Spot::Run(i, part) => survey.runs.get_mut(i)?.entries.get_mut(index(part)),
        Spot::Study(part) => Some(&mut survey.told[part as usize]),
        _ => None,
    }
}

const fn index(part: RunPart) -> usize {
    match part {
        RunPart::Ambient => 0,
        RunPart::Minutes => 1,
        RunPart::Setting => 2,
        RunPart::Reflected => 3,
        RunPart::Pair => 4,
        RunPart::Stop => 5,
        RunPart::Shown(_) => usize::MAX,
    }
}

/// Every spot of a loop's looks, and the date of its re-reading.
pub fn spots_of_levels(lp: &LoopModel) -> Vec<Spot> {
    let mut list = vec![Spot::BackDate];
    for i in 0..lp.levels.len() {
        list.extend(LEVEL_PARTS.map(|part| Spot::Level(i, part)));
    }
    list
}

/// Every spot of the survey.
pub fn spots_of_survey(survey: &SurveyModel) -> Vec<Spot> {
    let mut list: Vec<Spot> = STUDY_PARTS.iter().map(|p| Spot::Study(p.0)).collect();
    list.extend((0..survey.places.len()).map(Spot::Place));
    for i in 0..survey.runs.len() {
        list.extend(RUN_PARTS.map(|p| Spot::Run(i, p)));
        list.extend((0..survey.places.len()).map(|k| Spot::Run(i, RunPart::Shown(k))));
    }
    list
}

/// The stable key of a spot of afterwards; empty for others.
pub fn key(spot: &Spot) -> String {
    let (head, i, part) = match spot {
        Spot::Level(i, part) => (
            "look-",
            *i,
            match part {
                LevelPart::Date => "-date",
                LevelPart::Missing => "-missing",
                LevelPart::At => "-at",
                LevelPart::Percent => "-percent",
                LevelPart::Frost => "-frost",
                LevelPart::Added => "-added",
            },
        ),
        Spot::Place(i) => ("place-", *i, ""),
        Spot::Run(i, RunPart::Shown(k)) => {
            return ["run-", &i.to_string(), "-shown-", &k.to_string()].concat();
        }
        Spot::Run(i, RunPart::Ambient) => ("run-", *i, "-ambient"),
        Spot::Run(i, RunPart::Minutes) => ("run-", *i, "-minutes"),
        Spot::Run(i, RunPart::Setting) => ("run-", *i, "-setting"),
        Spot::Run(i, RunPart::Reflected) => ("run-", *i, "-reflected"),
        Spot::Run(i, RunPart::Pair) => ("run-", *i, "-pair"),
        Spot::Run(i, RunPart::Stop) => ("run-", *i, "-stop"),
        Spot::BackDate => return "look-again-date".to_owned(),
        Spot::Study(part) => return STUDY_PARTS[*part as usize].1.to_owned(),
        _ => return String::new(),
    };
    [head, &i.to_string(), part].concat()
}
