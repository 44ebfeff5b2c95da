//! What is asked of the planner, and how far it has got.

use super::spread::{self, Spread};
use crate::engine::{
    dose::{DoseOutcome, Dosing, Drawn, SLACK_LITRES},
    levels::AtEnds,
    mix::{Blend, Charge},
    quantity::{LabelFraction, Measured, ThermodynamicTemperature, Volume, in_litres, litres},
    range::held,
};

/// The most stocks a shelf may hold for one loop; keeps the exact search small.
pub const MOST_STOCKS: usize = 10;

/// 95 % half-width of the strength, as a fraction, of a loop whose contents nobody knows: 50 points.
pub const UNKNOWN: f64 = 0.5;

/// Something that can be poured into this loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usable {
    /// Its place on the shelf.
    pub stock: usize,
    /// Its label strength.
    pub strength: LabelFraction,
    /// 95 % half-width of that, as a fraction.
    pub plus_minus: f64,
    /// How much there is; `None`: enough.
    pub have: Option<Volume>,
    /// Price of a litre, where known.
    pub price: Option<f64>,
    /// What the supplement's test shows of it; of a supplement that goes by no test, 1 where it brings it.
    pub level: f64,
}

/// The most that one draw gives.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DrawLimit {
    /// As a volume.
    pub volume: Option<Volume>,
    /// As the share of the loop that comes out at the opening, 0 to 1: the rest stays behind.
    pub share: Option<f64>,
}

/// Where the mix should land. A percentage is to be met; a frost aim is met by anything from the least strength
/// that reaches it up to the loop's highest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// What the amounts are reckoned for.
    pub aim: LabelFraction,
    /// The least that counts as there.
    pub low: f64,
    /// The most that counts as there.
    pub high: f64,
    /// The most glycol, an additive that dilutes left out.
    pub most: f64,
    /// Any strength from `low` to `high` is as good as another.
    pub at_least: bool,
}

impl Target {
    /// Does what a loop holds count as there?
    pub fn accepts(&self, charge: &Charge) -> bool {
        let phi = charge.strength().fraction();
        phi >= self.low - 1e-9
            && phi <= self.high + 1e-9
            && charge.undiluted().fraction() <= self.most + 1e-9
    }

    /// The strength to reckon for, coming from `now`.
    pub fn landing(&self, now: LabelFraction) -> LabelFraction {
        if self.at_least {
            LabelFraction::clamped(held(now.fraction(), self.low, self.high))
        } else {
            self.aim
        }
    }

    /// The nearest strength that still counts, coming from `now`.
    pub fn edge(&self, now: LabelFraction) -> LabelFraction {
        LabelFraction::clamped(held(now.fraction(), self.low, self.high))
    }
}

/// One loop's task, as far as it has got.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// Densities of the glycol in it.
    pub blend: Blend,
    /// Filled to the mark, with its 95 % half-width.
    pub volume: Measured<Volume>,
    /// What it held before the job.
    pub before: Charge,
    /// What it holds now.
    pub now: Charge,
    /// 95 % half-width of the strength before the job, as a fraction.
    pub plus_minus: f64,
    /// 95 % half-width of how far below the mark it stood before the job, or of what had stayed behind.
    pub level_plus_minus: Volume,
    /// What it may really hold now, as far as things happened.
    pub spread: Spread,
    /// Refilled after a drain or a flush: nothing more comes out before it has run.
    pub drained: bool,
    /// Where to land.
    pub target: Target,
    /// The coldest it must survive, which the worst end of the range is held to.
    pub coldest: Option<ThermodynamicTemperature>,
    /// The most that one draw gives.
    pub draw_limit: DrawLimit,
    /// The least share of the old charge to replace, 0 to 1.
    pub renew: f64,
    /// What that is a share of: what the loop held; of one drained or flushed before, all it holds at the mark.
    pub renew_of: Volume,
    /// What can be poured, strongest first.
    pub shelf: Vec<Usable>,
    /// What is to be dosed.
    pub dosing: Option<Dosing>,
    /// How far above the mark a dose may stand and still fit when hot.
    pub fits_above: Volume,
    /// The loop's lowest strength, as a fraction.
    pub lowest: f64,
    /// Where nothing can be drained, it may stand so far above it.
    pub may_stand_above: bool,
    /// The least amount that can be measured.
    pub step: Volume,
    /// Drawn since it last ran mixed.
    pub drawn_since_run: Volume,
    /// Drawn so far, in all.
    pub drawn_so_far: Volume,
    /// Rounds begun and run in so far.
    pub rounds_so_far: u32,
    /// Something was drawn, poured or dosed and has not been run in.
    pub unmixed: bool,
    /// Something was poured or dosed and has not been run in: nothing is drawn of it before it is, but for what stands above
    /// the mark.
    pub unstirred: bool,
    /// The same as unmixed, and has not been checked.
    pub unchecked: bool,
    /// Checked, and nothing was drawn, poured or dosed since.
    pub checked: bool,
}

