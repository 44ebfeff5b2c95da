//! What was typed afterwards, to and from a job file. A row that is not whole yet, or a number that is none, is left
//! out of the job and stays on the page; [`is_whole`] tells.

use super::{
    LEVEL_PARTS, LevelPart, LevelRow, PlaceRow, RunPart, RunRow, STUDY_PARTS, StudyPart,
    SurveyModel, back_field, entry, instrument, measure, spots_of_levels, spots_of_survey,
};
use crate::app::{
    choice::{ReadingBy, System},
    field::{Entry, Field, Unit},
    model::{LoopModel, Model, Spot},
    words,
};
use crate::job::{
    after::date::day,
    after_file::{
        CheckBack, Level, Run, Shown, Spot as FileSpot, Survey, Thermostat, ThermostatPlace,
    },
    file::{Loop, Now, Quantity},
    record::Field as _,
    units::{IntervalUnit, TemperatureUnit, VolumeUnit},
};

/// Is everything typed afterwards in the job?
pub fn is_whole(model: &Model) -> bool {
    let survey = &model.survey;
    let right = |lp: &LoopModel, spot: &Spot| {
        measure(spot).is_none() || entry(lp, survey, spot).is_none_or(|e| e.value().is_ok())
    };
    let backs = [
        Field::BackPercent,
        Field::BackFrost,
        Field::BackGravity,
        Field::BackIndex,
        Field::BackBrix,
        Field::BackAt,
        Field::BackPercentSpread,
        Field::BackFrostSpread,
        Field::BackGravitySpread,
        Field::BackIndexSpread,
        Field::BackBrixSpread,
    ];
    model.loops.iter().all(|lp| {
        let date = lp.back_date.typed.trim();
        (date.is_empty() || day(date).is_some())
            && spots_of_levels(lp).iter().all(|s| right(lp, s))
            && backs.iter().all(|f| lp.entries.get(*f).value().is_ok())
    }) && spots_of_survey(survey)
        .iter()
        .all(|s| right(model.current(), s))
}

fn number(entry: &Entry) -> Option<f64> {
    entry.value().ok().flatten()
}

fn temperature(entry: &Entry) -> Option<Quantity<TemperatureUnit>> {
    match (number(entry)?, entry.typed_in) {
        (value, Unit::Temperature(unit)) => Some(Quantity { value, unit }),
        _ => None,
    }
}

fn volume(entry: &Entry) -> Option<Quantity<VolumeUnit>> {
    crate::app::take::as_volume((number(entry)?, entry.typed_in))
}

/// Writes a loop's part of it into the loop.
pub fn take_loop(lp: &LoopModel, out: &mut Loop) {
    let date = lp.back_date.typed.trim();
    out.check_back = reading(lp).map(|reading| CheckBack {
        reading,
        date: day(date).map(|_| date.to_owned()),
    });
    out.levels = lp.levels.iter().filter_map(|row| look(lp, row)).collect();
}

/// The kind of the re-reading, its numbers at nothing where they are not typed; the temperature of the sample 20 °C.
pub fn kind(lp: &LoopModel) -> Now {
    let by = instrument(lp);
    let value = number(lp.entries.get(back_field(by)));
    shown(lp, by, value.unwrap_or(0.0)).unwrap_or(Now::Percent {
        value: 0.0,
        plus_minus: None,
    })
}

fn reading(lp: &LoopModel) -> Option<Now> {
    let by = instrument(lp);
    let field = lp.entries.get(back_field(by));
    if let Some(back) = &lp.kept.check_back
        && let Now::Water {} = back.reading
        && field.is_blank()
    {
        return Some(back.reading);
    }
    shown(lp, by, number(field)?)
}

