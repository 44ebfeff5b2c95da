//! What an action does to the model. Pure; nothing is rewritten but what the action is about.

use super::{
    action::{Action, Pick},
    after,
    choice::{AimBy, LimitBy, RateBy, System},
    counter,
    draft::LIMITS,
    field::{Entry, Field, Measure, Unit},
    model::{DoneRow, LoopModel, Model, Spot, StockRow},
};
use crate::job::file::GlycolName;

/// The model after an action. `Undone` is not the model's business: [`super::page`] keeps what came before.
pub fn update(model: &Model, action: Action) -> Model {
    let mut next = model.clone();
    match action {
        Action::Typed(spot, text) => typed(&mut next, spot, text),
        Action::SignTurned(spot) => {
            if let Some(entry) = entry_mut(&mut next, &spot) {
                entry.turn();
            }
        }
        Action::UnitChosen(spot, unit) => unit_chosen(&mut next, &spot, unit),
        Action::UnitsChosen(system) => units_chosen(&mut next, system),
        Action::Chosen(pick) => chosen(next.current_mut(), pick),
        Action::StockTicked(i) => {
            let glycol = next.current().glycol;
            if let Some(row) = next.shelf.get_mut(i) {
                row.on = !row.on;
                if row.on && row.kept.glycol.is_none() {
                    row.glycol = glycol;
                }
            }
        }
        Action::StockGlycolChosen(i, glycol) => {
            if let Some(row) = next.shelf.get_mut(i) {
                row.glycol = glycol;
            }
        }
        Action::StockBringsChosen(i, brings) => {
            if let Some(row) = next.shelf.get_mut(i) {
                row.brings = brings;
            }
        }
        Action::StockFamilyChosen(i, family) => {
            if let Some(row) = next.shelf.get_mut(i) {
                row.family = family;
            }
        }
        Action::WaterLimitsChosen(limits) => next.water.limits = limits,
        Action::StockAdded => {
            let row = new_stock(&next);
            next.shelf.push(row);
        }
        Action::StockRemoved(i) => {
            if i < next.shelf.len() {
                next.shelf.remove(i);
            }
        }
        Action::StepTicked(id) => step_ticked(&mut next, id),
        Action::AtMark(id, there) => {
            let done = &mut next.current_mut().done;
            if let Some(row) = done.iter_mut().find(|d| d.id == id) {
                row.kept.at_mark = Some(there);
            }
        }
        Action::SettledFor(percent) => settled_for(next.current_mut(), percent),
        Action::CardCleared => next.current_mut().done.clear(),
        Action::LoopChosen(i) => next.selected = i.min(next.loops.len() - 1),
        Action::LoopAdded => {
            let mut added = LoopModel::empty(next.next_id(), next.system);
            added.glycol = next.current().glycol;
            next.selected = next.loops.len();
            next.loops.push(added);
        }
        Action::LikeLoop(i) => {
            if let Some(other) = next.loops.get(i).cloned() {
                like(next.current_mut(), &other);
            }
        }
        Action::LoopDuplicated => {
            let copy = LoopModel {
                id: next.next_id(),
                done: Vec::new(),
                ..next.current().clone()
            };
            next.selected = next.loops.len();
            next.loops.push(copy);
        }
        Action::LoopRemoved => {
            if next.loops.len() > 1 {
                next.loops.remove(next.selected);
                next.selected = next.selected.min(next.loops.len() - 1);
            }
        }
        Action::Dealt(deal) => counter::deal(&mut next, deal),
        Action::After(what) => after::update::update(&mut next, what),
        Action::LoopCorrected(lp) => *next.current_mut() = *lp,
        Action::JobOpened(opened) => next = *opened,
        Action::Undone => {}
    }
    next
}

