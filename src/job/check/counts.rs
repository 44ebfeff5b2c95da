//! How many there may be of what a file lists: more than any job needs, and few enough to be answered while one types.

use super::Refused;
use crate::job::{
    file::Job,
    limits::{self, Limit},
    message::{Refusal, Typed},
};

/// Every list but those checked beside their values (packs, charges).
///
/// # Errors
/// The first that is too long.
pub fn counts(job: &Job) -> Result<(), Refused> {
    at_most("shelf", job.shelf.len(), &limits::STOCKS)?;
    at_most("loops", job.loops.len(), &limits::LOOPS)?;
    for (i, lp) in job.loops.iter().enumerate() {
        let key = |of: &str| ["loops[", &i.to_string(), "].", of].concat();
        at_most(&key("done"), lp.done.len(), &limits::DONE)?;
        at_most(&key("levels"), lp.levels.len(), &limits::LOOKS)?;
        at_most(&key("past"), lp.past.len(), &limits::PAST)?;
        for (k, past) in lp.past.iter().enumerate() {
            let key = [&key("past["), &k.to_string(), "].steps"].concat();
            at_most(&key, past.steps.len(), &limits::DONE)?;
        }
    }
    if let Some(survey) = &job.survey {
        at_most("survey.spots", survey.spots.len(), &limits::SPOTS)?;
        at_most("survey.runs", survey.runs.len(), &limits::RUNS)?;
        for (i, run) in survey.runs.iter().enumerate() {
            let key = ["survey.runs[", &i.to_string(), "].shown"].concat();
            at_most(&key, run.shown.len(), &limits::SPOTS)?;
        }
    }
    Ok(())
}

fn at_most(key: &str, count: usize, limit: &Limit) -> Result<(), Refused> {
    let count = count as f64;
    if limit.admits(count) {
        return Ok(());
    }
    let typed = Typed::new(count, "");
    let limit = *limit;
    Err(Box::new(Refusal::OutOfRange { limit, typed }.fault(key)))
}