/// A re-reading as sure as was typed, or as the reading before on the same instrument.
fn shown(lp: &LoopModel, by: ReadingBy, value: f64) -> Option<Now> {
    let twenty = Quantity {
        value: 20.0,
        unit: TemperatureUnit::DegC,
    };
    let at = temperature(lp.entries.get(Field::BackAt)).unwrap_or(twenty);
    let unit = match lp.entries.get(Field::BackFrost).typed_in {
        Unit::Temperature(unit) => unit,
        _ => TemperatureUnit::DegC,
    };
    let (plus_minus, side) = sureness(lp, by, unit);
    Some(match by {
        ReadingBy::Frost => Now::FreezingPoint {
            value,
            unit,
            plus_minus,
            side,
        },
        ReadingBy::Gravity => Now::SpecificGravity {
            value,
            at,
            plus_minus,
        },
        ReadingBy::Index => Now::RefractiveIndex {
            value,
            at,
            plus_minus,
        },
        ReadingBy::Brix => Now::Brix {
            value,
            at,
            plus_minus,
        },
        _ => Now::Percent { value, plus_minus },
    })
}

/// Half-width and side: its own where they are typed, else those typed for the reading before, by the same instrument.
fn sureness(
    lp: &LoopModel,
    by: ReadingBy,
    degree: TemperatureUnit,
) -> (Option<f64>, Option<crate::job::file::Side>) {
    let same = by == lp.reading;
    // A file that does not say means what is usual for the instrument, whatever the reading before was.
    let told = lp.kept.check_back.is_some();
    let own = lp.entries.get(super::back_spread(by));
    let before = lp.entries.get(crate::app::page::spread(by));
    let entry = if own.is_blank() && same && !told {
        before
    } else {
        own
    };
    let into = Unit::Interval(match degree {
        TemperatureUnit::DegC => IntervalUnit::DegC,
        TemperatureUnit::DegF => IntervalUnit::DegF,
    });
    let half = number(entry);
    let kept = lp.kept.check_back.as_ref().map(|back| back.reading);
    match (by, kept) {
        (ReadingBy::Frost, kept) => (
            half.and_then(|v| entry.typed_in.to(into, v)),
            match kept {
                Some(Now::FreezingPoint { side, .. }) => side,
                _ if same => lp.side,
                _ => None,
            },
        ),
        _ => (half, None),
    }
}

fn look(lp: &LoopModel, row: &LevelRow) -> Option<Level> {
    let at = |part: LevelPart| &row.entries[part as usize];
    let date = at(LevelPart::Date).typed.trim();
    if date.is_empty() {
        return None;
    }
    let percent = number(at(LevelPart::Percent));
    let frost = temperature(at(LevelPart::Frost));
    let reading = match (percent, frost, row.kept.reading) {
        (Some(value), _, kept) => Some(Now::Percent {
            value,
            plus_minus: match kept {
                Some(Now::Percent { plus_minus, .. }) => plus_minus,
                _ => None,
            },
        }),
        (None, Some(q), kept) => Some(match kept {
            Some(Now::FreezingPoint {
                plus_minus, side, ..
            }) => Now::FreezingPoint {
                value: q.value,
                unit: q.unit,
                plus_minus,
                side,
            },
            _ => Now::FreezingPoint {
                value: q.value,
                unit: q.unit,
                plus_minus: None,
                side: lp.side,
            },
        }),
        (None, None, Some(Now::Percent { .. } | Now::FreezingPoint { .. }) | None) => None,
        (None, None, kept) => kept,
    };
    Some(Level {
        date: date.to_owned(),
        missing: match at(LevelPart::Missing) {
            // At the mark, as it says where nothing is typed.
            entry if entry.is_blank() => Quantity {
                value: 0.0,
                unit: VolumeUnit::L,
            },
            entry => volume(entry)?,
        },
        at: temperature(at(LevelPart::At)),
        reading,
        added: volume(at(LevelPart::Added)),
    })
}

/// The name of a spot, or what stands for one.
pub fn place_name(survey: &SurveyModel, i: usize) -> String {
    let typed = survey.places.get(i).map_or("", |row| row.name.typed.trim());
    if typed.is_empty() {
        words::place_name(i)
    } else {
        typed.to_owned()
    }
}

