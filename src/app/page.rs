//! The page's state: the model, what could be made of it, and the last good answer of each loop.
//!
//! Invariants: an answer that no longer fits what is typed stays, marked as out of date; it is never shown as
//! current. What came before a change is kept, so that it can be taken back.

use std::rc::Rc;

use super::{
    action::Action,
    after::{self, update::After},
    choice::{AimBy, ReadingBy},
    counter,
    draft::{Draft, draft},
    field::{Field, Measure},
    form::{Form, at_key},
    model::{DoneRow, LoopModel, Model, Spot, StockRow},
    short::{Short, short},
    take,
    update::update,
    water::WaterField,
};
use crate::job::{
    self,
    after::{SurveyFinding, back::Shows, survey},
    answer::{CautionEntry, Do, Fault, LoopAnswer, Sheet, Step},
    curve::Curve,
    file,
    units::VolumeUnit,
};

/// How many changes can be taken back.
const MOST_UNDO: usize = 60;

/// The page.
#[derive(Debug, Clone)]
pub struct Page {
    /// What was typed and chosen.
    pub model: Rc<Model>,
    /// What could be made of it.
    pub draft: Rc<Draft>,
    /// One a loop, in the model's order.
    pub shown: Vec<Shown>,
    /// Why the whole job is refused.
    pub refused: Option<Fault>,
    /// What there is to say about the job as a whole.
    pub cautions: Vec<CautionEntry>,
    /// Values of the job as a whole that were left out.
    pub left_out: Vec<Fault>,
    /// The last counter sheet, where anything is sold.
    pub quote: Option<Rc<Sheet>>,
    /// Does it fit what is typed now?
    pub quote_fresh: bool,
    /// A pack or an amount that makes no sense, found when answering.
    pub quote_fault: Option<Fault>,
    /// What the spots before and after say.
    pub survey: Option<SurveyFinding>,
    past: Vec<Rc<Model>>,
    typing: Option<Spot>,
    /// Was the last change another tab's?
    followed: bool,
}

/// What the card of one loop shows.
#[derive(Debug, Clone)]
pub struct Shown {
    /// The loop's identity.
    pub id: u32,
    /// The last good answer.
    pub solved: Option<Rc<Solved>>,
    /// Does it fit what is typed now?
    pub fresh: bool,
    /// A value of this loop that makes no sense, found when answering.
    pub fault: Option<Fault>,
}

/// An answered loop and the job it was answered from.
#[derive(Debug, Clone)]
pub struct Solved {
    /// The loop.
    pub asked: file::Loop,
    /// Names of the shelf's stocks.
    pub stocks: Vec<String>,
    /// Their patterns, by which the page tells them apart.
    pub patterns: Vec<u8>,
    /// The answer.
    pub answer: LoopAnswer,
    /// What the instrument of the re-reading should read.
    pub shows: Option<Shows>,
    /// Frost and boiling at its cap and altitude.
    pub curve: Curve,
    /// Where there is no plan: what would do it.
    pub short: Option<Short>,
}

impl Page {
    /// A page with this on it.
    pub fn new(model: Model) -> Self {
        let made = draft(&model);
        let mut page = Self {
            model: Rc::new(model),
            draft: Rc::new(made),
            shown: Vec::new(),
            refused: None,
            cautions: Vec::new(),
            left_out: Vec::new(),
            quote: None,
            quote_fresh: false,
            quote_fault: None,
            survey: None,
            past: Vec::new(),
            typing: None,
            followed: false,
        };
        page.answer();
        page
    }

    /// The page after an action.
    #[must_use]
    pub fn act(&self, action: Action) -> Self {
        let mut next = self.clone();
        next.take(action);
        next
    }

    /// Shows the job as another tab left it. What was here can be had back; letter by letter is one change.
    pub fn take_over(&mut self, model: Model) {
        if !std::mem::replace(&mut self.followed, true) {
            self.remember();
        }
        self.model = Rc::new(model);
        self.typing = None;
        self.draft = Rc::new(draft(&self.model));
        self.answer();
    }

