//! The additive: what its label says, as litres for one loop.
//!
//! Every label form comes down to a wanted total and a ceiling in litres of additive for the loop's volume; what an
//! earlier dose left behind counts towards both. The ceiling holds at the unlucky end of the volume, less half a
//! measuring step, and rounding goes down (label units: up, and re-checked; whole bottles are exact).
//!
//! A level by test is a concentration: it says nothing of the volume, and a volume that is off moves what the loop
//! holds and what it may hold together. It is booked as glycol is ([`AtEnds`]): kept by draws, diluted or raised by
//! pours, raised by the dose. With V the volume at the mark, in one round
//!
//! ```text
//! dose · raises ≤ (limit − now)·V + now·(missing + drained) − brought·poured
//! ```
//!
//! which is least at the low end of V below the limit, and at its high end above it; half a step is left off it.
//!
//! Sources of the forms: common practice; units per gallon: a truck operator's manual (13 gal, 1.5 to 2.3 needs
//! 10.4, eleven whole units give 2.346).
//! Never done here: deciding whether a vehicle's maker allows an additive.

use super::{
    caution::Caution,
    levels::AtEnds,
    mix::Carrier,
    quantity::{Measured, Volume, in_litres, litres},
    range::Range,
};

/// Shares of a loop that a label may ask for.
pub const SHARE: Range = Range {
    quantity: "additive's share of the loop",
    low: 0.0,
    high: 0.5,
    unit: "L/L",
};

/// Slack for comparing litres, so that two machines never round apart.
pub const SLACK_LITRES: f64 = 1e-6;

/// A label's rate, or its limit, in one of the forms labels use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LabelRate {
    /// Litres of additive per litre of the loop's volume (ratio, percent, one part in N).
    Share(f64),
    /// One bottle of `size` treats `from` (if stated) to `to` of coolant. Where it is not, "up to" means the whole
    /// bottle, down to `whole` of `to`.
    Bottle {
        /// What the bottle holds.
        size: Volume,
        /// The least coolant one bottle may go into.
        from: Option<Volume>,
        /// The most coolant one bottle treats.
        to: Volume,
        /// The share of `to` down to which it is the whole bottle.
        whole: f64,
    },
    /// A measured level `now` and a wanted (or highest) level `aim`; `raises` is what one litre of additive per
    /// litre of coolant raises it by. All in the label's unit.
    Level {
        /// Measured before the job.
        now: f64,
        /// Wanted, or the ceiling.
        aim: f64,
        /// Per litre of additive in a litre of coolant.
        raises: f64,
        /// Litres of additive in one whole unit, where the label counts in units.
        unit: Option<Volume>,
    },
}

/// The share of what a bottle treats "up to" down to which it is the whole bottle. Ours.
pub const WHOLE_DOWN_TO: f64 = 0.5;

impl LabelRate {
    /// The total that `volume` of coolant should hold (as a rate: the least the label asks for).
    pub fn wanted(&self, volume: Volume) -> Volume {
        match *self {
            Self::Share(share) => volume * share,
            Self::Bottle { size, to, .. } if self.is_whole(volume) => size * bottles(volume, to),
            Self::Bottle { size, to, .. } => size * (volume / to).value,
            Self::Level { aim, raises, .. } => volume * (aim / raises),
        }
    }

    /// The most that `volume` of coolant may hold (as a limit).
    pub fn most(&self, volume: Volume) -> Volume {
        match *self {
            Self::Bottle { size, from, to, .. } => match from {
                Some(from) => size * (volume / from).value,
                None => size * bottles(volume, to),
            },
            _ => self.wanted(volume),
        }
    }

    /// Is `volume` one that a label with nothing but "up to" gives whole bottles?
    fn is_whole(&self, volume: Volume) -> bool {
        matches!(*self, Self::Bottle { from: None, to, whole, .. } if volume >= to * whole - litres(SLACK_LITRES))
    }
}

/// Bottles that treat `volume` where one treats up to `to`.
fn bottles(volume: Volume, to: Volume) -> f64 {
    ((volume / to).value - SLACK_LITRES).ceil().max(0.0)
}