/// The survey that can be made of what was typed; `None` where there is nothing of it.
pub fn take_survey(model: &SurveyModel) -> Option<Survey> {
    let interval = |part| match (number(model.part(part)), model.part(part).typed_in) {
        (Some(value), Unit::Interval(unit)) => Some(Quantity { value, unit }),
        _ => None,
    };
    let thermostat = |opens, full_open, sits: Option<ThermostatPlace>| {
        Some(Thermostat {
            opens: temperature(model.part(opens))?,
            full_open: temperature(model.part(full_open)),
            place: sits.unwrap_or(ThermostatPlace::Outlet),
        })
    };
    let [sits, sits_after] = model.sits;
    let told = Survey {
        accuracy: interval(StudyPart::Accuracy),
        difference: interval(StudyPart::Difference),
        // Half a run is one more; what is no number of runs is refused beside its field.
        planned: number(model.part(StudyPart::Planned)).map(|n| n.ceil() as u32),
        thermostat: thermostat(StudyPart::Opens, StudyPart::FullOpen, sits),
        thermostat_after: thermostat(
            StudyPart::OpensAfter,
            StudyPart::FullOpenAfter,
            sits_after.or(sits),
        ),
        ..Survey::blank()
    };
    if told == Survey::blank() && model.places.is_empty() && model.runs.is_empty() {
        return None;
    }
    let spots = (0..model.places.len()).map(|i| FileSpot {
        name: place_name(model, i),
        ..model.places[i].kept.clone()
    });
    Some(Survey {
        spots: spots.collect(),
        runs: model
            .runs
            .iter()
            .filter_map(|row| run(model, row))
            .collect(),
        ..told
    })
}

/// Without the air's temperature a run says nothing.
fn run(model: &SurveyModel, row: &RunRow) -> Option<Run> {
    let mut list = Vec::new();
    for (i, entry) in row.shown.iter().enumerate() {
        if let Some(Quantity { value, unit }) = temperature(entry) {
            list.push(Shown {
                spot: place_name(model, i),
                value,
                unit,
            });
        }
    }
    let [ambient, minutes, setting, reflected, pair, stop] = &row.entries;
    let text = |entry: &Entry| (!entry.is_blank()).then(|| entry.typed.trim().to_owned());
    Some(Run {
        ambient: temperature(ambient)?,
        minutes: number(minutes),
        emissivity: number(setting),
        reflected: temperature(reflected),
        pair: text(pair),
        stop: text(stop),
        shown: list,
        ..row.kept.clone()
    })
}

/// What a reading says of its own sureness.
const fn half_width(now: &Now) -> Option<f64> {
    match now {
        Now::Percent { plus_minus, .. }
        | Now::FreezingPoint { plus_minus, .. }
        | Now::SpecificGravity { plus_minus, .. }
        | Now::RefractiveIndex { plus_minus, .. }
        | Now::Brix { plus_minus, .. } => *plus_minus,
        _ => None,
    }
}

fn of_temperature(q: Quantity<TemperatureUnit>) -> Entry {
    Entry::of(q.value, Unit::Temperature(q.unit))
}

/// Reads a loop's part of it out of the loop.
pub fn import_loop(lp: &Loop, out: &mut LoopModel, system: System) {
    if let Some(back) = &lp.check_back {
        let (by, value, unit, at) = match back.reading {
            Now::FreezingPoint { value, unit, .. } => {
                (ReadingBy::Frost, value, Unit::Temperature(unit), None)
            }
            Now::SpecificGravity { value, at, .. } => {
                (ReadingBy::Gravity, value, Unit::None, Some(at))
            }
            Now::RefractiveIndex { value, at, .. } => {
                (ReadingBy::Index, value, Unit::None, Some(at))
            }
            Now::Brix { value, at, .. } => (ReadingBy::Brix, value, Unit::Brix, Some(at)),
            Now::Percent { value, .. } => (ReadingBy::Percent, value, Unit::Percent, None),
            _ => (ReadingBy::Percent, f64::NAN, Unit::Percent, None),
        };
        out.back = Some(by);
        if !value.is_nan() {
            out.entries.set(back_field(by), value, unit);
        }
        if let Some(q) = at {
            out.entries
                .set(Field::BackAt, q.value, Unit::Temperature(q.unit));
        }
        if let Some(half) = half_width(&back.reading) {
            let unit = match (by, unit) {
                (_, Unit::Temperature(TemperatureUnit::DegF)) => Unit::Interval(IntervalUnit::DegF),
                (_, Unit::Temperature(_)) => Unit::Interval(IntervalUnit::DegC),
                (_, Unit::Percent) => Unit::Points,
                (_, unit) => unit,
            };
            out.entries.set(super::back_spread(by), half, unit);
        }
        out.back_date.typed = back.date.clone().unwrap_or_default();
    }
    out.levels = lp
        .levels
        .iter()
        .map(|level| level_row(level, system))
        .collect();
}

