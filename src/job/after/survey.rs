//! Spot temperatures before and after.

use serde::Serialize;

use crate::engine::{
    after::{
        equal::Reading,
        held::{OPENING_K, Side, Thermostat, Thermostats},
        student::mean,
        survey::{self, Compared, Place, Stop, Study},
    },
    quantity::{ThermodynamicTemperature, in_celsius},
};
use crate::job::{
    after_file::{self, Much, Run, Shown, Spot, SpotSide, Surface, Survey, ThermostatPlace, When},
    answer::Fault,
    check::{At, Refused},
    file::Quantity,
    limits::{self, Limit},
    message::{Refusal, Typed},
    units::IntervalUnit,
};

/// What the survey says.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct SurveyFinding {
    /// Why it says nothing.
    pub error: Option<Fault>,
    /// One entry a spot, in the survey's order.
    pub spots: Vec<SpotFinding>,
    /// The chance of a false verdict that was allowed at this look; null: the planned runs are not in.
    pub chance: Option<f64>,
    /// Runs of each side that are planned.
    pub planned: Option<u32>,
    /// The difference that is looked for, K; null: a spot's own least.
    pub sought_k: Option<f64>,
    /// What was not alike before and after, and what that alone could account for.
    pub unlike: Vec<Unlike>,
    /// Stops that are paired with nothing while others are in pairs: left out.
    pub unpaired: u32,
    /// By how much a change of the thermostat itself moves what it holds, K.
    pub thermostat_shift_k: Option<f64>,
}

/// Something that was not alike before and after.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Unlike {
    /// air, minutes, fan, load, speed, cover or heater.
    pub what: &'static str,
    /// After less before: K of the air, minutes, else a share from none to full.
    pub by: f64,
    /// It alone could account for a difference of so many K.
    pub could_k: f64,
}

/// One spot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpotFinding {
    /// Its name.
    pub name: String,
    /// held, free or not_known.
    pub behaves: &'static str,
    /// temperature, rise, or both where what it does is not known.
    pub judged_by: &'static str,
    /// Pairs of runs are what counts; else the two sides apart.
    pub paired: bool,
    /// Stops before that count.
    pub runs_before: u32,
    /// After.
    pub runs_after: u32,
    /// Mean temperature before, °C.
    pub before_c: Option<f64>,
    /// After, °C.
    pub after_c: Option<f64>,
    /// Mean rise above the air before, K.
    pub before_k: Option<f64>,
    /// After, K.
    pub after_k: Option<f64>,
    /// After less before as judged; of two judgements the less sure, K.
    pub difference_k: Option<f64>,
    /// It is one of the rise above ambient; else of temperature.
    pub by_rise: bool,
    /// After less before, by temperature, K.
    pub difference_temperature_k: Option<f64>,
    /// By rise above ambient, K.
    pub difference_rise_k: Option<f64>,
    /// Half-width at 95 %, K.
    pub plus_minus_k: Option<f64>,
    /// Probability by chance, this spot alone.
    pub p: Option<f64>,
    /// All spots judged together (Holm).
    pub p_together: Option<f64>,
    /// A smaller difference is not seen, K.
    pub floor_k: f64,
    /// So many more runs of each would tell the difference that is looked for, at best …
    pub more_from: Option<u32>,
    /// … and at worst; null beside a `more_from`: more than 60 of each.
    pub more_to: Option<u32>,
    /// cooler, warmer, none_seen, cannot_tell, air_differed, few_runs, planned, no_pair or mirrors.
    pub verdict: &'static str,
    /// Temperature and rise of each stop before, in rising order (pairs: of each pair).
    pub figures_before: Vec<(f64, f64)>,
    /// After.
    pub figures_after: Vec<(f64, f64)>,
}

/// From none to full, fan, load, speed, cover and heater can each change a spot by so much, K. Ours, from no source.
const COULD_K: [(&str, f64); 5] = [
    ("fan", 10.0),
    ("load", 10.0),
    ("speed", 10.0),
    ("cover", 5.0),
    ("heater", 5.0),
];
/// A minute after shutdown: so many K at most. Ours.
const MINUTE_K: f64 = 2.0;

