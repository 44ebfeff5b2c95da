//! What a loop conserves, and the volume it takes.
//!
//! A charge is litres of concentrate, of water and of additive, each as measured apart at 20 °C, plus a tracer: how
//! many of its litres were there before the job. Mixing shrinks: mass is conserved, volume is mass over the density
//! of the mix (1 L + 1 L of ethylene concentrate and water make 1.984 L). Additive adds its volume without
//! shrinking and leaves in proportion when some is drawn.
//!
//! An additive does not protect from frost: it dilutes, as water does, unless it is known to be carried in glycol
//! ([`Carrier`]). That strength is the one aimed for, planned and shown. What is too much glycol is judged without the
//! additive ([`Charge::undiluted`]).
//!
//! Accuracy: the density model's (0.01 %; propylene above 80 %: 0.6 %).
//! Never done here: choosing amounts; the handbook's mass pairs (they credit 0.7 to 1.1 points too much).

use super::{
    fluid::Glycol,
    levels::AtEnds,
    property,
    quantity::{LabelFraction, MassDensity, Volume, celsius, litres},
};

/// The densities a blend is reckoned with, all at 20 °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blend {
    glycol: Glycol,
    concentrate: MassDensity,
    water: MassDensity,
}

impl Blend {
    /// For one glycol.
    pub fn of(glycol: Glycol) -> Self {
        Self {
            glycol,
            concentrate: property::concentrate_density(glycol),
            water: property::water_density_20c(),
        }
    }

    /// Which glycol.
    pub fn glycol(&self) -> Glycol {
        self.glycol
    }

    /// Mass of one volume of concentrate and water measured apart, over that volume.
    fn apart_density(&self, strength: LabelFraction) -> MassDensity {
        let phi = strength.fraction();
        self.concentrate * phi + self.water * (1.0 - phi)
    }

    /// Density once mixed. At 20 °C and 0 to 100 % the model always answers; were it ever to refuse, volumes would
    /// add without shrinking.
    fn mixed_density(&self, strength: LabelFraction) -> MassDensity {
        property::density(self.glycol, strength, celsius(20.0))
            .unwrap_or_else(|_| self.apart_density(strength))
    }

    /// Volume measured apart that one volume of the mix holds: 1 for water and concentrate, more between.
    pub fn apart_per_mixed(&self, strength: LabelFraction) -> f64 {
        (self.mixed_density(strength) / self.apart_density(strength)).value
    }
}

/// What an additive counts as, in the strength.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Carrier {
    /// As water: it dilutes.
    #[default]
    Water,
    /// As glycol.
    Glycol,
}

/// What is in a loop.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Charge {
    /// Concentrate, measured apart at 20 °C.
    pub concentrate: Volume,
    /// Water, measured apart at 20 °C.
    pub water: Volume,
    /// Additive.
    pub additive: Volume,
    /// What the additive counts as.
    pub carrier: Carrier,
    /// Of all its litres, those that were there before the job.
    pub old: Volume,
    /// The supplement's level by test; booked by [`super::plan::Task`], which knows what brings how much.
    pub levels: AtEnds,
}

impl Charge {
    /// `volume` of a mix whose strength, the additive in it counted, is `strength`; all of it old. The nearest to that
    /// where there is more additive than it allows.
    pub fn standing(
        blend: &Blend,
        volume: Volume,
        strength: LabelFraction,
        additive: Volume,
        carrier: Carrier,
    ) -> Self {
        let additive = if additive < volume { additive } else { volume };
        let base = Self {
            additive,
            carrier,
            old: volume,
            ..Self::default()
        };
        let poured = |mix: LabelFraction| base.poured(blend, volume - additive, mix);
        let mut mix = strength;
        // Each repetition leaves a fiftieth of what it was off by: the shrinkage.
        for _ in 0..8 {
            let apart = poured(mix);
            let apart = apart.concentrate + apart.water;
            if additive <= litres(0.0) || apart <= litres(0.0) {
                break;
            }
            let glycol = (apart + additive) * strength.fraction() - base.in_additive();
            mix = LabelFraction::clamped((glycol / apart).value);
        }
        poured(mix)
    }

    /// Glycol that the additive counts as.
    fn in_additive(&self) -> Volume {
        match self.carrier {
            Carrier::Water => litres(0.0),
            Carrier::Glycol => self.additive,
        }
    }

    /// Label strength, the additive counted; plain water where there is nothing.
    pub fn strength(&self) -> LabelFraction {
        let total = self.concentrate + self.water + self.additive;
        share(self.concentrate + self.in_additive(), total)
    }

    /// The same, an additive that dilutes left out: what is too much glycol is judged by this.
    pub fn undiluted(&self) -> LabelFraction {
        let glycol = self.concentrate + self.in_additive();
        share(glycol, glycol + self.water)
    }

    /// Litres of concentrate in `apart` litres of concentrate and water, with this additive, that make it so strong.
    pub fn glycol_for(&self, strength: f64, apart: Volume) -> Volume {
        (apart + self.additive) * strength - self.in_additive()
    }

    /// The strength, were the additive glycol: the most that an instrument may show.
    pub fn additive_as_glycol(&self) -> LabelFraction {
        let carrier = Carrier::Glycol;
        Self { carrier, ..*self }.strength()
    }

    /// The volume it takes at 20 °C.
    pub fn volume(&self, blend: &Blend) -> Volume {
        let apart = self.concentrate + self.water;
        apart / blend.apart_per_mixed(share(self.concentrate, apart)) + self.additive
    }

    /// After `amount` of `held` was drawn: all parts leave in proportion.
    pub fn drawn(&self, amount: Volume, held: Volume) -> Self {
        let stays = if held > litres(0.0) {
            super::range::held(1.0 - (amount / held).value, 0.0, 1.0)
        } else {
            0.0
        };
        self.kept(stays)
    }

    /// The share `stays` (0 to 1) of it.
    pub fn kept(&self, stays: f64) -> Self {
        Self {
            concentrate: self.concentrate * stays,
            water: self.water * stays,
            additive: self.additive * stays,
            old: self.old * stays,
            ..*self
        }
    }

    /// After `amount` of a ready mix at `strength` was poured in.
    pub fn poured(&self, blend: &Blend, amount: Volume, strength: LabelFraction) -> Self {
        let apart = amount * blend.apart_per_mixed(strength);
        Self {
            concentrate: self.concentrate + apart * strength.fraction(),
            water: self.water + apart * (1.0 - strength.fraction()),
            ..*self
        }
    }

    /// Together with another; of a supplement's level nothing is said.
    pub fn beside(&self, other: &Self) -> Self {
        Self {
            concentrate: self.concentrate + other.concentrate,
            water: self.water + other.water,
            additive: self.additive + other.additive,
            old: self.old + other.old,
            ..*self
        }
    }

    /// After `amount` of additive was dosed.
    pub fn dosed(&self, amount: Volume) -> Self {
        Self {
            additive: self.additive + amount,
            ..*self
        }
    }
}

fn share(part: Volume, whole: Volume) -> LabelFraction {
    LabelFraction::clamped(if whole > litres(0.0) {
        (part / whole).value
    } else {
        0.0
    })
}