fn typed(model: &mut Model, spot: Spot, text: String) {
    match spot {
        Spot::Title => model.title = text,
        Spot::LoopName => model.current_mut().name = text,
        Spot::AdditiveName => model.current_mut().additive_name = text,
        Spot::StockName(i) => {
            if let Some(row) = model.shelf.get_mut(i) {
                row.name = text;
            }
        }
        Spot::Happened(id) => happened(model, id, text),
        Spot::Counter(place) => counter::typed(model, place, text),
        Spot::Loop(_)
        | Spot::StockPercent(_)
        | Spot::StockSpread(_)
        | Spot::StockHave(_)
        | Spot::StockLevel(_)
        | Spot::HappenedAt(_)
        | Spot::Water(_)
        | Spot::BackDate
        | Spot::Level(..)
        | Spot::Place(_)
        | Spot::Run(..)
        | Spot::Study(_) => {
            if let Some(entry) = entry_mut(model, &spot) {
                entry.type_in(text);
                take_cap_mark(entry, &spot);
            }
        }
    }
}

/// A number typed for a cap is taken in the unit its size tells; the page says which, and it can be changed there.
fn take_cap_mark(entry: &mut Entry, spot: &Spot) {
    if let Spot::Loop(Field::Cap | Field::OtherCap | Field::MakerCap) = spot
        && let Ok(Some(number)) = entry.value()
    {
        entry.shown_in = Unit::of_cap_mark(number);
        entry.typed_in = entry.shown_in;
    }
}

fn entry_mut<'a>(model: &'a mut Model, spot: &Spot) -> Option<&'a mut Entry> {
    match spot {
        Spot::Title | Spot::LoopName | Spot::AdditiveName | Spot::StockName(_) => None,
        Spot::Loop(field) => Some(model.current_mut().entries.get_mut(*field)),
        Spot::StockPercent(i) => model.shelf.get_mut(*i).map(|row| &mut row.percent),
        Spot::StockSpread(i) => model.shelf.get_mut(*i).map(|row| &mut row.spread),
        Spot::StockHave(i) => model.shelf.get_mut(*i).map(|row| &mut row.have),
        Spot::StockLevel(i) => model.shelf.get_mut(*i).map(|row| &mut row.level),
        Spot::Counter(place) => counter::entry_mut(model, *place),
        Spot::Happened(id) => model
            .current_mut()
            .done
            .iter_mut()
            .find(|d| d.id == *id)
            .map(|d| &mut d.amount),
        Spot::BackDate | Spot::Level(..) | Spot::Place(_) | Spot::Run(..) | Spot::Study(_) => {
            let last = model.loops.len() - 1;
            let lp = &mut model.loops[model.selected.min(last)];
            after::entry_mut(lp, &mut model.survey, spot)
        }
        Spot::HappenedAt(id) => model
            .current_mut()
            .done
            .iter_mut()
            .find(|d| d.id == *id)
            .map(|d| &mut d.at),
        Spot::Water(field) => Some(model.water.entries.get_mut(*field)),
    }
}

/// A measured amount is an entry of its own the moment it is typed; wiped out again, the step still stands ticked.
fn happened(model: &mut Model, id: String, text: String) {
    let system = model.system;
    let done = &mut model.current_mut().done;
    match done.iter_mut().find(|d| d.id == id) {
        Some(row) => {
            row.amount.type_in(text);
            row.kept.assumed = None;
        }
        None => {
            let mut row = DoneRow::new(id, system);
            row.amount.type_in(text);
            done.push(row);
        }
    }
}

/// The target is what can be reached, and the limits give way to it. The lowest temperature stays, to be judged by.
fn settled_for(lp: &mut LoopModel, percent: f64) {
    let percent = (percent * 10.0).round() / 10.0;
    lp.aim = AimBy::Percent;
    lp.entries.set(Field::AimPercent, percent, Unit::Percent);
    let typed = |field| lp.entries.get(field).value().ok().flatten();
    let low = typed(Field::Low).unwrap_or(LIMITS.0);
    let high = typed(Field::High).unwrap_or(LIMITS.1);
    if percent < low {
        lp.entries.set(Field::Low, percent.floor(), Unit::Percent);
    }
    if percent > high {
        lp.entries.set(Field::High, percent.ceil(), Unit::Percent);
    }
}

