//! The record of a job: what was in it, what went, what it read, what was measured afterwards.

use super::after::{each, finding, in_unit, level_lines, on_scale, was};
use super::survey::{self, verdict};
use crate::app::{
    after, amount,
    choice::System,
    counter,
    model::Model,
    number::print,
    page::{Page, Solved},
    words,
};
use crate::job::{
    after_file::{Level, Past},
    answer::{Do, Step},
    file::{CoolantTest, Now, Quantity, SizedVolume},
    units::TemperatureUnit,
};

fn reading(now: &Now, system: System) -> String {
    let (by, value) = match *now {
        Now::Percent { value, .. } => ("percent", value),
        Now::FreezingPoint { value, unit, .. } => ("freezing_point", unit.to_celsius(value)),
        Now::SpecificGravity { value, .. } => ("specific_gravity", value),
        Now::RefractiveIndex { value, .. } => ("refractive_index", value),
        Now::Brix { value, .. } => ("brix", value),
        ref other => return words::state(other).to_owned(),
    };
    on_scale(by, value, system)
}

fn amounts(litres: f64, what: Do, stock: Option<&str>, system: System) -> String {
    let amount = match what {
        Do::Dose => amount::dose(litres, system),
        _ => amount::pour(litres, system),
    };
    let of = stock.map_or(String::new(), |s| [" ", &words::in_sentence(s)].concat());
    [words::moved(what), &amount, &of].concat()
}

fn held(volume: &SizedVolume) -> String {
    let mut text = in_unit(volume.value, volume.unit);
    if let Some(p) = volume.plus_minus {
        text.push_str(" ± ");
        text.push_str(&print(p));
    }
    text
}

fn line(head: &str, rest: &str) -> String {
    [head, ": ", rest].concat()
}

/// The record of the whole job: headings and lines.
pub(super) fn record(page: &Page) -> Vec<(String, Vec<String>)> {
    let model = &page.model;
    let system = model.system;
    let mut list = Vec::new();
    let (date, notes) = (&page.draft.job.date, &page.draft.job.notes);
    let told = [date, notes].map(|text| text.iter().map(|text| words::isolated(text)));
    let mut told = told.into_iter().flatten();
    if let Some(heading) = told.next() {
        list.push((heading, told.collect()));
    }
    let vehicle = super::sheet::facts(model, counter::RECORD..counter::PAPERS.len());
    if !vehicle.is_empty() {
        let lines = vehicle.iter().map(|(label, text)| line(label, text));
        list.push((words::VEHICLE_RECORD.to_owned(), lines.collect()));
    }
    for (place, shown) in page.shown.iter().enumerate() {
        let Some(solved) = &shown.solved else {
            continue;
        };
        let name = words::loop_title(&model.loops[place].name, place);
        for past in &solved.asked.past {
            list.push((
                [&name, ", ", words::RECORD_PAST].concat(),
                past_lines(past, system),
            ));
        }
        list.push((name, loop_lines(solved, system)));
        let mut lines = level_rows(&solved.asked.levels, system);
        if !lines.is_empty() {
            if let Some(found) = &solved.answer.levels {
                lines.extend(level_lines(found, system));
            }
            list.push((words::LEVELS.to_owned(), lines));
        }
    }
    if let Some(found) = &page.survey {
        let spots = found.spots.iter();
        let mut lines: Vec<String> = spots
            .map(|s| line(&words::isolated(&s.name), &verdict(s, found, system)))
            .collect();
        if found.spots.iter().any(|s| s.difference_k.is_some()) {
            lines.extend(survey::notes(found, system));
            lines.extend(run_lines(model, system));
            list.push((words::SURVEY.to_owned(), lines));
        }
    }
    list
}

