//! The answer as data: what the page draws, and what `cargo xtask answer` prints.
//!
//! Litres count at 20 °C; temperatures are °C, differences K; percent is the label's. Absent on purpose: words,
//! but for an error's `message`.

use serde::{Serialize, Serializer, ser::SerializeMap};

use super::after::{BackFinding, LevelsFinding, SurveyFinding};
pub use super::{
    file::Do,
    money::{Amount, Bill, Line, LineFor, Size},
};
use crate::engine::{caution::Caution, plan::Instead};

/// The whole answer, one entry a loop in the job's order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// Version of the format.
    pub pourcard: u32,
    /// Why the file was refused; then `loops` is empty.
    pub error: Option<Fault>,
    /// Cautions that hold for the job as a whole.
    pub cautions: Vec<CautionEntry>,
    /// Values outside their limits that blank only what depends on them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<Fault>,
    /// One entry a loop.
    pub loops: Vec<LoopAnswer>,
    /// What to take for all of them and what it comes to; null where no stock and no additive is sold in packs.
    pub sheet: Option<Sheet>,
    /// Spot temperatures before and after, where the file has them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub survey: Option<SurveyFinding>,
}

/// The counter sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sheet {
    /// What the set of packs is best in: `cheapest`, `least_left` or `fewest`.
    pub wish: &'static str,
    /// Nothing better holds what the loops take; false only where the search was cut short.
    pub proven: bool,
    /// Stocks in the shelf's order, then additives: what is needed, or taken all the same.
    pub take: Vec<Take>,
    /// Places of the loops that have no plan and are not in it.
    pub left_out: Vec<usize>,
    /// Litres drawn off by all loops.
    pub waste_litres: f64,
    /// What it comes to.
    pub bill: Bill,
}

/// What to take of one stock or additive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Take {
    /// Its name.
    pub name: String,
    /// An additive.
    pub additive: bool,
    /// What the cards dose or pour of it, done or to come.
    pub needed_litres: f64,
    /// What is there; null: as much as is needed.
    pub have_litres: Option<f64>,
    /// Whole packs, of those that are taken.
    pub packs: Vec<TakenPack>,
    /// What is left over of what is there and what is taken.
    pub left_litres: Option<f64>,
}

/// Packs of one kind.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TakenPack {
    /// As the file has it.
    pub size: Size,
    /// The same in litres.
    pub litres: f64,
    /// How many.
    pub count: u32,
}

/// A refusal: of the file, or of one loop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fault {
    /// One of the closed list in [`super::message`].
    pub code: String,
    /// The key at fault, as a path.
    pub key: String,
    /// The key, the value and what was expected, in words.
    pub message: String,
    /// What can be reached instead.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub best: Option<Best>,
    /// Of a refused plan: that there is none is proven; else none was found.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub proven: Option<bool>,
    /// The same as data, for whoever words it otherwise; `None` where the text is no job file at all.
    #[serde(skip)]
    pub refusal: Option<Box<super::message::Refusal>>,
}

/// The nearest to the aim that can be reached.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Best {
    /// Percent it would come to.
    pub percent: f64,
    /// What would be drawn for it.
    pub drawn_litres: f64,
    /// Rounds it would take; 0: as it stands.
    pub rounds: u32,
}

/// One loop's answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoopAnswer {
    /// The loop's name.
    pub name: String,
    /// Why there is no plan; then `way` is null.
    pub error: Option<Fault>,
    /// How it is done.
    pub way: Option<Way>,
    /// The pour card, in order.
    pub steps: Vec<Step>,
    /// What was already done, as entered, and what that stands for.
    pub so_far: Vec<Step>,
    /// What a level seen corrects; absent where nothing does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrected: Option<Corrected>,
    /// Litres of each stock the job takes in all, done or to come, by name, in shelf order.
    pub used: Used,
    /// What the last round may pour instead, where that is known.
    #[serde(skip)]
    pub instead: Option<Instead>,
    /// Litres drawn off in all, done or to come: to be handed in as waste.
    pub dispose_litres: f64,
    /// The loop before the job, as corrected.
    pub before: Option<State>,
    /// The loop after the rounded amounts.
    pub after: Option<State>,
    /// The additive.
    pub dose: Option<Dose>,
    /// How sure it is that nothing less need be drawn; null where there is no plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least: Option<Least>,
    /// Other ways, and what they reach.
    pub runners_up: Vec<RunnerUp>,
    /// The cap fitted now beside the one to be fitted, over the mix after the job; absent where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub caps: Option<Caps>,
    /// What to mind.
    pub cautions: Vec<CautionEntry>,
    /// Values outside their limits, and figures no model covers: what depends on them is blank.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<Fault>,
    /// What the re-reading says, where the file has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub check_back: Option<BackFinding>,
    /// What the levels say, where the file has them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub levels: Option<LevelsFinding>,
}

