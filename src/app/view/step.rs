//! The steps of the card, and what is still to do in one line.

use super::{
    card::StepView,
    field::{FieldView, field, unit_view},
};
use crate::app::{
    after::instrument,
    amount,
    choice::{ReadingBy, System},
    field::{Measure, Unit},
    model::{DoneRow, Spot},
    number::significant,
    page::{Page, Solved},
    words::{self, Doing},
};
use crate::engine::order::in_order;
use crate::job::answer::{Do, LoopAnswer, Step, Way};
use crate::job::units::VolumeUnit;

/// What is still to do, summed over the rounds.
pub(super) fn doing(answer: &LoopAnswer, system: System) -> Doing {
    Doing {
        rounds: rounds(answer),
        begun: !answer.so_far.is_empty(),
        no_dose: answer.dose.as_ref().is_some_and(|d| {
            d.litres <= 0.0
                && d.carried_over_litres.is_none()
                && d.level.is_none()
                && answer.so_far.iter().all(|s| s.what != Do::Dose)
        }),
        retest: answer.way == Some(Way::Retest) && !answer.steps.is_empty(),
        ..doing_steps(&answer.steps, system)
    }
}

/// The same of steps by themselves.
pub(super) fn doing_steps(steps: &[Step], system: System) -> Doing {
    let sum = |what: Do| -> f64 {
        steps
            .iter()
            .filter(|s| s.what == what)
            .filter_map(|s| s.litres)
            .sum()
    };
    let some = |litres: f64| (litres > 0.0).then_some(litres);
    let mut pours: Vec<(String, f64)> = Vec::new();
    for step in steps.iter().filter(|s| s.what == Do::Pour) {
        let (Some(stock), Some(litres)) = (&step.stock, step.litres) else {
            continue;
        };
        match pours.iter_mut().find(|(name, _)| name == stock) {
            Some((_, total)) => *total += litres,
            None => pours.push((stock.clone(), litres)),
        }
    }
    Doing {
        rounds: 1,
        draw: some(sum(Do::Draw)).map(|l| amount::pour(l, system)),
        dose: some(sum(Do::Dose)).map(|l| amount::dose(l, system)),
        pours: pours
            .into_iter()
            .map(|(name, l)| (amount::pour(l, system), name))
            .collect(),
        begun: false,
        no_dose: false,
        retest: false,
        only_check: !steps.is_empty(),
    }
}

fn rounds(answer: &LoopAnswer) -> u32 {
    let moves = |s: &&Step| matches!(s.what, Do::Draw | Do::Dose | Do::Pour);
    answer
        .so_far
        .iter()
        .chain(&answer.steps)
        .filter(moves)
        .map(|s| s.round)
        .max()
        .unwrap_or(0)
}

/// Done and to do in one list, each step where it stood, whatever was entered first.
pub(super) fn steps(page: &Page, solved: &Solved) -> Vec<StepView> {
    let answer = &solved.answer;
    let mut all: Vec<(&Step, bool)> = answer
        .so_far
        .iter()
        .map(|s| (s, true))
        .chain(answer.steps.iter().map(|s| (s, false)))
        .collect();
    let place = |s: &Step| {
        let what = match s.what {
            Do::Draw => 0,
            Do::Dose => 1,
            Do::Pour => 2,
            Do::Run => 3,
            Do::Check => 4,
        };
        (
            s.round,
            what,
            s.to_the_mark,
            s.id.parse::<u32>().unwrap_or(u32::MAX),
        )
    };
    in_order(&mut all, |a, b| place(a.0).cmp(&place(b.0)));
    let of = rounds(answer);
    let mut last_round = 0;
    all.iter()
        .zip(1..)
        .map(|(&(step, done), number)| {
            let heads = of > 1 && step.round != last_round && step.round <= of;
            last_round = step.round;
            one_step(
                page,
                solved,
                step,
                done,
                number,
                heads.then(|| words::round(step.round, of)),
            )
        })
        .collect()
}