fn loop_lines(solved: &Solved, system: System) -> Vec<String> {
    let asked = &solved.asked;
    let mut lines = vec![line(words::RECORD_HELD, &held(&asked.volume))];
    lines.extend(was(&asked.volume));
    lines.push(line(words::RECORD_NOW, &reading(&asked.now, system)));
    let answer = &solved.answer;
    lines.extend(asked.coolant_test.and_then(coolant_line));
    lines.extend(
        super::margin::caps(solved, system).map(|(caps, _)| line(words::RECORD_CAP, &caps)),
    );
    let step = |s: &Step, how: &str| {
        let moved = amounts(s.litres?, s.what, s.stock.as_deref(), system);
        Some([&moved, how].concat())
    };
    let entered = answer.so_far.iter().filter_map(|s| step(s, ""));
    let to_come = answer.steps.iter();
    let to_come = to_come.filter_map(|s| step(s, words::BY_THE_CARD));
    let went: Vec<String> = entered.chain(to_come).collect();
    if !went.is_empty() {
        lines.push(line(words::RECORD_WENT, &went.join(", ")));
    }
    if let Some(s) = solved.shows {
        lines.push(line(words::RECORD_SHOULD, &on_scale(s.by, s.value, system)));
    }
    if let (Some(told), Some(back)) = (&asked.check_back, &answer.check_back) {
        let mut read = reading(&told.reading, system);
        if let Some(found) = finding(back, system) {
            read = [&read, ". ", &found.heading].concat();
        }
        if let Some(date) = &told.date {
            read = [date, ", ", &read].concat();
        }
        lines.push(line(words::RECORD_READ, &read));
        if let Some(v) = back.volume {
            let range = each(&[v.litres, v.low_litres, v.high_litres], &|l| {
                amount::about(l, 1, system)
            });
            lines.push(line(
                words::RECORD_TRUE,
                &words::filled(words::RECORD_RANGE, &range),
            ));
        }
    }
    lines
}

/// pH and reserve alkalinity, as far as they were measured.
fn coolant_line(test: CoolantTest) -> Option<String> {
    let ph = test.ph.map(|v| ["pH ", &print(v)].concat());
    let reserve = test.reserve_alkalinity;
    let reserve = reserve.map(|v| words::filled(words::RECORD_RESERVE, &[print(v)]));
    let told: Vec<String> = ph.into_iter().chain(reserve).collect();
    (!told.is_empty()).then(|| line(words::GROUP_COOLANT, &told.join(", ")))
}

fn past_lines(past: &Past, system: System) -> Vec<String> {
    let steps: Vec<String> = past
        .steps
        .iter()
        .map(|s| {
            let litres = s.amount.value * s.amount.unit.litres();
            amounts(litres, s.step, s.stock.as_deref(), system)
        })
        .collect();
    let mut lines = vec![
        line(words::RECORD_HELD, &held(&past.volume)),
        line(words::RECORD_NOW, &reading(&past.now, system)),
        line(words::RECORD_WENT, &steps.join(", ")),
        line(words::RECORD_READ, &reading(&past.read, system)),
    ];
    lines.extend(past.date.clone());
    lines
}

fn level_rows(levels: &[Level], system: System) -> Vec<String> {
    levels
        .iter()
        .map(|level| {
            let below = in_unit(level.missing.value, level.missing.unit);
            let read = level
                .reading
                .map(|now| [", ", &reading(&now, system)].concat());
            line(
                &level.date,
                &[&below, &read.unwrap_or_default()[..]].concat(),
            )
        })
        .collect()
}

fn run_lines(model: &Model, system: System) -> Vec<String> {
    let Some(survey) = after::file::take_survey(&model.survey) else {
        return Vec::new();
    };
    let celsius =
        |q: Quantity<TemperatureUnit>| amount::whole_degrees(q.unit.to_celsius(q.value), system);
    let mut counts = [0, 0];
    let mut lines = Vec::new();
    for run in &survey.runs {
        let count = &mut counts[run.when as usize];
        *count += 1;
        let shown: Vec<String> = run
            .shown
            .iter()
            .map(|s| {
                let q = Quantity {
                    value: s.value,
                    unit: s.unit,
                };
                [&s.spot[..], " ", &celsius(q)].concat()
            })
            .collect();
        let air = [
            words::AIR,
            " ",
            &celsius(run.ambient),
            "; ",
            &shown.join(", "),
        ]
        .concat();
        lines.push(line(&words::run_name(run.when, *count), &air));
    }
    lines
}
