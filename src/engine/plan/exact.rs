//! Unrounded amounts that land on a strength at the mark with the least drawn: every vertex of the linear program.
//!
//! With the strength φ fixed, the mix's density is fixed and both conditions are linear in the share r of the loop
//! that stays and the apart-measured litres q of each stock poured (s its strength, C and W what the loop holds
//! apart, a its additive):
//!
//! ```text
//! n = (V − dose − r·a) / (mixed volume of one apart litre at φ)
//! Σ q·s      + r·C = φ·(n + A) − g·A
//! Σ q·(1−s)  + r·W = n − φ·(n + A) + g·A
//! ```
//!
//! A = dose + r·a is the additive, and g 1 where it counts as glycol, else 0.
//!
//! The dose is taken before rounding; it depends on what stays, weakly, and is settled by a few repetitions.

use super::task::{Task, Usable};
use crate::engine::{
    dose::SLACK_LITRES,
    mix::{Carrier, Charge},
    order::in_order,
    quantity::{LabelFraction, in_litres},
    range::held,
};

/// A way to land: how much to draw, and which stocks to pour (their places in the task's shelf, strongest first).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Landing {
    /// Litres drawn.
    pub draw: f64,
    /// Stocks poured, and litres of each.
    pub pours: Vec<(usize, f64)>,
}

/// The equations for one loop and one strength.
struct Equations<'a> {
    task: &'a Task,
    charge: Charge,
    phi: f64,
    held: f64,
    /// 1 where the additive counts as glycol, else 0.
    glycol: f64,
}

/// Every way to land on `strength` drawing from `charge` between `least_draw` and `most_draw` litres, each from one
/// vertex; least drawn first.
pub(super) fn landings(
    task: &Task,
    charge: &Charge,
    strength: LabelFraction,
    least_draw: f64,
    most_draw: f64,
) -> Vec<Landing> {
    let eq = Equations::new(task, charge, strength);
    let mut found = Vec::new();
    for capped in capped_sets(&task.shelf) {
        let free: Vec<usize> = (0..task.shelf.len())
            .filter(|i| !capped.contains(i) && has_any(&task.shelf[*i]))
            .collect();
        for (k, &a) in free.iter().enumerate() {
            found.extend(eq.draw_and_one(&capped, a));
            for &b in &free[k + 1..] {
                found.extend(eq.two_at(&capped, a, b, least_draw));
            }
        }
    }
    found.retain(|l| l.draw >= least_draw - SLACK_LITRES && l.draw <= most_draw + SLACK_LITRES);
    in_order(&mut found, |a, b| a.draw.total_cmp(&b.draw));
    found
}

/// The amounts of two stocks that land on `strength` when exactly `draw` litres are drawn, the stocks in `fixed`
/// being poured as given. `None` where they cannot.
pub(super) fn blend_at(
    task: &Task,
    charge: &Charge,
    strength: LabelFraction,
    pair: (usize, usize),
    fixed: &[(usize, f64)],
    draw: f64,
) -> Option<(f64, f64)> {
    let eq = Equations::new(task, charge, strength);
    eq.pair_amounts(fixed, pair, draw)
}

impl<'a> Equations<'a> {
    fn new(task: &'a Task, charge: &Charge, strength: LabelFraction) -> Self {
        Self {
            task,
            charge: *charge,
            phi: strength.fraction(),
            held: in_litres(charge.volume(&task.blend)),
            glycol: match charge.carrier {
                Carrier::Water => 0.0,
                Carrier::Glycol => 1.0,
            },
        }
    }

    /// Right-hand sides (concentrate, water still to come) at r = 0 and their slopes in r, around a share that stays.
    fn sides(&self, fixed: &[(usize, f64)], stays: f64, dose: f64) -> [(f64, f64); 2] {
        let (volume, own) = (
            in_litres(self.task.volume.value),
            in_litres(self.charge.additive),
        );
        let additive = dose + own * held(stays, 0.0, 1.0);
        // What the mix shrinks by goes by its strength without the additive.
        let mut mixed_per_apart = 1.0;
        for _ in 0..4 {
            let n = (volume - additive) / mixed_per_apart;
            let glycol = self.phi * (n + additive) - self.glycol * additive;
            let mix = LabelFraction::clamped(glycol / n);
            mixed_per_apart = 1.0 / self.task.blend.apart_per_mixed(mix);
        }
        let n0 = (volume - dose) / mixed_per_apart;
        let n1 = -own / mixed_per_apart;
        let off = self.phi - self.glycol;
        let mut c = self.phi * n0 + off * dose;
        let mut w = n0 - c;
        for &(i, litres) in fixed {
            let stock = &self.task.shelf[i];
            let apart = litres * self.task.blend.apart_per_mixed(stock.strength);
            c -= apart * stock.strength.fraction();
            w -= apart * (1.0 - stock.strength.fraction());
        }
        [
            (
                c,
                self.phi * n1 + off * own - in_litres(self.charge.concentrate),
            ),
            (
                w,
                (1.0 - self.phi) * n1 - off * own - in_litres(self.charge.water),
            ),
        ]
    }

    fn dose_at(&self, stays: f64, pours: &[(usize, f64)]) -> f64 {
        self.task
            .dose(&self.charge.kept(held(stays, 0.0, 1.0)), pours)
            .map_or(0.0, |d| in_litres(d.unrounded))
    }