    fn remember(&mut self) {
        self.past.push(self.model.clone());
        if self.past.len() > MOST_UNDO {
            self.past.remove(0);
        }
    }

    /// Takes an action in.
    pub fn take(&mut self, action: Action) {
        let Some(action) = self.with_answer(action) else {
            return;
        };
        self.followed = false;
        match action {
            Action::Undone => {
                if let Some(before) = self.past.pop() {
                    self.model = before;
                }
                self.typing = None;
            }
            Action::LoopChosen(_) => self.model = Rc::new(update(&self.model, action)),
            action => {
                let typing = match &action {
                    Action::Typed(spot, _) => Some(spot.clone()),
                    _ => None,
                };
                // A number typed letter by letter is one change.
                if typing.is_none() || typing != self.typing {
                    self.remember();
                }
                let mut model = update(&self.model, action);
                self.tie_entries(&mut model);
                self.model = Rc::new(model);
                self.typing = typing;
            }
        }
        self.draft = Rc::new(draft(&self.model));
        self.answer();
    }

    /// An entry made now is for the step as the card has it now, and a bare tick for the amount it says. A dose that
    /// really went in is measured as doses are, not as pours are.
    fn tie_entries(&self, model: &mut Model) {
        let model_system = model.system;
        let unit = Measure::SmallVolume.unit(model_system);
        let Some(solved) = self.current().solved.as_ref() else {
            return;
        };
        let before = self.model.current();
        let lp = model.current_mut();
        if before.id != lp.id {
            return;
        }
        let (steps, so_far) = (&solved.answer.steps, &solved.answer.so_far);
        let tied = |row: &mut DoneRow, step: &Step| {
            row.kept.step = Some(step.what);
            row.kept.stock = step.stock.clone();
            row.kept.amount = step.litres.map(|value| file::Quantity {
                value,
                unit: VolumeUnit::L,
            });
            if step.what == Do::Dose {
                row.amount.typed_in = unit;
                row.amount.shown_in = unit;
            }
        };
        let mut done = Vec::new();
        for mut row in std::mem::take(&mut lp.done) {
            let is_new = before.done.iter().all(|b| b.id != row.id);
            if let Some(place) = steps.iter().position(|s| s.id == row.id).filter(|_| is_new) {
                // It stands for those before it, as the card says them now.
                for step in &steps[..place] {
                    let mut assumed = DoneRow::new(step.id.clone(), model_system);
                    tied(&mut assumed, step);
                    assumed.kept.assumed = Some(true);
                    done.push(assumed);
                }
                tied(&mut row, &steps[place]);
                // Typed for a pour to the mark, it is that whatever becomes of the card.
                if steps[place].to_the_mark && !row.amount.is_blank() {
                    row.kept.at_mark = Some(true);
                }
            } else if let Some(step) = so_far.iter().find(|s| s.id == row.id && is_new) {
                // A file's entry for a later step stood for it: now it is measured, or was not done.
                if row.amount.is_blank() {
                    row.kept.assumed = Some(false);
                } else {
                    tied(&mut row, step);
                }
            }
            done.push(row);
        }
        lp.done = done;
    }

    /// What only the answer can tell: the loop as a re-reading corrects it.
    fn with_answer(&self, action: Action) -> Option<Action> {
        let Action::After(After::Taken(volume)) = action else {
            return Some(action);
        };
        let place = self.model.selected;
        let index = self.draft.places.iter().position(|&p| p == place)?;
        let answer = &self.current().solved.as_ref()?.answer;
        let corrected = job::after::corrected(&self.draft.job, index, answer, volume)?;
        let id = self.model.current().id;
        let lp = super::import::one_loop(&corrected, id, self.model.system);
        Some(Action::LoopCorrected(Box::new(lp)))
    }