/// What is to be dosed into one loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dosing {
    /// The label's rate.
    pub rate: LabelRate,
    /// The label's limit; a bottle's `from` serves where none is given.
    pub limit: Option<LabelRate>,
    /// What it counts as, in the strength.
    pub carrier: Carrier,
    /// Additive in the loop before the job, where that is not measured as a level; `None`: unknown.
    pub already: Option<Volume>,
    /// How much there is to dose; `None`: enough.
    pub have: Option<Volume>,
    /// The least amount that can be measured.
    pub step: Volume,
    /// It supplements the coolant's inhibitors, which what is poured may bring.
    pub supplement: bool,
}

/// A loop after its draw, as a dose is reckoned on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawn {
    /// Filled to the mark.
    pub volume: Measured<Volume>,
    /// Litres of additive in it, as far as known.
    pub additive: Volume,
    /// Litres of the charge before the job in it.
    pub old: Volume,
    /// What the test shows of what stays and of what is poured to the mark, without the dose: level times litres. Of a
    /// supplement that goes by no test: the litres that brought it.
    pub tested: AtEnds,
    /// Some of that comes with what is poured.
    pub brought: bool,
    /// What is poured is measured to.
    pub step: Volume,
}

/// What a dose came to, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct DoseOutcome {
    /// To put in.
    pub amount: Volume,
    /// The same before it was rounded to what can be measured.
    pub unrounded: Volume,
    /// The most the label allows in the loop, at the unlucky end of its volume; of a level, as its volume is given.
    pub limit: Option<Volume>,
    /// Left from before, of a level what it amounts to; `None`: unknown.
    pub carried_over: Option<Volume>,
    /// What was cut, and what is not known.
    pub cautions: Vec<Caution>,
}

impl Dosing {
    /// Litres of additive in the loop before the job that are booked as such; `None`: unknown. What was measured as a
    /// level is booked as a level.
    pub fn before(&self) -> Option<Volume> {
        match self.rate {
            LabelRate::Level { .. } => Some(litres(0.0)),
            _ => self.already,
        }
    }

    /// The level before the job and what a litre of additive in a litre of coolant raises it by; nothing where the
    /// label goes by no test.
    pub fn level(&self) -> Option<(f64, f64)> {
        match self.rate {
            LabelRate::Level { now, raises, .. } => Some((now, raises)),
            _ => None,
        }
    }

    /// What a litre of it in a litre of coolant raises the level by that is booked; `None` where none is. A supplement
    /// that goes by no test raises none: booked is how much was poured that brought it.
    pub fn raises(&self) -> Option<f64> {
        match self.level() {
            Some((_, raises)) => Some(raises),
            None => self.supplement.then_some(0.0),
        }
    }

    /// The most the label allows in `volume`.
    pub fn most(&self, volume: Volume) -> Option<Volume> {
        match (self.limit, self.rate) {
            (Some(limit), _) => Some(limit.most(volume)),
            (None, LabelRate::Bottle { from: Some(_), .. }) => Some(self.rate.most(volume)),
            (None, _) => None,
        }
    }

    /// The same at the unlucky end of the volume.
    pub fn ceiling(&self, volume: Measured<Volume>) -> Option<Volume> {
        self.most(volume.value - volume.plus_minus)
    }