/// What a survey says.
pub fn judge(told: &Survey) -> SurveyFinding {
    found(told).unwrap_or_else(|fault| SurveyFinding {
        error: Some(*fault),
        ..SurveyFinding::default()
    })
}

fn indexed(list: &str, i: usize) -> String {
    [list, "[", &i.to_string(), "]"].concat()
}

fn found(told: &Survey) -> Result<SurveyFinding, Refused> {
    let at = At("survey".to_owned());
    checked_names(told, &at)?;
    let emissivities = told
        .spots
        .iter()
        .enumerate()
        .map(|(i, spot)| emissivity(&at, i, spot))
        .collect::<Result<Vec<_>, _>>()?;
    let mut runs = Vec::new();
    for (i, run) in told.runs.iter().enumerate() {
        runs.push(one_run(
            told,
            &emissivities,
            run,
            indexed("survey.runs", i),
        )?);
    }
    let study = study(told, &at)?;
    let list = survey::compare(&places(told, &emissivities, &runs), &study);
    let off = list
        .spots
        .iter()
        .fold(0.0, |most: f64, s| most.max(s.minutes_off));
    Ok(SurveyFinding {
        error: None,
        unlike: unlike(told, list.air_k, off),
        spots: list
            .spots
            .into_iter()
            .zip(&told.spots)
            .map(|(c, spot)| spot_finding(c, spot))
            .collect(),
        chance: list.chance,
        planned: study.planned,
        sought_k: study.sought_k,
        unpaired: list.unpaired,
        thermostat_shift_k: study.thermostats.shift_k(),
    })
}

fn study(told: &Survey, at: &At) -> Result<Study, Refused> {
    let interval = |key, given: Option<Quantity<IntervalUnit>>, limit| {
        let checked = given.map(|q| {
            let typed = Typed::new(q.value, q.unit.text());
            at.within(key, q.unit.of(q.value).value, typed, limit)
        });
        checked.transpose()
    };
    if let Some(runs) = told.planned {
        let runs = f64::from(runs);
        at.within("planned", runs, Typed::new(runs, ""), &limits::PLANNED)?;
    }
    let before = thermostat("survey.thermostat", told.thermostat)?;
    let after = thermostat("survey.thermostat_after", told.thermostat_after)?;
    Ok(Study {
        accuracy_k: interval("accuracy", told.accuracy, &limits::ACCURACY)?
            .unwrap_or(survey::ACCURACY_K),
        sought_k: interval("difference", told.difference, &limits::DIFFERENCE)?,
        planned: told.planned,
        thermostats: Thermostats {
            before,
            after: after.or(before),
        },
    })
}

fn thermostat(
    path: &str,
    given: Option<after_file::Thermostat>,
) -> Result<Option<Thermostat>, Refused> {
    let Some(given) = given else { return Ok(None) };
    let at = At(path.to_owned());
    let opens_c = in_celsius(at.temperature("opens", given.opens, &limits::THERMOSTAT)?);
    let above = Limit {
        low: opens_c,
        ..limits::THERMOSTAT
    };
    let full_open_c = match given.full_open {
        Some(q) => in_celsius(at.temperature("full_open", q, &above)?),
        None => opens_c + OPENING_K,
    };
    Ok(Some(Thermostat {
        opens_c,
        full_open_c,
        side: match given.place {
            ThermostatPlace::Outlet => Side::Outlet,
            ThermostatPlace::Inlet => Side::Inlet,
        },
    }))
}

/// The number of a text among those before it; blank: none.
fn numbered(texts: &[&str], text: Option<&String>) -> Option<u32> {
    let text = text?.trim();
    let place = texts.iter().position(|t| *t == text && !text.is_empty())?;
    Some(place as u32)
}

