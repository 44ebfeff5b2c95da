//! The draws that reach a goal with the least drawn in all.
//!
//! **Bound.** The lump of [`super::ends`] says which R = Π r could do at all, and the least drawn for an R is all draws at
//! the limit but one, the first or the last: log r is concave in a draw, so of the draws with the same Π r the least in
//! all lie at a corner. The least total whose R will do is a bound for any number of rounds. It is looked for from no
//! draw upwards, each time by as much of R as the gap allows (litres and strengths at the end are in proportion to R:
//! the gap moves by at most 1.5 ΔR, checked by the laws), so none that will do is passed over; 400 times at most, and
//! where that does not reach one, the bound is as far as it went.
//!
//! **Lines.** All at the limit but one, each in turn, the first at its limit or at none: the least free draw is looked for
//! from the bound upwards ([`Bench::gap`] moves by at most 1.5 Δx/V times what of that draw stays in the end); after 40
//! times by halves of where it seems to close, which a bound may not do, but draws that are found may. Where stocks are
//! plentiful a line reaches the bound. Within a measuring step of it, nothing less is to be had: proven.
//!
//! **Pairs.** Where a short stock and a renewal bind together, two draws are free. Each pair is searched by quarters, those
//! left out whose middle is further from the goal than their corners can be, or that draw no less than what is found. How
//! often an end is worked out is capped, and half of what is left is kept for more rounds; what is still above the bound
//! then is not proven.

use std::cell::Cell;

use super::{
    ends::{Goal, Stage},
    state::Bench,
};

/// Ends worked out at most, for one search: of a plan, and of a question beside it.
pub(super) const MOST_ENDS: u32 = 800;
pub(super) const FEW_ENDS: u32 = 150;
/// What a gap moves by at most, of what a draw moves by, over the loop's volume.
const SLOPE: f64 = 1.5;
/// What the search is fine to, in measuring steps.
const FINE: f64 = 1.0 / 256.0;
/// How often a search upwards goes no further than is sure: for a bound, and for draws.
const SURELY: u32 = 400;
const QUICKLY: u32 = 40;
/// How often it goes on after that.
const AFTERWARDS: u32 = 60;
/// A gap as good as none, in shares of the loop.
const NONE: f64 = 1e-7;

/// The draws found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    /// One a round.
    pub draws: Vec<f64>,
    /// No way draws less than this in all.
    pub bound: f64,
}

impl Found {
    pub(super) fn total(&self) -> f64 {
        self.draws.iter().sum()
    }
}

/// One question to the search.
pub(super) struct Search<'a> {
    pub bench: &'a Bench<'a>,
    pub stage: &'a Stage,
    pub goal: Goal,
    /// Litres of old charge that may stay beyond what was asked.
    pub slack: f64,
    /// The least that can be measured.
    pub step: f64,
    /// The most a later draw gives, in whole steps.
    pub later: f64,
    /// Rounds at most.
    pub rounds: usize,
    left: Cell<u32>,
}

impl<'a> Search<'a> {
    pub(super) fn new(
        bench: &'a Bench<'a>,
        stage: &'a Stage,
        (goal, slack): (Goal, f64),
        step: f64,
        (later, rounds): (f64, usize),
        ends: u32,
    ) -> Self {
        // A goal that is a point is as wide as the search is fine.
        let wide = SLOPE * FINE * step / bench.mark;
        let middle = 0.5 * (goal.low + goal.high);
        let goal = Goal {
            low: goal.low.min(middle - wide),
            high: goal.high.max(middle + wide),
            ..goal
        };
        Self {
            bench,
            stage,
            goal,
            slack,
            step,
            later,
            rounds,
            left: Cell::new(ends),
        }
    }

    /// The least drawn, where anything does. `None` without a bound: nothing ever will.
    pub(super) fn least(&self) -> Result<Found, Option<f64>> {
        let (bound, reached) = self.reached().ok_or(None)?;
        if let Some(total) = reached.filter(|&total| total <= self.stage.first + 1e-9) {
            let draws = vec![total];
            return Ok(Found { draws, bound });
        }
        let mut best: Option<Vec<f64>> = None;
        let from = reached.unwrap_or(bound);
        let fewest = self.corner(from).1;
        for rounds in fewest..=self.rounds {
            if let Some(found) = &best
                && found.len() + 1 < rounds
            {
                break;
            }
            self.lines(rounds, (from, bound), &mut best);
            if self.is_proven(&best, bound) {
                break;
            }
            // What is left of them is shared with the rounds to come.
            let kept = if rounds < self.rounds {
                self.left.get() / 2
            } else {
                0
            };
            self.left.set(self.left.get() - kept);
            self.pairs(rounds, bound, &mut best);
            self.left.set(self.left.get() + kept);
            if self.is_proven(&best, bound) || self.left.get() == 0 {
                break;
            }
        }
        let draws = best.ok_or(Some(bound))?;
        Ok(Found { draws, bound })
    }