    /// The dose for a loop as its draw left it.
    pub fn amount(&self, drawn: &Drawn) -> DoseOutcome {
        let Drawn { volume, .. } = *drawn;
        let mut cautions = Vec::new();
        let zero = litres(0.0);
        let ceiling = self.ceiling(volume);
        let known = self.before().is_some();
        let ready = litres(drawn.tested.nominal);
        let carried = match self.level() {
            Some((_, raises)) => ready / raises,
            // What was poured with the supplement in it counts as if it had been dosed.
            None => drawn.additive + self.rate.wanted(volume.value) * (ready / volume.value).value,
        };
        if drawn.brought {
            cautions.push(Caution::SupplementBrought);
        }
        let asked = if known {
            // A fill may end a step below the mark: what that would have brought is not missing.
            let short = if drawn.brought { drawn.step } else { zero };
            let short = self.rate.wanted(volume.value) * (short / volume.value).value;
            self.whole(volume, carried + short)
        } else {
            cautions.push(Caution::EarlierDoseUnknown);
            let renewed = max(volume.value - drawn.old, zero);
            let share = (renewed / volume.value).value;
            max(self.rate.wanted(volume.value) * share - carried, zero)
        };
        if ceiling.is_none() {
            cautions.push(Caution::NoLabelLimit);
        }
        if let LabelRate::Bottle { from: None, to, .. } = self.rate
            && !self.rate.is_whole(volume.value)
            && asked > zero
        {
            cautions.push(Caution::PartOfABottle {
                treats_litres: in_litres(to),
            });
        }
        let mut given = asked;
        if let Some((limit, there)) = self.at_worst(drawn) {
            let room = limit - there;
            // Whole bottles are not measured.
            let cut = if self.in_bottles(asked) {
                room
            } else {
                room - self.step / 2.0
            };
            if room < litres(-SLACK_LITRES) {
                cautions.push(Caution::OverLimit {
                    carried_over_litres: in_litres(there),
                    limit_litres: in_litres(limit),
                });
                given = zero;
            } else if in_litres(asked) > in_litres(max(cut, zero)) + SLACK_LITRES {
                given = max(room - self.step / 2.0, zero);
                cautions.push(Caution::DoseCut {
                    asked_litres: in_litres(asked),
                    given_litres: in_litres(self.down(given)),
                });
            }
        }
        if let Some(have) = self.have
            && in_litres(given) > in_litres(have) + SLACK_LITRES
        {
            cautions.push(Caution::DoseShort {
                asked_litres: in_litres(given),
                given_litres: in_litres(self.down(have)),
            });
            given = have;
        }
        DoseOutcome {
            amount: self.down(given),
            unrounded: given,
            // A level goes with its volume: both as the volume is given.
            limit: match self.level() {
                Some(_) => self.most(volume.value),
                None => ceiling,
            },
            carried_over: known.then_some(carried),
            cautions,
        }
    }

    /// The most that may be in it and what is in it without the dose, at whichever end of the volume leaves less between
    /// them; nothing where the label has no limit.
    fn at_worst(&self, drawn: &Drawn) -> Option<(Volume, Volume)> {
        let Measured { value, plus_minus } = drawn.volume;
        let Some((_, raises)) = self.level() else {
            let ready = (litres(drawn.tested.nominal) / value).value;
            let brought = self.rate.wanted(value - plus_minus) * ready;
            return Some((self.ceiling(drawn.volume)?, drawn.additive + brought));
        };
        let at = |volume: Volume, tested: f64| Some((self.most(volume)?, litres(tested / raises)));
        let low = at(value - plus_minus, drawn.tested.low)?;
        let high = at(value + plus_minus, drawn.tested.high)?;
        let less = low.0 - low.1 < high.0 - high.1;
        Some(if less { low } else { high })
    }

    /// What the label asks for on top of `carried`, in whole bottles or units where its form counts in them.
    fn whole(&self, volume: Measured<Volume>, carried: Volume) -> Volume {
        let asked = max(self.rate.wanted(volume.value) - carried, litres(0.0));
        match self.rate {
            LabelRate::Level {
                unit: Some(unit), ..
            } => unit * ((asked / unit).value - SLACK_LITRES).ceil().max(0.0),
            LabelRate::Bottle {
                size,
                from: Some(_),
                ..
            } => {
                let bottles = size * ((asked / size).value - SLACK_LITRES).ceil();
                let fits = |most: Volume| bottles <= most - carried + litres(SLACK_LITRES);
                if self.ceiling(volume).is_some_and(fits) {
                    bottles
                } else {
                    asked
                }
            }
            _ => asked,
        }
    }

    /// Is it a whole number of bottles?
    fn in_bottles(&self, amount: Volume) -> bool {
        let LabelRate::Bottle { size, .. } = self.rate else {
            return false;
        };
        let count = (amount / size).value;
        count > 0.5 && (count - count.round()).abs() < SLACK_LITRES
    }

    /// Down to what can be measured; whole bottles need no measure.
    fn down(&self, amount: Volume) -> Volume {
        if let LabelRate::Level {
            unit: Some(unit), ..
        } = self.rate
        {
            return unit * ((amount / unit).value + SLACK_LITRES).floor();
        }
        if self.in_bottles(amount) {
            return amount;
        }
        self.step * ((in_litres(amount) + SLACK_LITRES) / in_litres(self.step)).floor()
    }
}

fn max(a: Volume, b: Volume) -> Volume {
    if a > b { a } else { b }
}