/// The same additive, product and cap. What is in there already is each loop's own.
fn like(lp: &mut LoopModel, other: &LoopModel) {
    (lp.dose, lp.rate, lp.limit) = (other.dose, other.rate, other.limit);
    (lp.purpose, lp.test_of, lp.carrier) = (other.purpose, other.test_of, other.carrier);
    (lp.cap_age, lp.cap_kind) = (other.cap_age, other.cap_kind);
    lp.additive_name.clone_from(&other.additive_name);
    lp.bottles.clone_from(&other.bottles);
    for &field in LIKE {
        let entry = other.entries.get(field).clone();
        *lp.entries.get_mut(field) = entry;
    }
}

/// The fields of an additive's label, and of the cap.
const LIKE: &[Field] = &[
    Field::RateRatio,
    Field::RatePercent,
    Field::RateParts,
    Field::BottleSize,
    Field::TreatsFrom,
    Field::TreatsTo,
    Field::WholeDownTo,
    Field::LevelAim,
    Field::LevelRaises,
    Field::LimitRatio,
    Field::LimitPercent,
    Field::LimitParts,
    Field::LimitBottle,
    Field::LimitTreats,
    Field::LimitLevel,
    Field::DoseStep,
    Field::Cap,
    Field::CapShare,
    Field::Altitude,
];

/// Ticked, or unticked. What later entries stand for as well was not done then, and that is kept; with the last entry
/// goes what it alone stood for.
fn step_ticked(model: &mut Model, id: String) {
    let system = model.system;
    let done = &mut model.current_mut().done;
    let Some(place) = done.iter().position(|d| d.id == id) else {
        done.push(DoneRow::new(id, system));
        return;
    };
    done[place] = DoneRow::new(id, system);
    done[place].kept.assumed = Some(false);
    while done.last().is_some_and(|row| row.kept.assumed.is_some()) {
        done.pop();
    }
}

fn unit_chosen(model: &mut Model, spot: &Spot, unit: Unit) {
    if let Spot::Loop(field) = spot {
        model.current_mut().entries.mean_in(*field, unit);
    } else if let Some(entry) = entry_mut(model, spot) {
        entry.mean_in(unit);
    }
}

fn units_chosen(model: &mut Model, system: System) {
    model.system = system;
    counter::units_chosen(model, system);
    for row in &mut model.shelf {
        row.have.show_in_system(Measure::Volume, system);
    }
    for lp in &mut model.loops {
        lp.entries.show_in_system(system);
        for row in &mut lp.done {
            row.amount.show_in_system(Measure::Volume, system);
            row.at.show_in_system(Measure::Temperature, system);
        }
        for spot in after::spots_of_levels(lp) {
            show_in_system(
                after::entry_mut(lp, &mut model.survey, &spot),
                &spot,
                system,
            );
        }
    }
    for spot in after::spots_of_survey(&model.survey) {
        show_in_system(entry_mut(model, &spot), &spot, system);
    }
}

fn show_in_system(entry: Option<&mut Entry>, spot: &Spot, system: System) {
    if let Some((entry, measure)) = entry.zip(spot.measure()) {
        entry.show_in_system(measure, system);
    }
}

fn chosen(lp: &mut LoopModel, pick: Pick) {
    pick.put(lp);
    // A limit by level goes with a rate by level.
    if matches!(pick, Pick::Rate(_)) && lp.limit == LimitBy::Level && lp.rate != RateBy::Level {
        lp.limit = LimitBy::Ratio;
    }
}

/// A row with a name no other row has: the first of "Stock 1", "Stock 2" … that is free.
fn new_stock(model: &Model) -> StockRow {
    let taken = |name: &str| model.shelf.iter().any(|row| row.name == name);
    let mut count = model.shelf.len() + 1;
    let mut name = super::words::stock_name(count);
    while taken(&name) {
        count += 1;
        name = super::words::stock_name(count);
    }
    let glycol: GlycolName = model.current().glycol;
    let mut row = StockRow {
        on: true,
        added: true,
        glycol,
        ..StockRow::offer(&name, 0.0, model.system)
    };
    row.percent = Entry::blank(Unit::Percent);
    row
}