fn one_step(
    page: &Page,
    solved: &Solved,
    step: &Step,
    done: bool,
    number: usize,
    round: Option<String>,
) -> StepView {
    let system = page.model.system;
    let litres = step.litres.unwrap_or(0.0);
    let stock = step.stock.as_deref().unwrap_or_default();
    let (title, note) = match step.what {
        Do::Draw if step.round > 1 => both(words::DRAW_AGAIN),
        Do::Draw => both(words::DRAW),
        Do::Dose => {
            let limit = solved.answer.dose.and_then(|d| d.limit_litres);
            let limit = limit.map(|l| amount::dose(l, system));
            let name = solved
                .asked
                .additive
                .as_ref()
                .map_or("", |a| a.name.as_str());
            (words::dose_title(name), words::dose_note(limit.as_deref()))
        }
        Do::Pour => (
            words::pour_title(stock, step.to_the_mark),
            words::pour_note(step.to_the_mark).to_owned(),
        ),
        Do::Run => both(words::RUN),
        Do::Check => {
            let readings = should_read(page, solved, system);
            let note = if readings.is_empty() {
                String::new()
            } else {
                words::should_read(&readings)
            };
            (words::CHECK.to_owned(), note)
        }
    };
    let note = if step.assumed {
        words::ASSUMED.to_owned()
    } else {
        note
    };
    let place = solved.stocks.iter().position(|name| name == stock);
    let row = page.model.current().done.iter().find(|d| d.id == step.id);
    let to_the_mark = |row: &DoneRow| step.to_the_mark || row.kept.at_mark.is_some();
    let measured = row.filter(|row| to_the_mark(row) && !row.amount.is_blank());
    let measure = match step.what {
        Do::Run => None,
        Do::Dose => Some(Measure::SmallVolume),
        Do::Draw | Do::Pour | Do::Check => Some(Measure::Volume),
    };
    StepView {
        id: step.id.clone(),
        number,
        round,
        note,
        amount: step.litres.map(|_| match step.what {
            Do::Dose => amount::dose(litres, system),
            _ => amount::pour(litres, system),
        }),
        done,
        assumed: step.assumed,
        at_mark: measured.map(|row| row.kept.at_mark != Some(false)),
        happened_asked: done || step.what == Do::Check && !solved.answer.so_far.is_empty(),
        happened: measure.map(|measure| happened(page, step, measure, litres, &title)),
        measured_at: (done && step.what == Do::Draw)
            .then(|| field(page, &Spot::HappenedAt(step.id.clone()))),
        pattern: place.and_then(|i| solved.patterns.get(i).copied()),
        title,
    }
}

/// The field for what really came out or went in, or of the check for the level; blank, it says what the card does.
fn happened(page: &Page, step: &Step, measure: Measure, litres: f64, title: &str) -> FieldView {
    let spot = Spot::Happened(step.id.clone());
    let mut view = field(page, &spot);
    let usual = measure.unit(page.model.system);
    let unit = page.model.entry(&spot).map_or(usual, |e| e.shown_in);
    view.unit = unit_view(&spot, Some(measure), Some(unit));
    view.label_more = words::of_step(title).into();
    if step.what == Do::Check {
        view.label = words::LOW_NOW.to_owned();
    }
    if let Some(amount) = Unit::Volume(VolumeUnit::L).to(unit, litres) {
        view.placeholder = significant(amount, 4);
    }
    view
}

fn both((title, note): (&str, &str)) -> (String, String) {
    (title.to_owned(), note.to_owned())
}

/// What the instrument should show afterwards, on its own scale too.
fn should_read(page: &Page, solved: &Solved, system: System) -> Vec<String> {
    let Some(after) = solved.answer.after else {
        return Vec::new();
    };
    let mut list: Vec<String> = after
        .percent
        .map(|p| amount::percent_spread(p, after.plus_minus))
        .into_iter()
        .collect();
    if instrument(page.model.current()) != ReadingBy::Percent {
        list.extend(
            solved
                .shows
                .map(|s| super::after::on_scale(s.by, s.value, system)),
        );
    }
    list
}