/// The ways a plan can go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// It is there already.
    Nothing,
    /// The same by the reading, but at the worst end of its range it would freeze: to be read again.
    Retest,
    /// Only the missing volume is poured.
    TopUp,
    /// Draw once, pour once.
    DrawAndPour,
    /// Draw, pour and run, more than once.
    Rounds,
    /// After a flush or a drain.
    Refill,
}

impl Serialize for Do {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(self.text())
    }
}

/// One line of the pour card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// Stable within the card.
    pub id: String,
    /// From 1.
    pub round: u32,
    /// What to do.
    #[serde(rename = "do")]
    pub what: Do,
    /// Which stock, for a pour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stock: Option<String>,
    /// How much, but for run and check.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub litres: Option<f64>,
    /// The round's last pour: slowly, and stop at the mark.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub to_the_mark: bool,
    /// Of one done: a later step was entered, and this one is taken as done as the card said.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub assumed: bool,
    /// Of one done with another amount than the card's: whether that filled it to the mark, or ran out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_mark: Option<bool>,
    /// Of a check done: how far below the mark it stood, where that was entered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub below_litres: Option<f64>,
}

impl Step {
    /// A step that says nothing yet.
    pub fn blank() -> Self {
        Self {
            id: String::new(),
            round: 1,
            what: Do::Check,
            stock: None,
            litres: None,
            to_the_mark: false,
            assumed: false,
            at_mark: None,
            below_litres: None,
        }
    }
}

/// The loop before the job, as a level seen during it corrects what the file says.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Corrected {
    /// What it holds, filled to the mark.
    pub litres: f64,
    /// Half-width of that at 95 %.
    pub plus_minus: f64,
    /// How far below the mark it stood, where it was not emptied; negative: above.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub missing_litres: Option<f64>,
    /// What had stayed behind, where it was emptied or flushed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub left_behind_litres: Option<f64>,
}

impl Corrected {
    /// What it held before the job.
    pub fn held(&self) -> f64 {
        let missing = self.missing_litres.map(|missing| self.litres - missing);
        missing.or(self.left_behind_litres).unwrap_or(self.litres)
    }
}

/// What a loop is at one time.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct State {
    /// Label percent; null where unknown or empty.
    pub percent: Option<f64>,
    /// Half-width at 95 %, points.
    pub plus_minus: Option<f64>,
    /// What it holds, as of 20 °C.
    pub litres: f64,
    /// What that is at the temperature it is filled at, and stands against the mark; absent where that is 20 °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub litres_filled: Option<f64>,
    /// Half-width at 95 %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub litres_plus_minus: Option<f64>,
    /// Of concentrate in it, measured apart at 20 °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub concentrate_litres: Option<f64>,
    /// Of water in it, measured apart at 20 °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_litres: Option<f64>,
    /// Of additive in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub additive_litres: Option<f64>,
    /// Of all of it, what was there before the job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub old_percent: Option<f64>,
    /// Of the product in it, what is foreign to its family, where all families are known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub foreign_percent: Option<f64>,
    /// Where ice begins.
    pub freezing_point_c: Option<f64>,
    /// Given instead where no table reaches: freezes here or below.
    pub freezing_at_most_c: Option<f64>,
    /// Where ice begins at the end of the range (`percent` ± `plus_minus`) that freezes first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub freezing_point_worst_c: Option<f64>,
    /// Given instead where no table reaches: freezes here or below.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub freezing_at_most_worst_c: Option<f64>,
    /// At the cap's rating and the altitude.
    pub boiling_point_c: Option<f64>,
    /// At the weakest such a cap may be.
    pub boiling_point_weakest_c: Option<f64>,
    /// With the cap off.
    pub boiling_point_open_c: Option<f64>,
    /// At the rating of the other cap.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub boiling_point_other_cap_c: Option<f64>,
    /// The air's pressure at the altitude.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_pressure_kpa: Option<f64>,
    /// Absolute, at the weakest such a cap may be; what `boiling_point_weakest_c` was worked at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pressure_weakest_kpa: Option<f64>,
    /// What it grows to at the peak temperature.
    pub hot_litres: Option<f64>,
    /// Half-width at 95 %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hot_litres_plus_minus: Option<f64>,
    /// What it shrinks to on the coldest night.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coldest_litres: Option<f64>,
    /// Half-width at 95 %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coldest_litres_plus_minus: Option<f64>,
    /// Above the minimum mark then; negative: below it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub above_minimum_litres: Option<f64>,
    /// Half-width at 95 %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub above_minimum_litres_plus_minus: Option<f64>,
    /// Label percent once what stands in the overflow bottle is drawn in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub together_percent: Option<f64>,
    /// Film coefficient over water's, at equal flow speed.
    pub film_vs_water: Option<f64>,
    /// Half-width at 95 %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub film_vs_water_plus_minus: Option<f64>,
    /// Film coefficient over that of the mix before.
    pub film_vs_now: Option<f64>,
    /// Heat carried per litre over water's.
    pub heat_carried_vs_water: Option<f64>,
    /// Half-width at 95 %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heat_carried_vs_water_plus_minus: Option<f64>,
    /// From the coldest down to freezing; negative: it freezes first.
    pub freeze_room_k: Option<f64>,
    /// From the peak up to boiling at the weakest cap.
    pub boil_room_k: Option<f64>,
    /// Air left in the tank when hot; negative: so much does not fit.
    pub tank_room_litres: Option<f64>,
    /// Half-width at 95 %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank_room_litres_plus_minus: Option<f64>,
    /// Against water at 20 °C.
    pub specific_gravity_20c: Option<f64>,
    /// At 589 nm.
    pub refractive_index_20c: Option<f64>,
}

