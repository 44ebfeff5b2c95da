//! What is found once the job is done: the re-reading, the levels, the spot temperatures.
//!
//! [`super::answer`] stays the plan; what is found here stands in parts of its own, each with its own error, so that a
//! slip in a note made afterwards never silences the card. In reading order: [`date`], [`back`] (the re-reading and the
//! correction), [`levels`], [`survey`].
//! Never done here: physics, words.

pub mod back;
pub mod date;
pub mod levels;
pub mod survey;

pub use back::{BackFinding, corrected};
pub use levels::LevelsFinding;
pub use survey::SurveyFinding;

use super::{answer::Answer, check::At, file::Job, message::Refusal};

/// Adds to a job's answer what its file says of afterwards.
pub fn add(job: &Job, answer: &mut Answer) {
    answer.survey = job.survey.as_ref().map(survey::judge);
    for (i, (lp, given)) in job.loops.iter().zip(&mut answer.loops).enumerate() {
        if let Some(told) = &lp.check_back {
            let mut found = back::judge(job, i, given, told.reading);
            if let Some(date) = told.date.clone().filter(|d| date::day(d).is_none()) {
                let at = At(["loops[", &i.to_string(), "].check_back"].concat());
                let unclear = at.refuse("date", Refusal::DateUnclear { date });
                found.error.get_or_insert(*unclear);
            }
            given.check_back = Some(found);
        }
        if !lp.levels.is_empty() {
            given.levels = Some(levels::judge(job, i));
        }
    }
}
