//! The least that must be drawn, by trying every draw and every pour on a grid, round after round.
//!
//! Written apart from the planner: it moves the kilograms of [`crate::common::Balance`], knows nothing of vertices, and
//! lets any stock go in between. Only the last pour is not tried amount by amount: what fills the loop to the mark
//! reaches every strength from all of the weakest stock to all of the strongest, by continuity.

use crate::{common::Balance, jobs::aim_of};
use pourcard::job::{file, file::*};

/// How a search may end.
#[derive(Clone, Copy)]
pub enum Ending {
    /// Within so many points of the aim.
    Within(f64),
    /// From so many percent to so many.
    Between(f64, f64),
    /// On the aim, or past it seen from where the round began: a little less drawn then lands on it.
    Reaches,
}

/// What is asked.
pub struct Search<'a> {
    pub job: &'a Job,
    /// Litres of additive in the last round.
    pub dose: f64,
    /// Litres between two draws, and between two pours.
    pub grid: f64,
    pub ending: Ending,
    /// Everything is poured in whole steps of so much, and the grid is a number of them; else to the drop.
    pub whole: Option<f64>,
}

/// The loop and the shelf at one time.
#[derive(Clone)]
struct State {
    mix: Balance,
    have: Vec<f64>,
}

impl Search<'_> {
    fn lp(&self) -> &file::Loop {
        &self.job.loops[0]
    }

    fn volume(&self) -> f64 {
        self.lp().volume.value
    }

    /// The least drawn in at most so many rounds.
    pub fn least(&self, rounds: usize) -> Option<f64> {
        let have = |s: &Stock| s.have.map_or(f64::INFINITY, |q| q.value);
        let start = State {
            mix: Balance::before(self.lp()),
            have: self.job.shelf.iter().map(have).collect(),
        };
        let drained = matches!(self.lp().now, Now::Flushed { .. } | Now::Empty {});
        self.from(&start, rounds, drained, f64::INFINITY)
    }

    /// The most that comes out.
    fn cap(&self, state: &State) -> f64 {
        let held = state.mix.litres();
        let by_volume = self.lp().draw_limit.map_or(held, |q| q.value);
        let stays = |s: Share| held - self.volume() * (1.0 - s.fraction);
        let by_share = self.lp().drains.map_or(held, stays);
        let most = by_volume.min(by_share).min(held).max(0.0);
        // Whole steps, but for all there is.
        let step = self.lp().measure_step.map_or(0.05, |q| q.value);
        if most < held {
            (most / step + 1e-6).floor() * step
        } else {
            most
        }
    }

    fn from(&self, state: &State, rounds: usize, drained: bool, under: f64) -> Option<f64> {
        let cap = if drained { 0.0 } else { self.cap(state) };
        let draws = (cap / self.grid + 1e-9).floor() as usize;
        let draws = (0..=draws).map(|d| d as f64 * self.grid).chain([cap]);
        let mut best: Option<f64> = None;
        for draw in draws {
            let bound = best.unwrap_or(under);
            if draw >= bound {
                continue;
            }
            let mut left = state.clone();
            if draw > 0.0 {
                left.mix.draw(draw);
            }
            if self.ends(state, &left) {
                best = Some(draw);
                continue;
            }
            if rounds < 2 {
                continue;
            }
            for next in self.fills(&left) {
                let bound = best.unwrap_or(under) - draw;
                if let Some(rest) = self.from(&next, rounds - 1, false, bound) {
                    best = Some(draw + rest);
                }
            }
        }
        best
    }

    /// Does some last pour end as asked, at the mark?
    fn ends(&self, before: &State, left: &State) -> bool {
        let dosed = |state: &State| {
            let mut state = state.clone();
            state.mix.additive_l += self.dose;
            (state.mix.litres() <= self.volume() + 1e-9).then_some(state)
        };
        let range = |state: &State| {
            let state = dosed(state)?;
            Some((self.extreme(&state, false)?, self.extreme(&state, true)?))
        };
        let Some((low, high)) = range(left) else {
            return false;
        };
        let aim = aim_of(self.lp());
        // A renewal is met within one measuring step.
        if let Some(renew) = self.lp().renew {
            let held = Balance::before(self.lp()).litres();
            let drained = matches!(self.lp().now, Now::Flushed { .. } | Now::Empty {});
            let of = if drained { self.volume() } else { held };
            let step = self.lp().measure_step.map_or(0.05, |q| q.value);
            if left.mix.old * held > of * (1.0 - renew.fraction) + step {
                return false;
            }
        }
        if let (Some(step), Ending::Between(least, most)) = (self.whole, self.ending) {
            // Rounding moves the ends by no more than a step of the strongest would.
            let off = 100.0 * step / self.volume();
            let near = low - off <= most && least <= high + off;
            return near && dosed(left).is_some_and(|s| self.measured(&s, (least, most)));
        }
        match self.ending {
            Ending::Between(least, most) => low <= most && least <= high,
            Ending::Within(off) => low - off <= aim && aim <= high + off,
            Ending::Reaches => {
                // Where the dose found no room before the draw, nothing less need land on it.
                let Some((undrawn_low, undrawn_high)) = range(before) else {
                    return low <= aim && aim <= high;
                };
                if before.mix.percent() <= aim {
                    high >= aim && undrawn_low <= aim + 1e-6
                } else {
                    low <= aim && undrawn_high >= aim - 1e-6
                }
            }
        }
    }

    /// Does nothing more, one stock or two in whole steps end there, less than a step below the mark?
    fn measured(&self, dosed: &State, (least, most): (f64, f64)) -> bool {
        let there = |state: &State| {
            let percent = state.mix.percent();
            percent >= least - 1e-9 && percent <= most + 1e-9 && self.is_full(state)
        };
        if there(dosed) {
            return true;
        }
        let step = self.whole.unwrap_or(self.grid);
        let count = ((self.volume() - dosed.mix.litres()) / step).ceil() as usize;
        let stocks = 0..self.job.shelf.len();
        stocks.clone().any(|a| {
            stocks.clone().filter(|&b| b != a).any(|b| {
                (0..=count).any(|k| {
                    let mut state = dosed.clone();
                    self.pour(&mut state, a, k as f64 * step);
                    self.pour(&mut state, b, f64::INFINITY);
                    there(&state)
                })
            }) || {
                let mut state = dosed.clone();
                self.pour(&mut state, a, f64::INFINITY);
                there(&state)
            }
        })
    }

    /// At the mark; where everything is measured, less than a step below it.
    fn is_full(&self, state: &State) -> bool {
        self.volume() - state.mix.litres() < self.whole.unwrap_or(1e-3) + 1e-7
    }

    /// The strength at the mark when it is filled with the strongest there is, or the weakest.
    fn extreme(&self, state: &State, strongest: bool) -> Option<f64> {
        let mut order: Vec<usize> = (0..self.job.shelf.len()).collect();
        order.sort_by(|&a, &b| {
            self.job.shelf[a]
                .percent
                .total_cmp(&self.job.shelf[b].percent)
        });
        if strongest {
            order.reverse();
        }
        let mut state = state.clone();
        for i in order {
            self.pour(&mut state, i, f64::INFINITY);
        }
        self.is_full(&state).then(|| state.mix.percent())
    }

    /// So much of a stock, or what there is, or what still goes in.
    fn pour(&self, state: &mut State, stock: usize, amount: f64) {
        let percent = self.job.shelf[stock].percent;
        let mut wanted = amount.min(state.have[stock]);
        if let Some(step) = self.whole {
            let mut full = state.mix;
            let mut room = 0.0;
            for _ in 0..4 {
                let now = (self.volume() - full.litres()).max(0.0);
                full.pour(now, percent);
                room += now;
            }
            let amount = (wanted.min(room) / step + 1e-7).floor() * step;
            state.mix.pour(amount, percent);
            state.have[stock] -= amount;
            return;
        }
        // Shrinking leaves a little more room than the volume poured: a few corrections close it.
        for _ in 0..4 {
            let now = (self.volume() - state.mix.litres()).max(0.0).min(wanted);
            state.mix.pour(now, percent);
            state.have[stock] -= now;
            wanted -= now;
        }
    }

    /// Every pour of two stocks on the grid that fills it to the mark.
    fn fills(&self, left: &State) -> Vec<State> {
        let room = self.volume() - left.mix.litres();
        let count = (room / self.grid).ceil().max(0.0) as usize;
        let mut list = Vec::new();
        for a in 0..self.job.shelf.len() {
            for b in 0..self.job.shelf.len() {
                if a == b && self.job.shelf.len() > 1 {
                    continue;
                }
                for k in 0..=count {
                    let mut next = left.clone();
                    self.pour(&mut next, a, k as f64 * self.grid);
                    self.pour(&mut next, b, f64::INFINITY);
                    // Never above 70 %, nor stronger than it was where it was.
                    let strong = next.mix.percent() > left.mix.percent().max(70.0) + 1e-9;
                    if self.is_full(&next) && !strong {
                        list.push(next);
                    }
                }
            }
        }
        list
    }
}
