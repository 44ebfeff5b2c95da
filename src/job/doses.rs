//! One bottle is dosed once: an additive of which there is only so much, among the loops it goes into.
//!
//! Additives of one name are one, as on the sheet. Where there is too little for all, each loop gets a share by what it
//! would take, with a caution; what was really dosed is gone for all. Of what is sold there is enough.
//! Never done here: planning.

use super::{
    answer::{CautionEntry, Do, LoopAnswer, Step},
    file::{Additive, Job, Quantity},
    units::VolumeUnit,
};
use crate::engine::{caution::Caution, dose::SLACK_LITRES};

/// Every loop's answer, with no bottle dosed twice.
pub(super) fn shared(job: &Job, serve: impl Fn(&Job) -> Vec<LoopAnswer>) -> Vec<LoopAnswer> {
    let served = serve(job);
    let mut allotted = job.clone();
    let mut short = Vec::new();
    for (first, name, have) in bottles(job) {
        let takes: Vec<(usize, f64, f64)> = (first..job.loops.len())
            .filter(|&i| additive(job, i).is_some_and(|a| a.name.trim() == name))
            .map(|i| (i, dosed(&served[i].so_far), dosed(&served[i].steps)))
            .collect();
        let left = have - takes.iter().map(|t| t.1).sum::<f64>();
        let wanted: f64 = takes.iter().map(|t| t.2).sum();
        if takes.len() < 2 || wanted <= left + SLACK_LITRES {
            continue;
        }
        for (i, gone, takes) in takes {
            let value = gone + takes * (left.max(0.0) / wanted);
            if let Some(additive) = &mut allotted.loops[i].additive {
                additive.have = Some(Quantity {
                    value,
                    unit: VolumeUnit::L,
                });
                short.push(i);
            }
        }
    }
    if short.is_empty() {
        return served;
    }
    let mut list = serve(&allotted);
    for i in short {
        for CautionEntry(caution) in &mut list[i].cautions {
            if let Caution::DoseShort {
                asked_litres,
                given_litres,
            } = *caution
            {
                *caution = Caution::AdditiveShared {
                    asked_litres,
                    given_litres,
                };
            }
        }
    }
    list
}

fn additive(job: &Job, i: usize) -> Option<&Additive> {
    job.loops.get(i)?.additive.as_ref()
}

/// Litres dosed in these steps.
pub(super) fn dosed(steps: &[Step]) -> f64 {
    let doses = steps.iter().filter(|s| s.what == Do::Dose);
    doses.filter_map(|s| s.litres).sum()
}

/// Additives with an end to them: the first loop of each, its name, and the litres there are.
fn bottles(job: &Job) -> Vec<(usize, &str, f64)> {
    let mut list: Vec<(usize, &str, Option<f64>)> = Vec::new();
    for i in 0..job.loops.len() {
        let Some(additive) = additive(job, i) else {
            continue;
        };
        let name = additive.name.trim();
        let have = additive.have.map(|q| q.value * q.unit.litres());
        // Of what is sold, more can be bought.
        let have = if additive.packs.is_empty() {
            have
        } else {
            Some(f64::INFINITY)
        };
        match list.iter_mut().find(|b| b.1 == name) {
            Some(known) if known.2.is_none() || have == Some(f64::INFINITY) => known.2 = have,
            Some(_) => {}
            None => list.push((i, name, have)),
        }
    }
    let limited = list
        .into_iter()
        .filter_map(|(i, name, have)| Some((i, name, have?)));
    limited.filter(|b| b.2.is_finite()).collect()
}