/// What really happened to a loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Event {
    /// Came out.
    Drew(Volume),
    /// Additive went in.
    Dosed(Volume),
    /// So much of the shelf's stock went in.
    Poured(usize, Volume),
    /// It was filled to the mark with that stock, by the card so much.
    Filled(usize, Volume),
    /// Ran warm and mixed.
    Ran,
    /// Cooled, bled and checked.
    Checked,
}

impl Task {
    /// What it holds now, as a volume.
    pub fn held(&self) -> Volume {
        self.now.volume(&self.blend)
    }

    /// The most the next draw gives from `charge`, given what was drawn since it last ran.
    pub fn draw_cap(&self, charge: &Charge, drawn_since_run: Volume) -> Volume {
        let held = charge.volume(&self.blend);
        let mut cap = held;
        if let Some(limit) = self.draw_limit.volume {
            cap = least(cap, limit - drawn_since_run);
        }
        if let Some(share) = self.draw_limit.share {
            cap = least(cap, held - self.volume.value * (1.0 - share));
            // What was poured since stands where it comes out first: it is no old charge to drain.
            cap = least(cap, self.volume.value * share - drawn_since_run);
        }
        if cap > litres(0.0) { cap } else { litres(0.0) }
    }

    /// Whether a draw has any limit but the loop itself.
    pub fn draw_is_limited(&self) -> bool {
        self.draw_limit.volume.is_some() || self.draw_limit.share.is_some_and(|s| s < 1.0)
    }

    /// The most of the old charge that may stay, in litres.
    pub fn old_allowed(&self) -> Volume {
        self.renew_of * (1.0 - self.renew)
    }

    /// The dose for `charge` as it stands after the draw, and before these pours (places on the shelf, litres; the last
    /// one to the mark); `None` where nothing is dosed.
    pub fn dose(&self, charge: &Charge, pours: &[(usize, f64)]) -> Option<DoseOutcome> {
        let dosing = self.dosing.as_ref()?;
        let mut tested = AtEnds::default();
        let mut brought = false;
        if dosing.raises().is_some() {
            tested = charge
                .levels
                .with(self.litres_of(charge), |level, held| level * held);
            for (k, &(place, amount)) in pours.iter().enumerate() {
                let amount = self.poured_litres(amount, k + 1 == pours.len());
                let level = self.shelf[place].level;
                brought |= level > 0.0 && amount.nominal > SLACK_LITRES;
                tested = tested.with(amount, |sum, litres| sum + level * litres);
            }
        }
        Some(dosing.amount(&Drawn {
            volume: self.volume,
            additive: charge.additive,
            old: charge.old,
            tested,
            brought,
            step: self.step,
        }))
    }

    /// What it holds by the book and at either end of its volume: by as much as the volume itself, but for what was
    /// left behind and measured as such.
    fn litres_of(&self, charge: &Charge) -> AtEnds {
        let nothing = litres(0.0);
        let off = if self.drained {
            nothing
        } else {
            self.volume.plus_minus
        };
        AtEnds::litres(charge.volume(&self.blend), off)
    }

    /// An amount poured. What fills a drained loop to the mark is more or less than the book says, with its volume.
    fn poured_litres(&self, amount: f64, to_the_mark: bool) -> AtEnds {
        if self.drained && to_the_mark {
            AtEnds::litres(litres(amount), self.volume.plus_minus)
        } else {
            AtEnds::of(amount)
        }
    }

