//! The additive: what its label says, as litres for one loop.
//!
//! Every label form comes down to a wanted total and a ceiling in litres of additive for the loop's volume; what an
//! earlier dose left behind counts towards both. The ceiling holds at the unlucky end of the volume, less half a
//! measuring step, and rounding goes down (label units: up, and re-checked).
//!
//! Sources of the forms: common practice; units per gallon: a truck operator's manual (13 gal, 1.5 to 2.3 needs
//! 10.4, eleven whole units give 2.346).
//! Never done here: deciding whether a vehicle's maker allows an additive.

use super::{
    caution::Caution,
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
    /// One bottle of `size` treats `from` (if stated) to `to` of coolant.
    Bottle {
        /// What the bottle holds.
        size: Volume,
        /// The least coolant one bottle may go into.
        from: Option<Volume>,
        /// The most coolant one bottle treats.
        to: Volume,
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

impl LabelRate {
    /// The total that `volume` of coolant should hold (as a rate: the least the label asks for).
    pub fn wanted(&self, volume: Volume) -> Volume {
        match *self {
            Self::Share(share) => volume * share,
            Self::Bottle { size, to, .. } => size * (volume / to).value,
            Self::Level { aim, raises, .. } => volume * (aim / raises),
        }
    }

    /// The most that `volume` of coolant may hold, if this form states one (as a limit).
    pub fn most(&self, volume: Volume) -> Option<Volume> {
        match *self {
            Self::Share(_) | Self::Level { .. } => Some(self.wanted(volume)),
            Self::Bottle { size, from, .. } => from.map(|from| size * (volume / from).value),
        }
    }
}

/// What is to be dosed into one loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dosing {
    /// The label's rate.
    pub rate: LabelRate,
    /// The label's limit; a bottle's `from` serves where none is given.
    pub limit: Option<LabelRate>,
    /// Additive in the loop before the job; `None`: unknown.
    pub already: Option<Volume>,
    /// How much there is to dose; `None`: enough.
    pub have: Option<Volume>,
    /// The least amount that can be measured.
    pub step: Volume,
}

/// What a dose came to, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct DoseOutcome {
    /// To put in.
    pub amount: Volume,
    /// The same before it was rounded to what can be measured.
    pub unrounded: Volume,
    /// The most the label allows in the loop, at the unlucky end of its volume.
    pub limit: Option<Volume>,
    /// Left from before; `None`: unknown.
    pub carried_over: Option<Volume>,
    /// What was cut, and what is not known.
    pub cautions: Vec<Caution>,
}

impl Dosing {
    /// Additive in the loop before the job, in litres: what was said, or what the measured level amounts to.
    /// `None`: unknown.
    pub fn before(&self, held: Volume) -> Option<Volume> {
        match self.rate {
            LabelRate::Level { now, raises, .. } => Some(held * (now / raises)),
            _ => self.already,
        }
    }

    /// The most the label allows in the loop, at the unlucky end of its volume.
    pub fn ceiling(&self, volume: Measured<Volume>) -> Option<Volume> {
        let unlucky = volume.value - volume.plus_minus;
        self.limit
            .unwrap_or(self.rate)
            .most(unlucky)
            .filter(|_| self.limit.is_some() || self.is_bottle())
    }

    fn is_bottle(&self) -> bool {
        matches!(self.rate, LabelRate::Bottle { .. })
    }

    /// The dose for a loop of `volume` at the mark that carries `carried` litres of additive over (known part) and
    /// keeps `old` litres of its old charge; `known` says whether the additive in that old charge is known.
    pub fn amount(
        &self,
        volume: Measured<Volume>,
        carried: Volume,
        old: Volume,
        known: bool,
    ) -> DoseOutcome {
        let mut cautions = Vec::new();
        let zero = litres(0.0);
        let ceiling = self.ceiling(volume);
        let asked = if known {
            self.whole(volume, carried)
        } else {
            cautions.push(Caution::EarlierDoseUnknown);
            let renewed = max(volume.value - old, zero);
            max(self.rate.wanted(renewed) - carried, zero)
        };
        if ceiling.is_none() {
            cautions.push(Caution::NoLabelLimit);
        }
        let mut given = asked;
        if let Some(limit) = ceiling {
            let room = limit - carried - self.step / 2.0;
            if carried > limit + litres(SLACK_LITRES) {
                cautions.push(Caution::OverLimit {
                    carried_over_litres: in_litres(carried),
                    limit_litres: in_litres(limit),
                });
                given = zero;
            } else if in_litres(asked) > in_litres(max(room, zero)) + SLACK_LITRES {
                given = max(room, zero);
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
            limit: ceiling,
            carried_over: known.then_some(carried),
            cautions,
        }
    }

    /// What the label asks for on top of `carried`, in whole bottles or units where its form counts in them.
    fn whole(&self, volume: Measured<Volume>, carried: Volume) -> Volume {
        let asked = max(self.rate.wanted(volume.value) - carried, litres(0.0));
        match self.rate {
            LabelRate::Level {
                unit: Some(unit), ..
            } => unit * ((asked / unit).value - SLACK_LITRES).ceil().max(0.0),
            LabelRate::Bottle { size, .. } => {
                let bottles = size * ((asked / size).value - SLACK_LITRES).ceil();
                let room = self
                    .ceiling(volume)
                    .map_or(asked, |limit| limit - carried - self.step / 2.0);
                if bottles <= room { bottles } else { asked }
            }
            _ => asked,
        }
    }

    /// Down to what can be measured.
    fn down(&self, amount: Volume) -> Volume {
        if let LabelRate::Level {
            unit: Some(unit), ..
        } = self.rate
        {
            return unit * ((amount / unit).value + SLACK_LITRES).floor();
        }
        self.step * ((in_litres(amount) + SLACK_LITRES) / in_litres(self.step)).floor()
    }
}

fn max(a: Volume, b: Volume) -> Volume {
    if a > b { a } else { b }
}
