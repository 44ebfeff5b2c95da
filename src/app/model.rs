//! What the user typed and chose: the whole state of a job on the page.
//!
//! Invariants: texts are kept to the letter; every loop has an identity of its own that outlives its place in the
//! list; what a job file says that the page has no field for is kept beside it and written back.
//! Absent on purpose: numbers (they exist only after [`super::draft`]) and answers.

use std::rc::Rc;

use super::{
    after::{self, LevelPart, LevelRow, RunPart, StudyPart, SurveyModel},
    choice::{
        AboveMark, AimBy, Brings, CapAge, CapKind, Carrier, DoseBy, DrainBy, EarlierDose, LimitBy,
        Purpose, RateBy, ReadingBy, System, TankBy, TestOf,
    },
    counter::{self, Counter, PackRow, Place},
    field::{Entries, Entry, Field, Form, Measure, Unit},
    water::{WaterField, WaterModel},
};
use crate::job::{
    file::{self, Family, GlycolName, Kind, Side},
    record::Field as _,
};

/// A job as it stands on the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    /// What the user calls it.
    pub title: String,
    /// Units of the page.
    pub system: System,
    /// The loop in sight, a place in `loops`.
    pub selected: usize,
    /// Rows of the shelf, on it or not.
    pub shelf: Vec<StockRow>,
    /// The water stocks are mixed with.
    pub water: WaterModel,
    /// At least one.
    pub loops: Vec<LoopModel>,
    /// Money, and what else is typed for the counter sheet.
    pub counter: Counter,
    /// Spots before and after.
    pub survey: SurveyModel,
    /// What the file says that the page has no field for; its shelf and loops are empty.
    pub kept: file::Job,
}

/// One row of the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct StockRow {
    /// On the shelf; else only offered.
    pub on: bool,
    /// Just added: it stands open to be filled in.
    pub added: bool,
    /// What the user calls it.
    pub name: String,
    /// Label percentage.
    pub percent: Entry,
    /// Half-width of it; blank: the usual one.
    pub spread: Entry,
    /// Which glycol, where it is not water.
    pub glycol: GlycolName,
    /// Its inhibitor family.
    pub family: Option<Family>,
    /// What supplement it brings.
    pub brings: Brings,
    /// How much of it, by the test.
    pub level: Entry,
    /// How much there is; blank: enough, or, of what is sold in packs, none.
    pub have: Entry,
    /// The packs it is sold in.
    pub packs: Vec<PackRow>,
    /// What the file says that the page has no field for.
    pub kept: file::Stock,
}

/// One loop as it stands on the page.
#[derive(Debug, Clone, PartialEq)]
pub struct LoopModel {
    /// Unique in the job, and never given out twice.
    pub id: u32,
    /// What the user calls it.
    pub name: String,
    /// What it is for.
    pub kind: Kind,
    /// Which glycol is in it.
    pub glycol: GlycolName,
    /// Its inhibitor family.
    pub family: Option<Family>,
    /// Every text typed for it.
    pub entries: Entries,
    /// How it is known what is in it.
    pub reading: ReadingBy,
    /// Which side of the turning point, where that was asked.
    pub side: Option<Side>,
    /// How the aim is said.
    pub aim: AimBy,
    /// How much comes out.
    pub drain: DrainBy,
    /// Where the growth goes.
    pub tank: TankBy,
    /// How far the cap is trusted.
    pub cap_age: CapAge,
    /// What the cap to be fitted is made for.
    pub cap_kind: CapKind,
    /// Is an additive dosed?
    pub dose: DoseBy,
    /// What the user calls it.
    pub additive_name: String,
    /// The form of its rate.
    pub rate: RateBy,
    /// The form of its limit.
    pub limit: LimitBy,
    /// What an earlier dose left.
    pub earlier: EarlierDose,
    /// What it is for.
    pub purpose: Purpose,
    /// What its test measures.
    pub test_of: TestOf,
    /// What the additive is carried in.
    pub carrier: Carrier,
    /// May a dose stand above the mark?
    pub above_mark: AboveMark,
    /// The bottles its additive is sold in.
    pub bottles: Vec<PackRow>,
    /// What really happened, in the order it was entered.
    pub done: Vec<DoneRow>,
    /// The instrument of the re-reading, where one was chosen.
    pub back: Option<ReadingBy>,
    /// When it was read again.
    pub back_date: Entry,
    /// Looks at the level.
    pub levels: Vec<LevelRow>,
    /// What the file says that the page has no field for.
    pub kept: Rc<file::Loop>,
}

