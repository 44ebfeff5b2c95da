//! The verdict: how cold it may get now, and after the job, against the lowest temperature expected.

use super::{card::asked, margin};
use crate::app::{
    amount,
    choice::{ReadingBy, System},
    page::{Page, Solved},
    words,
};
use crate::job::answer::State;

/// What the person came for, above what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    /// When, and what holds then.
    pub lines: Vec<(&'static str, String)>,
    /// The same in one short line.
    pub short: String,
    /// Against the lowest temperature expected; empty where none was given, or nothing is known.
    pub against: String,
    /// Does it freeze before that, even at the end of its range that freezes first?
    pub bad: bool,
}

/// The verdict on an answered loop; `None` where nothing is known of how cold it may get.
pub fn verdict(page: &Page, solved: &Solved) -> Option<Verdict> {
    let system = page.model.system;
    let lp = page.model.current();
    // What stays behind in a loop that was emptied protects nothing.
    let stood = !matches!(lp.reading, ReadingBy::Flushed | ReadingBy::Empty);
    let (answer, begun) = (&solved.answer, !lp.done.is_empty());
    let now = answer.before.as_ref().filter(|_| stood);
    let after = answer.after.as_ref();
    let shown = |state: &State| match now.is_some_and(|now| std::ptr::eq(now, state)) {
        true => margin::freezing_before(solved, state, system),
        false => margin::freezing(state, system),
    };
    let at = |state: Option<&State>| state.and_then(shown);
    let protects = |state: &State, worst: bool| {
        let at = shown(state)?;
        let worst = margin::freezing_worst(state, system).filter(|w| worst && *w != at);
        Some(words::protects(&at, worst.as_deref()))
    };
    let when = if begun {
        words::BEFORE_JOB
    } else {
        words::NOW_IT
    };
    let mut lines: Vec<(&str, String)> = Vec::new();
    lines.extend(now.and_then(|s| Some((when, protects(s, after.is_none())?))));
    lines.extend(after.and_then(|s| Some((words::AFTER_JOB, protects(s, true)?))));
    let judged = after.or(now)?;
    if lines.is_empty() {
        return None;
    }
    let (against, bad) = against(solved, judged, system);
    Some(Verdict {
        lines,
        short: words::protects_short(at(now).as_deref(), at(after).as_deref(), bad),
        against,
        bad,
    })
}

/// How the last state stands to the lowest temperature expected, and whether it fails it.
fn against(solved: &Solved, state: &State, system: System) -> (String, bool) {
    let (Some(coldest), Some(room)) = (asked(solved, system).0, state.freeze_room_k) else {
        return (String::new(), false);
    };
    // Of the same zero: so much less room is there at the worst end.
    let ends = state.freezing_point_worst_c.zip(state.freezing_point_c);
    let fails_at_worst = ends.is_some_and(|(worst, at)| room - (worst - at) < 0.0);
    let words = match (room >= 0.0, fails_at_worst) {
        (true, false) => words::covers(&coldest, &amount::degrees_left(room, system)),
        (true, true) => words::covers_but(&coldest),
        (false, _) => words::fails(&coldest, &amount::degrees_short(-room, system)),
    };
    (words, room < 0.0 || fails_at_worst)
}