    /// `charge` once so much additive was dosed.
    pub(super) fn dosed(&self, charge: &Charge, amount: Volume) -> Charge {
        let raises = self.dosing.and_then(|d| d.raises()).unwrap_or(0.0);
        let amount_litres = AtEnds::of(in_litres(amount));
        self.tested(charge, charge.dosed(amount), raises, amount_litres)
    }

    /// `charge` once so much of a stock was poured.
    pub(super) fn poured(
        &self,
        charge: &Charge,
        stock: &Usable,
        amount: Volume,
        to_the_mark: bool,
    ) -> Charge {
        let next = charge.poured(&self.blend, amount, stock.strength);
        let amount = self.poured_litres(in_litres(amount), to_the_mark);
        self.tested(charge, next, stock.level, amount)
    }

    /// `next`, with the level of what was `charge` before so much of another level came to it.
    fn tested(&self, charge: &Charge, next: Charge, level: f64, amount: AtEnds) -> Charge {
        if self.dosing.and_then(|d| d.raises()).is_none() {
            return next;
        }
        let levels = charge.levels.mixed(self.litres_of(charge), level, amount);
        Charge { levels, ..next }
    }

    /// What a loop that held `charge` holds once something happened to it. Draws are cut to what it held.
    pub(super) fn happened(&self, charge: &Charge, event: Event) -> Charge {
        match event {
            Event::Drew(amount) => {
                let held = charge.volume(&self.blend);
                charge.drawn(least(amount, held), held)
            }
            Event::Dosed(amount) => self.dosed(charge, amount),
            Event::Poured(stock, amount) | Event::Filled(stock, amount) => {
                match self.shelf.iter().find(|u| u.stock == stock) {
                    Some(usable) => self.poured(charge, usable, amount, false),
                    None => *charge,
                }
            }
            Event::Ran | Event::Checked => *charge,
        }
    }

    /// The task after something happened, an amount of it measured to `step`. Draws are cut to what the loop holds.
    pub fn after(&self, event: Event, step: Volume) -> Self {
        let mut next = self.clone();
        let moves = !matches!(event, Event::Ran | Event::Checked);
        next.unmixed |= moves;
        next.unstirred |= moves && !matches!(event, Event::Drew(_));
        next.unchecked |= moves;
        next.checked &= !moves;
        if moves {
            next.now = self.happened(&self.now, event);
            next.spread = spread::carried(self, event, step);
        }
        match event {
            Event::Drew(amount) => {
                next.drawn_since_run += amount;
                next.drawn_so_far += amount;
            }
            Event::Dosed(amount) => {
                if let Some(have) = next.dosing.as_mut().and_then(|d| d.have.as_mut()) {
                    *have = most(*have - amount, litres(0.0));
                }
            }
            Event::Poured(stock, amount) | Event::Filled(stock, amount) => {
                for usable in next.shelf.iter_mut().filter(|u| u.stock == stock) {
                    if let Some(have) = usable.have.as_mut() {
                        *have = most(*have - amount, litres(0.0));
                    }
                }
            }
            Event::Ran => {
                next.drawn_since_run = litres(0.0);
                next.rounds_so_far += 1;
                next.unmixed = false;
                next.unstirred = false;
                next.drained = false;
            }
            Event::Checked => {
                next.unchecked = false;
                next.checked = true;
            }
        }
        next
    }
}

/// The lesser of two volumes.
pub(super) fn least(a: Volume, b: Volume) -> Volume {
    if a < b { a } else { b }
}

/// The greater of two volumes.
pub(super) fn most(a: Volume, b: Volume) -> Volume {
    if a > b { a } else { b }
}

/// `amount` to the nearest step; a tie, give or take the slack, goes up.
pub(super) fn nearest(amount: Volume, step: Volume) -> Volume {
    steps(
        ((in_litres(amount) + SLACK_LITRES) / in_litres(step) + 0.5).floor(),
        step,
    )
}

/// `amount` down to a step, give or take the slack.
pub(super) fn down(amount: Volume, step: Volume) -> Volume {
    steps(
        ((in_litres(amount) + SLACK_LITRES) / in_litres(step)).floor(),
        step,
    )
}

/// `count` steps, free of the dust that binary fractions leave (to 1e-9 L).
pub(super) fn steps(count: f64, step: Volume) -> Volume {
    litres((count.max(0.0) * in_litres(step) * 1e9).round() / 1e9)
}