    /// One stock and the draw are free.
    fn draw_and_one(&self, capped: &[usize], stock: usize) -> Option<Landing> {
        let fixed = self.full(capped);
        let s = self.task.shelf[stock].strength.fraction();
        let (mut stays, mut apart) = (1.0, 0.0);
        for _ in 0..4 {
            let mut pours = fixed.clone();
            pours.push((stock, self.mixed(stock, apart).max(0.0)));
            let [(c0, c1), (w0, w1)] = self.sides(&fixed, stays, self.dose_at(stays, &pours));
            // q·s − r·c1 = c0 ; q·(1−s) − r·w1 = w0
            let det = -s * w1 + (1.0 - s) * c1;
            if det.abs() < 1e-12 {
                return None;
            }
            apart = (-w1 * c0 + c1 * w0) / det;
            stays = (s * w0 - (1.0 - s) * c0) / det;
        }
        let amount = self.mixed(stock, apart);
        (self.held > 0.0 && (-1e-9..=1.0 + 1e-9).contains(&stays) && self.can_pour(stock, amount))
            .then(|| {
                let mut pours = fixed;
                pours.push((stock, amount.max(0.0)));
                self.landing((1.0 - held(stays, 0.0, 1.0)) * self.held, pours)
            })
    }

    /// Two stocks are free, the draw is given.
    fn two_at(&self, capped: &[usize], a: usize, b: usize, draw: f64) -> Option<Landing> {
        let fixed = self.full(capped);
        let (pa, pb) = self.pair_amounts(&fixed, (a, b), draw)?;
        (self.can_pour(a, pa) && self.can_pour(b, pb)).then(|| {
            let mut pours = fixed;
            pours.extend([(a, pa.max(0.0)), (b, pb.max(0.0))]);
            self.landing(draw, pours)
        })
    }

    fn pair_amounts(
        &self,
        fixed: &[(usize, f64)],
        (a, b): (usize, usize),
        draw: f64,
    ) -> Option<(f64, f64)> {
        let stays = if self.held > 0.0 {
            held(1.0 - draw / self.held, 0.0, 1.0)
        } else {
            0.0
        };
        let one_by_level = |&(i, _): &(usize, f64)| self.task.shelf[i].level > 0.0;
        let brings = [(a, 0.0), (b, 0.0)].iter().chain(fixed).any(one_by_level);
        let mut pours = None;
        // What the pours bring goes off the dose, and its room to them: twice is far below what is measured.
        for _ in 0..if brings { 3 } else { 1 } {
            pours = self.pair_beside(fixed, (a, b), stays, pours);
            pours?;
        }
        pours
    }

    /// The same, the pair having been reckoned as `before`.
    fn pair_beside(
        &self,
        fixed: &[(usize, f64)],
        (a, b): (usize, usize),
        stays: f64,
        before: Option<(f64, f64)>,
    ) -> Option<(f64, f64)> {
        let mut pours = fixed.to_vec();
        if let Some((pa, pb)) = before {
            pours.extend([(a, pa.max(0.0)), (b, pb.max(0.0))]);
        }
        let [(c0, c1), (w0, w1)] = self.sides(fixed, stays, self.dose_at(stays, &pours));
        let (c, w) = (c0 + c1 * stays, w0 + w1 * stays);
        let (sa, sb) = (
            self.task.shelf[a].strength.fraction(),
            self.task.shelf[b].strength.fraction(),
        );
        let det = sa * (1.0 - sb) - sb * (1.0 - sa);
        if det.abs() < 1e-12 {
            return None;
        }
        let qa = ((1.0 - sb) * c - sb * w) / det;
        let qb = (sa * w - (1.0 - sa) * c) / det;
        Some((self.mixed(a, qa), self.mixed(b, qb)))
    }

    /// Every stock of `capped`, all there is of it.
    fn full(&self, capped: &[usize]) -> Vec<(usize, f64)> {
        capped
            .iter()
            .filter_map(|&i| self.task.shelf[i].have.map(|have| (i, in_litres(have))))
            .collect()
    }

    fn mixed(&self, stock: usize, apart: f64) -> f64 {
        apart
            / self
                .task
                .blend
                .apart_per_mixed(self.task.shelf[stock].strength)
    }

    fn can_pour(&self, stock: usize, amount: f64) -> bool {
        amount >= -SLACK_LITRES
            && self.task.shelf[stock]
                .have
                .is_none_or(|have| amount <= in_litres(have) + SLACK_LITRES)
    }

    fn landing(&self, draw: f64, mut pours: Vec<(usize, f64)>) -> Landing {
        pours.retain(|&(_, amount)| amount > SLACK_LITRES);
        in_order(&mut pours, |a, b| a.0.cmp(&b.0));
        Landing { draw, pours }
    }
}

fn has_any(stock: &Usable) -> bool {
    stock.have.is_none_or(|have| in_litres(have) > SLACK_LITRES)
}

/// Every set of stocks that could be poured to the last drop: the limited ones.
fn capped_sets(shelf: &[Usable]) -> Vec<Vec<usize>> {
    let limited: Vec<usize> = (0..shelf.len())
        .filter(|&i| shelf[i].have.is_some() && has_any(&shelf[i]))
        .collect();
    (0..1_u32 << limited.len())
        .map(|bits| {
            limited
                .iter()
                .enumerate()
                .filter(|(k, _)| bits & (1 << k) != 0)
                .map(|(_, &i)| i)
                .collect()
        })
        .collect()
}