/// A step that was ticked or measured.
#[derive(Debug, Clone, PartialEq)]
pub struct DoneRow {
    /// The step's id on the card.
    pub id: String,
    /// What really came out or went in; blank: as the card said.
    pub amount: Entry,
    /// How warm it was when it was measured; blank: 20 °C.
    pub at: Entry,
    /// What the file says that the page has no field for.
    pub kept: file::Done,
}

/// The text fields outside [`Field`], and those.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Spot {
    /// The job's title.
    Title,
    /// The selected loop's name.
    LoopName,
    /// Its additive's.
    AdditiveName,
    /// A number of the selected loop.
    Loop(Field),
    /// A row of the shelf: its name.
    StockName(usize),
    /// Its percentage.
    StockPercent(usize),
    /// How sure that is.
    StockSpread(usize),
    /// What there is of it.
    StockHave(usize),
    /// The level of the supplement it brings.
    StockLevel(usize),
    /// What really came out or went in at a step of the selected loop.
    Happened(String),
    /// Packs, money and the customer's words.
    Counter(Place),
    /// When the selected loop was read again.
    BackDate,
    /// A look at the selected loop's level.
    Level(usize, LevelPart),
    /// The name of a spot of the survey.
    Place(usize),
    /// A run of the survey.
    Run(usize, RunPart),
    /// What was stated of the survey as a whole.
    Study(StudyPart),
    /// How warm that was when it was measured.
    HappenedAt(String),
    /// Of the mixing water.
    Water(WaterField),
}

impl Spot {
    /// What it measures; `None` for names.
    pub fn measure(&self) -> Option<Measure> {
        match self {
            Self::Title | Self::LoopName | Self::AdditiveName | Self::StockName(_) => None,
            Self::Loop(field) => Some(field.row().measure),
            Self::StockPercent(_) => Some(Measure::Percent),
            Self::StockSpread(_) => Some(Measure::Points),
            Self::StockHave(_) | Self::Happened(_) => Some(Measure::Volume),
            Self::StockLevel(_) => Some(Measure::Level),
            Self::Counter(place) => place.measure(),
            Self::BackDate | Self::Level(..) | Self::Place(_) | Self::Run(..) | Self::Study(_) => {
                after::measure(self)
            }
            Self::HappenedAt(_) => Some(Measure::Temperature),
            Self::Water(field) => Some(field.row().measure),
        }
    }
}

/// Names and strengths of the stocks a new shelf offers.
const OFFERS: [(&str, f64); 3] = [
    ("Concentrate", 100.0),
    ("Premix", 50.0),
    ("Distilled water", 0.0),
];

/// The van of a small bakery.
const DEMO: &str = include_str!("../../data/demo/bakery_van.json");

impl Model {
    /// Nothing typed, nothing on the shelf.
    pub fn empty(system: System) -> Self {
        Self {
            title: String::new(),
            system,
            selected: 0,
            shelf: OFFERS
                .iter()
                .map(|&(name, percent)| StockRow::offer(name, percent, system))
                .collect(),
            water: WaterModel::of(None),
            loops: vec![LoopModel::empty(1, system)],
            counter: Counter::blank(),
            survey: SurveyModel::blank(system),
            kept: file::Job {
                pourcard: file::VERSION,
                ..file::Job::blank()
            },
        }
    }

    /// The example.
    pub fn demo() -> Self {
        match crate::job::read(DEMO) {
            Ok(job) => super::import::model(&job),
            // The file is part of the program, and a test reads it.
            Err(_) => Self::empty(System::Metric),
        }
    }