    /// Is there a change to take back?
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// What the card of the loop in sight shows.
    pub fn current(&self) -> &Shown {
        &self.shown[self.model.selected.min(self.shown.len() - 1)]
    }

    fn answer(&mut self) {
        let before = std::mem::take(&mut self.shown);
        self.shown = self
            .model
            .loops
            .iter()
            .map(|lp| Shown {
                id: lp.id,
                solved: before
                    .iter()
                    .find(|s| s.id == lp.id)
                    .and_then(|s| s.solved.clone()),
                fresh: false,
                fault: None,
            })
            .collect();
        self.refused = None;
        self.cautions.clear();
        self.left_out.clear();
        self.quote_fresh = false;
        self.quote_fault = None;
        if !counter::sells(&self.model) {
            self.quote = None;
        }
        self.survey = self.draft.job.survey.as_ref().map(survey::judge);
        if !self.draft.shelf.is_empty()
            || self.draft.job.loops.is_empty()
            || self.draft.job.shelf.is_empty() && self.draft.job.loops.iter().all(|lp| !only(lp))
        {
            return;
        }
        let mut answered = job::answer(&self.draft.job);
        self.quote_fault = answered
            .error
            .take_if(|fault| counter::is_about(&fault.key));
        if self.quote_fault.is_some() {
            // The pour card does without.
            answered = job::answer(&counter::without(&self.draft.job));
        }
        let whole = self.quote_fault.is_none() && !counter::half_typed(&self.draft);
        if whole && answered.error.is_none() {
            self.quote_fresh = answered.sheet.is_some();
            self.quote = answered.sheet.take().map(Rc::new);
        }
        job::after::add(&self.draft.job, &mut answered);
        self.refused = answered.error;
        self.cautions = answered.cautions;
        self.left_out = answered.left_out;
        let stocks: Vec<String> = self
            .draft
            .job
            .shelf
            .iter()
            .map(|s| s.name.clone())
            .collect();
        let rows = self.model.shelf.iter().zip(patterns(&self.model.shelf));
        let patterns: Vec<u8> = rows
            .filter(|(row, _)| row.on)
            .map(|(_, pattern)| pattern)
            .collect();
        let asked = self.draft.job.loops.iter().zip(&self.draft.places);
        for (i, (answer, (asked, &place))) in answered.loops.into_iter().zip(asked).enumerate() {
            let kind = after::file::kind(&self.model.loops[place]);
            let shows = job::after::back::expected(&self.draft.job, i, &answer, kind);
            let shown = &mut self.shown[place];
            if self.draft.job.shelf.is_empty() && !only(asked) {
                continue; // still needed
            }
            if let Some(fault) = answer
                .error
                .as_ref()
                .filter(|f| !is_about_the_plan(&f.code))
            {
                shown.fault = Some(fault.clone());
                continue;
            }
            shown.fresh = true;
            let stuck = answer.error.as_ref().is_some_and(|f| is_for_want(&f.code));
            let short = stuck.then(|| short(&self.model, place)).flatten();
            let before = shown.solved.as_ref().map(|s| &s.curve);
            let curve = Curve::of(asked, before);
            shown.solved = Some(Rc::new(Solved {
                asked: asked.clone(),
                stocks: stocks.clone(),
                patterns: patterns.clone(),
                answer,
                shows,
                curve,
                short,
            }));
        }
    }
}

/// A pattern for each row of the shelf: 0 the first concentrate, 2 the first water, the others one of the rest.
pub fn patterns(shelf: &[StockRow]) -> Vec<u8> {
    let mut list: Vec<u8> = Vec::new();
    let mut others = [1, 3, 5, 4].into_iter().cycle();
    for row in shelf {
        let strength = row.percent.value().ok().flatten().unwrap_or(50.0);
        let own = if strength >= 90.0 {
            Some(0)
        } else if strength <= 0.0 {
            Some(2)
        } else {
            None
        };
        let free = own.filter(|p| !list.contains(p));
        list.push(free.or_else(|| others.next()).unwrap_or(1));
    }
    list
}