/// The runs as stops: each spot's readings in each.
fn places(
    told: &Survey,
    emissivities: &[Option<f64>],
    runs: &[Vec<Option<Reading>>],
) -> Vec<Place> {
    // In the order of the alphabet, so that the order of the runs means nothing.
    let texts = |of: fn(&Run) -> Option<&String>| {
        let mut list: Vec<&str> = told.runs.iter().filter_map(of).map(|t| t.trim()).collect();
        crate::engine::order::in_order(&mut list, |a, b| a.cmp(b));
        list.dedup();
        list
    };
    let (pairs, stops) = (texts(|r| r.pair.as_ref()), texts(|r| r.stop.as_ref()));
    // Each stop: its side, its number, and its first run, whose pair it has.
    let mut list: Vec<(When, Option<u32>, Vec<usize>)> = Vec::new();
    for (i, run) in told.runs.iter().enumerate() {
        let number = numbered(&stops, run.stop.as_ref());
        let same = list
            .iter_mut()
            .find(|s| number.is_some() && s.0 == run.when && s.1 == number);
        match same {
            Some(stop) => stop.2.push(i),
            None => list.push((run.when, number, vec![i])),
        }
    }
    let stop = |place: usize| {
        let (told, pairs) = (&told.runs, &pairs);
        move |(when, _, members): &(When, Option<u32>, Vec<usize>)| Stop {
            after: *when == When::After,
            pair: members
                .iter()
                .filter_map(|&i| numbered(pairs, told[i].pair.as_ref()))
                .min(),
            readings: members.iter().filter_map(|&i| runs[i][place]).collect(),
        }
    };
    told.spots
        .iter()
        .zip(emissivities)
        .enumerate()
        .map(|(i, (spot, e))| Place {
            stops: list.iter().map(stop(i)).collect(),
            side: spot.side.map(|side| match side {
                SpotSide::Outlet => Side::Outlet,
                SpotSide::Inlet => Side::Inlet,
                SpotSide::Air => Side::Air,
            }),
            mirrors: e.is_some_and(|e| e < survey::MIRROR),
        })
        .collect()
}

/// What was not alike before and after.
fn unlike(told: &Survey, air_k: Option<f64>, minutes_off: f64) -> Vec<Unlike> {
    let mut list = Vec::new();
    let air_k = air_k.unwrap_or(0.0);
    if air_k.abs() >= survey::ACCURACY_K {
        list.push(Unlike {
            what: "air",
            by: air_k,
            could_k: air_k.abs(),
        });
    }
    if minutes_off > 0.0 {
        list.push(Unlike {
            what: "minutes",
            by: minutes_off,
            could_k: minutes_off * MINUTE_K,
        });
    }
    let said: [fn(&Run) -> Option<Much>; 5] = [
        |r| r.fan,
        |r| r.load,
        |r| r.speed,
        |r| r.cover,
        |r| r.heater,
    ];
    for ((what, could_k), of) in COULD_K.into_iter().zip(said) {
        let side = |when: When| {
            let runs = told.runs.iter().filter(|r| r.when == when);
            let shares = runs.filter_map(of).map(|m| match m {
                Much::None => 0.0,
                Much::Some => 0.5,
                Much::Full => 1.0,
            });
            let shares: Vec<f64> = shares.collect();
            (!shares.is_empty()).then(|| mean(&shares).0)
        };
        let by = side(When::After)
            .zip(side(When::Before))
            .map_or(0.0, |(a, b)| a - b);
        if by.abs() > 1e-9 {
            list.push(Unlike {
                what,
                by,
                could_k: by.abs() * could_k,
            });
        }
    }
    list
}

fn checked_names(told: &Survey, at: &At) -> Result<(), Refused> {
    for (i, spot) in told.spots.iter().enumerate() {
        if told.spots[..i].iter().any(|s| s.name == spot.name) {
            let key = [&indexed("spots", i), ".name"].concat();
            return Err(at.refuse(&key, unlisted(&spot.name, true)));
        }
    }
    Ok(())
}

fn unlisted(name: &str, twice: bool) -> Refusal {
    Refusal::SpotName {
        spot: name.to_owned(),
        twice,
    }
}

