//! Spot temperatures before and after.

use serde::Serialize;

use crate::engine::{
    after::survey::{self, Compared, Pairs},
    quantity::{ThermodynamicTemperature, in_celsius},
};
use crate::job::{
    after_file::{Run, Shown, Spot, Surface, Survey, When},
    answer::Fault,
    check::{At, Refused},
    file::Quantity,
    limits,
    message::{Refusal, Typed},
};

/// What the survey says.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct SurveyFinding {
    /// Why it says nothing.
    pub error: Option<Fault>,
    /// One entry a spot, in the survey's order.
    pub spots: Vec<SpotFinding>,
    /// Some pair's runs were read more than a minute apart after stopping.
    pub minutes_differ: bool,
    /// Runs that have no partner.
    pub unpaired: u32,
}

/// One spot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpotFinding {
    /// Its name.
    pub name: String,
    /// Pairs of runs it was measured in.
    pub pairs: u32,
    /// Mean rise above the air before, K.
    pub before_k: Option<f64>,
    /// After, K.
    pub after_k: Option<f64>,
    /// After less before, K.
    pub difference_k: Option<f64>,
    /// Half-width at 95 %, K.
    pub plus_minus_k: Option<f64>,
    /// Probability by chance, this spot alone.
    pub p: Option<f64>,
    /// All spots judged together (Holm).
    pub p_together: Option<f64>,
    /// A smaller difference is not seen, K.
    pub floor_k: f64,
    /// cooler, warmer, none_seen, cannot_tell, one_run, no_pair or mirrors.
    pub verdict: &'static str,
}

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
    let accuracy_k = match told.accuracy {
        None => survey::ACCURACY_K,
        Some(q) => {
            let typed = Typed::new(q.value, q.unit.text());
            at.within(
                "accuracy",
                q.unit.of(q.value).value,
                typed,
                &limits::ACCURACY,
            )?
        }
    };
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
    let side = |when: When| {
        told.runs
            .iter()
            .zip(&runs)
            .filter(move |(r, _)| r.when == when)
    };
    let mut spots: Vec<Pairs> = emissivities
        .iter()
        .map(|e| Pairs {
            rises: Vec::new(),
            floor_k: accuracy_k,
            mirrors: e.is_some_and(|e| e < survey::MIRROR),
        })
        .collect();
    let mut minutes_differ = false;
    let mut paired = 0;
    for ((run_before, before), (run_after, after)) in side(When::Before).zip(side(When::After)) {
        paired += 2;
        let minutes = run_before.minutes.zip(run_after.minutes);
        minutes_differ |= minutes.is_some_and(|(a, b)| (a - b).abs() > 1.0);
        for (i, spot) in spots.iter_mut().enumerate() {
            if let (Some(a), Some(b)) = (before[i], after[i]) {
                spot.rises.push((a.rise_k, b.rise_k));
                spot.floor_k = spot.floor_k.max(accuracy_k * a.stretch.max(b.stretch));
            }
        }
    }
    let spots = survey::compare(&spots)
        .into_iter()
        .zip(&told.spots)
        .map(|(c, spot)| spot_finding(&c, spot))
        .collect();
    Ok(SurveyFinding {
        error: None,
        spots,
        minutes_differ,
        unpaired: told.runs.len() as u32 - paired,
    })
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

/// What one run says of a spot.
#[derive(Clone, Copy)]
struct Rise {
    rise_k: f64,
    stretch: f64,
}

fn one_run(
    told: &Survey,
    emissivities: &[Option<f64>],
    run: &Run,
    path: String,
) -> Result<Vec<Option<Rise>>, Refused> {
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
        list[place] = Some(Rise {
            rise_k: in_celsius(t) - in_celsius(ambient),
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

fn spot_finding(c: &Compared, spot: &Spot) -> SpotFinding {
    SpotFinding {
        name: spot.name.clone(),
        pairs: c.pairs,
        before_k: c.before.map(|k| k.value),
        after_k: c.after.map(|k| k.value),
        difference_k: c.difference.map(|k| k.value),
        plus_minus_k: c.plus_minus.map(|k| k.value),
        p: c.probability,
        p_together: c.together,
        floor_k: c.floor.value,
        verdict: c.verdict.code(),
    }
}