/// Is nothing but an additive asked for?
fn only(lp: &file::Loop) -> bool {
    lp.additive.as_ref().is_some_and(|a| a.only)
}

/// Faults that more of a product may mend.
fn is_for_want(code: &str) -> bool {
    matches!(
        code,
        "nothing_to_pour" | "aim_unreachable" | "renewal_unreachable"
    )
}

/// Faults that are an answer of their own, and not a slip in one field.
fn is_about_the_plan(code: &str) -> bool {
    matches!(
        code,
        "aim_outside_limits"
            | "nothing_to_pour"
            | "too_many_stocks"
            | "aim_unreachable"
            | "renewal_unreachable"
            | "no_such_step"
            | "amount_unfit"
    )
}

/// Did the frost reading turn out to have two answers?
pub fn asks_side(page: &Page) -> bool {
    page.current()
        .fault
        .as_ref()
        .is_some_and(|f| f.code == "reading_two_answers")
}

/// The field a fault is about; of a loop: of the loop itself.
pub fn spot_of(fault: &Fault, model: &Model, lp: &LoopModel) -> Option<Spot> {
    if counter::is_about(&fault.key) {
        return counter::spot_of(&fault.key, model).map(Spot::Counter);
    }
    if let Some(spot) = after::file::spot_of(&fault.key, model) {
        return Some(spot);
    }
    if let Some(key) = fault.key.strip_prefix("water.") {
        return WaterField::from_key(key).map(Spot::Water);
    }
    let (place, key) = fault.key.split_once("].")?;
    if let Some(index) = place.strip_prefix("shelf[") {
        let index: usize = index.parse().ok()?;
        let row = model
            .shelf
            .iter()
            .enumerate()
            .filter(|(_, row)| row.on)
            .nth(index)?
            .0;
        return Some(match key {
            "percent" => Spot::StockPercent(row),
            "plus_minus" => Spot::StockSpread(row),
            "have" => Spot::StockHave(row),
            "supplement" | "supplement.value" => Spot::StockLevel(row),
            _ => Spot::StockName(row),
        });
    }
    if let Some(rest) = key.strip_prefix("done[") {
        let index: usize = rest.split(']').next()?.parse().ok()?;
        let id = lp.done.get(index)?.id.clone();
        return Some(if rest.ends_with(".at") {
            Spot::HappenedAt(id)
        } else {
            Spot::Happened(id)
        });
    }
    let field = match key {
        "check_back.reading.at" => Field::BackAt,
        "check_back.reading.plus_minus" => after::back_spread(after::instrument(lp)),
        key if key.starts_with("check_back.") => after::back_field(after::instrument(lp)),
        "aim" | "aim.value" if lp.aim == AimBy::Night => Field::Coldest,
        // A limit by level is by the rate's test.
        "additive.limit.now" => Field::LevelNow,
        "additive.limit.raises" => Field::LevelRaises,
        key => at_key(key, &mut take::shape(lp), |f| take::call(lp, f))?,
    };
    Some(Spot::Loop(field))
}

/// The field of a way to know what is in a loop.
pub const fn reading(by: ReadingBy) -> Field {
    match by {
        ReadingBy::Frost => Field::Frost,
        ReadingBy::Gravity => Field::Gravity,
        ReadingBy::Index => Field::Index,
        ReadingBy::Brix => Field::Brix,
        ReadingBy::Flushed => Field::LeftBehind,
        ReadingBy::Percent | ReadingBy::Water | ReadingBy::Empty | ReadingBy::Unknown => {
            Field::Percent
        }
    }
}

/// The field of how sure it is.
pub const fn spread(by: ReadingBy) -> Field {
    match by {
        ReadingBy::Frost => Field::FrostSpread,
        ReadingBy::Gravity => Field::GravitySpread,
        ReadingBy::Index => Field::IndexSpread,
        ReadingBy::Brix => Field::BrixSpread,
        _ => Field::PercentSpread,
    }
}