fn level_row(level: &Level, system: System) -> LevelRow {
    let mut row = LevelRow::blank(system);
    for part in LEVEL_PARTS {
        let volume = |q: Quantity<VolumeUnit>| Entry::of(q.value, Unit::Volume(q.unit));
        let filled = match (part, level.reading) {
            (LevelPart::Date, _) => None,
            (LevelPart::Missing, _) => Some(volume(level.missing)),
            (LevelPart::At, _) => level.at.map(of_temperature),
            (LevelPart::Percent, Some(Now::Percent { value, .. })) => {
                Some(Entry::of(value, Unit::Percent))
            }
            (LevelPart::Frost, Some(Now::FreezingPoint { value, unit, .. })) => {
                Some(Entry::of(value, Unit::Temperature(unit)))
            }
            (LevelPart::Percent | LevelPart::Frost, _) => None,
            (LevelPart::Added, _) => level.added.map(volume),
        };
        if let Some(entry) = filled {
            row.entries[part as usize] = entry;
        }
    }
    level.date.clone_into(&mut row.entries[0].typed);
    row.kept = level.clone();
    row
}

/// Reads a survey.
pub fn import_survey(survey: Option<&Survey>, system: System) -> SurveyModel {
    let mut model = SurveyModel::blank(system);
    let Some(survey) = survey else {
        return model;
    };
    let intervals = [
        (StudyPart::Accuracy, survey.accuracy),
        (StudyPart::Difference, survey.difference),
    ];
    for (part, given) in intervals {
        if let Some(q) = given {
            model.told[part as usize] = Entry::of(q.value, Unit::Interval(q.unit));
        }
    }
    if let Some(n) = survey.planned {
        model.told[StudyPart::Planned as usize] = Entry::of(f64::from(n), Unit::None);
    }
    let thermostats = [survey.thermostat, survey.thermostat_after];
    for (i, thermostat) in thermostats.into_iter().enumerate() {
        let Some(t) = thermostat else { continue };
        let first = StudyPart::Opens as usize + 2 * i;
        model.told[first] = of_temperature(t.opens);
        if let Some(q) = t.full_open {
            model.told[first + 1] = of_temperature(q);
        }
        model.sits[i] = Some(t.place);
    }
    for spot in &survey.spots {
        let mut row = PlaceRow::named(&spot.name);
        row.kept = spot.clone();
        model.places.push(row);
    }
    for run in &survey.runs {
        let mut row = RunRow::blank(run.when, survey.spots.len(), system);
        row.entries[0] = of_temperature(run.ambient);
        for (k, value) in [(1, run.minutes), (2, run.emissivity)] {
            if let Some(value) = value {
                row.entries[k] = Entry::of(value, Unit::None);
            }
        }
        if let Some(q) = run.reflected {
            row.entries[3] = of_temperature(q);
        }
        for (k, text) in [(4, &run.pair), (5, &run.stop)] {
            text.as_deref()
                .unwrap_or_default()
                .clone_into(&mut row.entries[k].typed);
        }
        for shown in &run.shown {
            if let Some(k) = survey.spots.iter().position(|s| s.name == shown.spot) {
                row.shown[k] = Entry::of(shown.value, Unit::Temperature(shown.unit));
            }
        }
        row.kept = run.clone();
        model.runs.push(row);
    }
    model
}