    /// The loop in sight.
    pub fn current(&self) -> &LoopModel {
        &self.loops[self.selected.min(self.loops.len() - 1)]
    }

    /// The same, to change.
    pub fn current_mut(&mut self) -> &mut LoopModel {
        let last = self.loops.len() - 1;
        &mut self.loops[self.selected.min(last)]
    }

    /// An identity no loop of this job has had.
    pub fn next_id(&self) -> u32 {
        self.loops.iter().map(|l| l.id).max().unwrap_or(0) + 1
    }

    /// The entry of a numeric spot.
    pub fn entry(&self, spot: &Spot) -> Option<&Entry> {
        match spot {
            Spot::Title | Spot::LoopName | Spot::AdditiveName | Spot::StockName(_) => None,
            Spot::Loop(field) => Some(self.current().entries.get(*field)),
            Spot::StockPercent(i) => self.shelf.get(*i).map(|s| &s.percent),
            Spot::StockSpread(i) => self.shelf.get(*i).map(|s| &s.spread),
            Spot::StockHave(i) => self.shelf.get(*i).map(|s| &s.have),
            Spot::StockLevel(i) => self.shelf.get(*i).map(|s| &s.level),
            Spot::Counter(place) => counter::entry(self, *place),
            Spot::Happened(id) => self
                .current()
                .done
                .iter()
                .find(|d| d.id == *id)
                .map(|d| &d.amount),
            Spot::BackDate | Spot::Level(..) | Spot::Place(_) | Spot::Run(..) | Spot::Study(_) => {
                after::entry(self.current(), &self.survey, spot)
            }
            Spot::HappenedAt(id) => self
                .current()
                .done
                .iter()
                .find(|d| d.id == *id)
                .map(|d| &d.at),
            Spot::Water(field) => Some(self.water.entries.get(*field)),
        }
    }
}

impl StockRow {
    /// A row that is not on the shelf yet.
    pub fn offer(name: &str, percent: f64, system: System) -> Self {
        Self {
            on: false,
            added: false,
            name: name.to_owned(),
            percent: Entry::of(percent, super::field::Unit::Percent),
            spread: Entry::blank(Unit::Points),
            glycol: GlycolName::Ethylene,
            family: None,
            brings: Brings::Unsaid,
            level: Entry::blank(Measure::Level.unit(system)),
            have: Entry::blank(Measure::Volume.unit(system)),
            packs: Vec::new(),
            kept: file::Stock::blank(),
        }
    }

    /// Does its text say plain water?
    pub fn is_water(&self) -> bool {
        matches!(self.percent.value(), Ok(Some(p)) if p <= 0.0)
    }
}

impl DoneRow {
    /// An entry for a step, as the card said it.
    pub fn new(id: String, system: System) -> Self {
        Self {
            amount: Entry::blank(Measure::Volume.unit(system)),
            at: Entry::blank(Measure::Temperature.unit(system)),
            kept: file::Done {
                id: id.clone(),
                ..file::Done::blank()
            },
            id,
        }
    }
}

impl LoopModel {
    /// Nothing typed.
    pub fn empty(id: u32, system: System) -> Self {
        Self {
            id,
            name: String::new(),
            kind: Kind::Engine,
            glycol: GlycolName::Ethylene,
            family: None,
            entries: Entries::blank(system),
            reading: ReadingBy::Percent,
            side: None,
            aim: AimBy::Night,
            drain: DrainBy::Tap,
            tank: TankBy::Unstated,
            cap_age: CapAge::Unknown,
            cap_kind: CapKind::Unstated,
            dose: DoseBy::None,
            additive_name: String::new(),
            rate: RateBy::Ratio,
            limit: LimitBy::Ratio,
            earlier: EarlierDose::Unknown,
            purpose: Purpose::Unsaid,
            test_of: TestOf::Label,
            carrier: Carrier::Water,
            above_mark: AboveMark::No,
            bottles: Vec::new(),
            done: Vec::new(),
            back: None,
            back_date: after::text(),
            levels: Vec::new(),
            kept: Rc::new(file::Loop::blank()),
        }
    }
}