/// A spot's emissivity; `None` where it is not read by infrared.
fn emissivity(at: &At, i: usize, spot: &Spot) -> Result<Option<f64>, Refused> {
    if spot.surface == Some(Surface::Gauge) {
        return Ok(None);
    }
    Ok(Some(match (spot.emissivity, spot.surface) {
        (Some(e), _) => {
            let key = [&indexed("spots", i), ".emissivity"].concat();
            at.within(&key, e, Typed::new(e, ""), &limits::EMISSIVITY)?
        }
        (None, Some(Surface::BareMetal)) => 0.05,
        (None, _) => survey::USUAL,
    }))
}

fn one_run(
    told: &Survey,
    emissivities: &[Option<f64>],
    run: &Run,
    path: String,
) -> Result<Vec<Option<Reading>>, Refused> {
    let at = At(path);
    let ambient = at.temperature("ambient", run.ambient, &limits::SPOT)?;
    let reflected = match run.reflected {
        Some(q) => at.temperature("reflected", q, &limits::SPOT)?,
        None => ambient,
    };
    let setting = match run.emissivity {
        Some(e) => at.within("emissivity", e, Typed::new(e, ""), &limits::EMISSIVITY)?,
        None => survey::USUAL,
    };
    if let Some(m) = run.minutes {
        at.within("minutes", m, Typed::new(m, "min"), &limits::MINUTES)?;
    }
    let mut list = vec![None; told.spots.len()];
    for (k, shown) in run.shown.iter().enumerate() {
        let key = indexed("shown", k);
        let Some(place) = told.spots.iter().position(|s| s.name == shown.spot) else {
            return Err(at.refuse(&[&key, ".spot"].concat(), unlisted(&shown.spot, false)));
        };
        let t = temperature(&at, &key, shown)?;
        let (t, stretch) = match emissivities[place] {
            None => (t, 1.0),
            Some(e) => match survey::surface(t, reflected, setting, e) {
                Some(real) => (real, survey::stretch(t, real, setting, e)),
                None => continue,
            },
        };
        list[place] = Some(Reading {
            minutes: run.minutes,
            spot_c: in_celsius(t),
            ambient_c: in_celsius(ambient),
            stretch,
        });
    }
    Ok(list)
}

fn temperature(at: &At, key: &str, shown: &Shown) -> Result<ThermodynamicTemperature, Refused> {
    let q = Quantity {
        value: shown.value,
        unit: shown.unit,
    };
    at.temperature(&[key, ".value"].concat(), q, &limits::SPOT)
}

fn spot_finding(c: Compared, spot: &Spot) -> SpotFinding {
    let mean_of = |list: &[(f64, f64)], rise: bool| {
        let figures: Vec<f64> = list.iter().map(|f| if rise { f.1 } else { f.0 }).collect();
        (!figures.is_empty()).then(|| mean(&figures).0)
    };
    let (before, after) = c.figures;
    let some = c.both.is_some();
    SpotFinding {
        name: spot.name.clone(),
        behaves: c.behaves.code(),
        judged_by: match c.behaves {
            crate::engine::after::held::Behaves::Held => "temperature",
            crate::engine::after::held::Behaves::Free => "rise",
            crate::engine::after::held::Behaves::Unknown => "both",
        },
        paired: c.paired,
        runs_before: c.runs.0,
        runs_after: c.runs.1,
        before_c: mean_of(&before, false).filter(|_| some),
        after_c: mean_of(&after, false).filter(|_| some),
        before_k: mean_of(&before, true).filter(|_| some),
        after_k: mean_of(&after, true).filter(|_| some),
        difference_k: c.difference.map(|k| k.value),
        by_rise: c.by_rise,
        difference_temperature_k: c.both.map(|k| k.0.value),
        difference_rise_k: c.both.map(|k| k.1.value),
        plus_minus_k: c.plus_minus.map(|k| k.value),
        p: c.probability,
        p_together: c.together,
        floor_k: c.floor.value,
        more_from: c.more.map(|m| m.0),
        more_to: c.more.and_then(|m| m.1),
        verdict: c.verdict.code(),
        figures_before: before,
        figures_after: after,
    }
}