    fn is_proven(&self, best: &Option<Vec<f64>>, bound: f64) -> bool {
        best.as_ref()
            .is_some_and(|draws| draws.iter().sum::<f64>() <= bound + 0.5 * self.step)
    }

    /// No draws come to less in all; `None`: none do.
    pub(super) fn bound(&self) -> Option<f64> {
        self.reached().map(|(bound, _)| bound)
    }

    /// The same, and the least total at which the bound of the gap is closed.
    fn reached(&self) -> Option<(f64, Option<f64>)> {
        let most = self.stage.first + self.later * (self.rounds - 1) as f64;
        let gap = |total: f64| {
            let stays = self.corner(total).0;
            self.bench
                .lump_gap(self.stage, stays, &self.goal, self.slack, self.limit())
        };
        // What the ends move by is in proportion to R, so it is gone along in that.
        let onwards = |t: f64, g: f64| {
            let stays = self.corner(t).0 - g / SLOPE;
            let (mut low, mut high) = (t, most);
            if self.corner(most).0 >= stays {
                return most;
            }
            for _ in 0..40 {
                let middle = 0.5 * (low + high);
                if self.corner(middle).0 > stays {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            low
        };
        let (sure, reached) = self.leftmost(gap, onwards, (0.0, most), SURELY, || false);
        (reached.is_some() || sure < most).then_some((sure, reached))
    }

    fn limit(&self) -> f64 {
        if self.rounds > 1 {
            self.later
        } else {
            self.bench.mark
        }
    }

    /// The least share that draws of so much in all leave, and in how many rounds.
    pub(super) fn corner(&self, total: f64) -> (f64, usize) {
        let (first, later) = (self.stage.first, self.later);
        let holds = self.stage.holds;
        let of_first = |draw: f64| self.bench.stays(draw, holds);
        if total <= first || self.rounds < 2 || later <= 0.0 {
            return (of_first(total.min(first)), 1);
        }
        let many = |draws: f64| {
            let whole = (draws / later + 1e-9).floor();
            let rest = (draws - whole * later).max(0.0);
            let stays = (1.0 - later / self.bench.mark).max(0.0).powi(whole as i32)
                * (1.0 - rest / self.bench.mark);
            let one = if rest > 1e-9 { 1 } else { 0 };
            (stays.max(0.0), whole as usize + one)
        };
        let (stays, rounds) = many(total - first);
        let after_all = (stays * of_first(first), rounds + 1);
        let whole = (total / later).floor().min((self.rounds - 1) as f64);
        let rest = total - whole * later;
        if rest <= first && whole > 0.0 {
            let before = (many(whole * later).0 * of_first(rest), whole as usize + 1);
            if before.0 < after_all.0 {
                return before;
            }
        }
        after_all
    }

    /// Up to where `gap` is surely open, and where it was found closed, looked for upwards. So many times no further at a
    /// time than it surely stays open; then, where it closes slowly, half as far as it seems to.
    fn leftmost(
        &self,
        gap: impl Fn(f64) -> f64,
        onwards: impl Fn(f64, f64) -> f64,
        (from, to): (f64, f64),
        surely: u32,
        spent: impl Fn() -> bool,
    ) -> (f64, Option<f64>) {
        let fine = self.step * FINE;
        let (mut open, mut sure, mut t) = (from, from, from);
        let mut before: Option<(f64, f64)> = None;
        for count in 0.. {
            let g = gap(t);
            if g <= NONE {
                break;
            }
            let is_sure = count < surely;
            if is_sure {
                sure = t;
            }
            if t >= to || spent() || count > surely + AFTERWARDS {
                return (sure, None);
            }
            let seems = match before {
                Some((at, was)) if !is_sure && was > g => 0.5 * g * (t - at) / (was - g),
                Some(_) if !is_sure => (to - from) / f64::from(AFTERWARDS),
                _ => 0.0,
            };
            (open, before) = (t, Some((t, g)));
            t = onwards(t, g).max(t + fine).max(t + seems).min(to);
        }
        let was_sure = sure >= open;
        while t - open > fine / 4.0 {
            let middle = 0.5 * (t + open);
            if gap(middle) <= NONE {
                t = middle;
            } else {
                open = middle;
            }
        }
        (if was_sure { t } else { sure }, Some(t))
    }

    /// Counts an end; was it the last?
    fn spent(&self) -> bool {
        let left = self.left.get();
        self.left.set(left.saturating_sub(1));
        left == 0
    }

    fn gap(&self, draws: &[f64]) -> f64 {
        self.bench.gap(self.stage, draws, &self.goal, self.slack)
    }

    fn limits(&self, rounds: usize) -> Vec<f64> {
        let mut limits = vec![self.later; rounds];
        limits[0] = self.stage.first;
        limits
    }

    fn lines(&self, rounds: usize, (from, bound): (f64, f64), best: &mut Option<Vec<f64>>) {
        let limits = self.limits(rounds);
        let frees = std::iter::once(rounds - 1).chain(0..rounds - 1);
        let at_limit = frees.map(|free| (free, limits[0]));
        let at_none = (1..rounds).rev().map(|free| (free, 0.0));
        for (free, first) in at_limit.chain(at_none) {
            let mut draws = limits.clone();
            if free > 0 {
                draws[0] = first;
            }
            draws[free] = 0.0;
            let others: f64 = draws.iter().sum();
            let most = best.as_ref().map_or(f64::INFINITY, |b| b.iter().sum());
            // One more round is worth half a step.
            let fewer = best.as_ref().is_some_and(|b| b.len() < rounds);
            let less = if fewer { 0.5 * self.step } else { 1e-9 };
            let to = limits[free].min(most - others - less);
            let from = (from - others).max(0.0);
            if from > to {
                continue;
            }
            let at = |t: f64| {
                let mut draws = draws.clone();
                draws[free] = t;
                self.gap(&draws)
            };
            // What of a draw stays in the end.
            let later = draws.iter().skip(free + 1);
            let stays: f64 = later
                .map(|d| self.bench.stays(*d, self.bench.mark))
                .product();
            let slope = SLOPE * stays / self.bench.mark;
            let onwards = |t: f64, g: f64| t + g / slope;
            let ends = (from, to);
            if let (_, Some(t)) = self.leftmost(at, onwards, ends, QUICKLY, || self.spent()) {
                draws[free] = t;
                *best = Some(draws);
                if self.is_proven(best, bound) {
                    return;
                }
            }
        }
    }

    fn pairs(&self, rounds: usize, bound: f64, best: &mut Option<Vec<f64>>) {
        for second in (1..rounds).rev() {
            for first in (0..second).rev() {
                let mut draws = self.limits(rounds);
                let sides = (draws[first], draws[second]);
                (draws[first], draws[second]) = (0.0, 0.0);
                let mut quarters = Quarters {
                    search: self,
                    pair: (first, second),
                    others: draws.iter().sum(),
                    draws,
                    bound,
                    best,
                };
                quarters.look((0.0, 0.0), sides);
            }
        }
    }
}

struct Quarters<'a, 'b> {
    search: &'a Search<'a>,
    pair: (usize, usize),
    draws: Vec<f64>,
    others: f64,
    bound: f64,
    best: &'b mut Option<Vec<f64>>,
}

impl Quarters<'_, '_> {
    fn look(&mut self, (x, y): (f64, f64), (wide, high): (f64, f64)) {
        let step = self.search.step;
        let least = self.others + x + y;
        let found = |b: &Vec<f64>| b.iter().sum();
        let beat = self.best.as_ref().map_or(f64::INFINITY, found) - 0.5 * step;
        if least >= beat || least + wide + high < self.bound || self.search.spent() {
            return;
        }
        let (middle_x, middle_y) = (x + 0.5 * wide, y + 0.5 * high);
        (self.draws[self.pair.0], self.draws[self.pair.1]) = (middle_x, middle_y);
        let gap = self.search.gap(&self.draws);
        let moves = SLOPE / self.search.bench.mark * 0.5 * (wide + high);
        if gap > moves {
            return;
        }
        if gap <= NONE && self.others + middle_x + middle_y < beat {
            *self.best = Some(self.draws.clone());
        }
        if wide + high <= 0.5 * step {
            return;
        }
        let half = (0.5 * wide, 0.5 * high);
        for corner in [(x, y), (middle_x, y), (x, middle_y), (middle_x, middle_y)] {
            self.look(corner, half);
        }
    }
}