/// Rows for what a record keeps of the survey, their texts still to come.
pub fn skeleton(model: &SurveyModel) -> Survey {
    let [thermostat, thermostat_after] = model.sits.map(|sits| {
        Some(Thermostat {
            place: sits?,
            ..Thermostat::blank()
        })
    });
    Survey {
        thermostat,
        thermostat_after,
        spots: model.places.iter().map(|row| row.kept.clone()).collect(),
        runs: model.runs.iter().map(|row| row.kept.clone()).collect(),
        ..Survey::blank()
    }
}

/// The rows again.
pub fn from_skeleton(kept: Option<Survey>, system: System) -> SurveyModel {
    let mut model = SurveyModel::blank(system);
    let Some(kept) = kept else {
        return model;
    };
    model.sits = [kept.thermostat, kept.thermostat_after].map(|t| t.map(|t| t.place));
    for spot in kept.spots {
        let mut row = PlaceRow::named("");
        row.kept = spot;
        model.places.push(row);
    }
    for run in kept.runs {
        let mut row = RunRow::blank(run.when, model.places.len(), system);
        row.kept = run;
        model.runs.push(row);
    }
    model
}

/// What a spot of the run's part is, for a fault's key such as `survey.runs[0].shown[2].value`.
pub fn spot_of(key: &str, model: &Model) -> Option<Spot> {
    if let Some(part) = STUDY_PARTS.iter().find(|p| p.2 == key) {
        return Some(Spot::Study(part.0));
    }
    let (head, rest) = key.split_once('[')?;
    let (index, rest) = rest.split_once(']')?;
    let index: usize = index.parse().ok()?;
    let survey = &model.survey;
    Some(match (head, rest) {
        ("survey.spots", _) => Spot::Place(index),
        ("survey.runs", ".ambient") => Spot::Run(nth_run(survey, index)?, RunPart::Ambient),
        ("survey.runs", ".minutes") => Spot::Run(nth_run(survey, index)?, RunPart::Minutes),
        ("survey.runs", ".reflected") => Spot::Run(nth_run(survey, index)?, RunPart::Reflected),
        ("survey.runs", ".emissivity") => Spot::Run(nth_run(survey, index)?, RunPart::Setting),
        ("survey.runs", rest) => {
            let run = nth_run(survey, index)?;
            let nth = rest.strip_prefix(".shown[")?.split(']').next()?;
            let nth: usize = nth.parse().ok()?;
            let mut filled = (0..survey.places.len())
                .filter(|&k| temperature(&survey.runs[run].shown[k]).is_some());
            Spot::Run(run, RunPart::Shown(filled.nth(nth)?))
        }
        ("loops", ".check_back.date") => Spot::BackDate,
        ("loops", rest) => {
            let nth = rest.strip_prefix(".levels[")?;
            let (nth, part) = nth.split_once(']')?;
            let nth: usize = nth.parse().ok()?;
            let lp = model.current();
            let mut whole = (0..lp.levels.len()).filter(|&k| look(lp, &lp.levels[k]).is_some());
            let row = whole.nth(nth)?;
            let part = match part {
                ".missing" => LevelPart::Missing,
                ".at" => LevelPart::At,
                ".added" => LevelPart::Added,
                ".date" => LevelPart::Date,
                _ if number(&lp.levels[row].entries[LevelPart::Percent as usize]).is_some() => {
                    LevelPart::Percent
                }
                _ => LevelPart::Frost,
            };
            Spot::Level(row, part)
        }
        _ => return None,
    })
}

/// Runs without the air's temperature are not in the file.
fn nth_run(survey: &SurveyModel, nth: usize) -> Option<usize> {
    let told = |i: &usize| temperature(&survey.runs[*i].entries[0]).is_some();
    (0..survey.runs.len()).filter(told).nth(nth)
}