/// The additive in this job.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Dose {
    /// To put in.
    pub litres: f64,
    /// The most the label allows in the loop, at the unlucky end of its volume (of a level: as its volume is given);
    /// null: no limit on the label.
    pub limit_litres: Option<f64>,
    /// Left from before, after the draw, and brought by what is poured; null: unknown.
    pub carried_over_litres: Option<f64>,
    /// What the supplement's test shows, where the label goes by one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub level: Option<Level>,
    /// Bottles to open, where their size is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottles: Option<Bottles>,
}

/// A supplement's level by test, in the test's unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Level {
    /// As it was read.
    pub before: f64,
    /// As it should be read after the rounded amounts.
    pub after: f64,
    /// The most the label allows, where that goes by the same test.
    pub limit: Option<f64>,
    /// As the file spells it.
    pub unit: &'static str,
}

/// Whole bottles for a dose.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bottles {
    /// How many.
    pub count: u32,
    /// What one holds.
    pub size_litres: f64,
    /// What is left in the last.
    pub left_litres: f64,
}

/// The least there is to draw, of what is still to be drawn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Least {
    /// Nothing that ends where the plan does, on the aim or where it is accepted, draws less.
    pub bound_litres: f64,
    /// The plan draws no more than that and one measuring step; else it is the best that was found.
    pub proven: bool,
}

/// Two caps side by side.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Caps {
    /// Fitted now; a rating of 0: open.
    pub fitted: UnderCap,
    /// To be fitted.
    pub to_be_fitted: UnderCap,
    /// Boils with any cap off, °C.
    pub open_c: Option<f64>,
    /// So much lower under the cap to be fitted, both as rated; negative: higher, K.
    pub lower_rated_k: Option<f64>,
    /// The same with both at their weakest, K.
    pub lower_weakest_k: Option<f64>,
    /// The highest coolant temperature after heat soak, °C.
    pub soaked_c: Option<f64>,
}

/// Boiling under one cap, °C.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct UnderCap {
    /// Its rating.
    pub kpa: f64,
    /// As rated.
    pub rated_c: Option<f64>,
    /// At the weakest it may be when new (85 % of its rating).
    pub new_c: Option<f64>,
    /// The same at an unknown age (70 %).
    pub unknown_age_c: Option<f64>,
    /// At the share that is judged by (`cap_low`).
    pub weakest_c: Option<f64>,
    /// From the highest coolant temperature up to that, K; negative: it boils first.
    pub room_k: Option<f64>,
    /// From there after heat soak, K.
    pub room_soaked_k: Option<f64>,
}

/// Another way, not chosen.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunnerUp {
    /// How.
    pub way: Way,
    /// What it comes to.
    pub percent: f64,
    /// What it draws.
    pub drawn_litres: f64,
    /// Rounds it takes.
    pub rounds: u32,
    /// Litres of each stock, by name.
    pub used: Used,
}

/// Figures by name, in order; a JSON object.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Used(pub Vec<(String, f64)>);

impl Serialize for Used {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_map(self.0.iter().map(|(name, litres)| (name, litres)))
    }
}

/// The engine's caution as the answer writes it: code, weight, and the figures it speaks of.
#[derive(Debug, Clone, PartialEq)]
pub struct CautionEntry(pub Caution);

impl Serialize for CautionEntry {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let mut map = s.serialize_map(None)?;
        map.serialize_entry("code", self.0.code())?;
        map.serialize_entry("weight", self.0.weight().code())?;
        for (name, figure) in self.0.numbers() {
            map.serialize_entry(name, &figure)?;
        }
        map.end()
    }
}
