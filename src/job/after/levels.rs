//! Levels over the days.

use serde::Serialize;

use super::{back, date::day};
use crate::engine::{
    after::level::{self, Look, Looked},
    margin::Tank,
    quantity::{in_litres, litres},
};
use crate::job::{
    answer::Fault,
    check::{self, At, Refused},
    file::Job,
    limits,
    message::Refusal,
};

/// What the levels say.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct LevelsFinding {
    /// Why they say nothing.
    pub error: Option<Fault>,
    /// too_few, steady, settling, evaporating, leak or rising.
    pub level: Option<&'static str>,
    /// From the first look to the last.
    pub days: f64,
    /// Lost over them, at 20 °C; below zero: gained.
    pub lost_litres: f64,
    /// Half-width at 95 %.
    pub plus_minus: f64,
    /// The same a day.
    pub litres_per_day: Option<f64>,
    /// not_read, steady, falling or rising.
    pub strength: Option<&'static str>,
    /// Last reading less the first, points.
    pub points: Option<f64>,
    /// Half-width at 95 %, points.
    pub points_plus_minus: Option<f64>,
    /// Water that would weaken it so.
    pub water_litres: Option<f64>,
    /// What was lost by each look, in order of their days: days since the first, litres.
    pub looks: Vec<(f64, f64)>,
}

/// What loop `i`'s levels say.
pub fn judge(job: &Job, i: usize) -> LevelsFinding {
    found(job, i).unwrap_or_else(|fault| LevelsFinding {
        error: Some(*fault),
        ..LevelsFinding::default()
    })
}

fn found(job: &Job, i: usize) -> Result<LevelsFinding, Refused> {
    let shelf = check::shelf(job, &check::terms(job)?)?;
    let checked = check::checked(job, i, &shelf)?;
    let mut looks = Vec::new();
    for (k, look) in job.loops[i].levels.iter().enumerate() {
        let path = ["loops[", &i.to_string(), "].levels[", &k.to_string(), "]"].concat();
        let at = At(path.clone());
        let Some(day) = day(&look.date) else {
            let date = look.date.clone();
            return Err(at.refuse("date", Refusal::DateUnclear { date }));
        };
        looks.push(Look {
            day: f64::from(day),
            below: at.volume("missing", look.missing, &limits::LEVEL_MISSING)?,
            added: match look.added {
                Some(q) => at.volume("added", q, &limits::HAPPENED)?,
                None => litres(0.0),
            },
            at: look
                .at
                .map(|q| at.temperature("at", q, &limits::HAPPENED_AT))
                .transpose()?,
            strength: look
                .reading
                .map(|now| back::strength(job, i, &At([&path, ".reading"].concat()), now))
                .transpose()?,
        });
    }
    let read = looks.iter().filter_map(|l| l.strength).next();
    let found = level::levels(
        &Looked {
            glycol: job.loops[i].glycol.into(),
            strength: read.map_or(checked.task.before.strength(), |s| s.value),
            volume: checked.mark.value,
            step: checked.task.step,
            vented: checked.around.tank == Some(Tank::RecoveryBottle),
        },
        &looks,
    );
    let lost = in_litres(found.lost);
    let first = found.points.first().map_or(0.0, |p| p.0);
    Ok(LevelsFinding {
        error: None,
        level: Some(found.course.code()),
        days: found.days,
        lost_litres: lost,
        plus_minus: in_litres(found.plus_minus),
        litres_per_day: (found.days > 0.0).then(|| lost / found.days),
        strength: Some(found.drift.code()),
        points: found.strength_change.map(|s| s * 100.0),
        points_plus_minus: found.strength_plus_minus.map(|s| s * 100.0),
        water_litres: found.water.map(in_litres),
        looks: found
            .points
            .iter()
            .map(|(day, lost)| (day - first, in_litres(*lost)))
            .collect(),
    })
}
