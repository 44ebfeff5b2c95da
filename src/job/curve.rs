//! Freezing and boiling against strength, at one loop's cap and altitude: what a curve of them is drawn from.
//!
//! The same models as the answer's: a point of the curve at the answer's strength is the answer.
//! Never done here: scales, pixels, words.

use std::rc::Rc;

use super::file::Loop;
use crate::engine::{
    fluid::Glycol,
    margin::CAP_OLD,
    property::{self, Freezing},
    quantity::{GaugePressure, LabelFraction, Pressure, in_celsius},
};

/// Where a mix is liquid. `None`: no model reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Liquid {
    /// Where ice begins, °C.
    pub freezing_c: Option<f64>,
    /// It begins there or colder: how much, no table says.
    pub at_most: bool,
    /// At the weakest the cap may be (open, where there is none), °C.
    pub boiling_weakest_c: Option<f64>,
    /// At the cap's rating, °C.
    pub boiling_c: Option<f64>,
}

/// The strongest a curve tells of, percent: no plan goes beyond it.
pub const STRONGEST: usize = 70;

/// A loop's curve, at every whole percent from 0 to [`STRONGEST`].
#[derive(Debug, Clone)]
pub struct Curve {
    law: Law,
    points: Rc<[Liquid]>,
}

impl Curve {
    /// Of a loop that was answered: its values are within their limits. `before` is taken on where it is the same
    /// curve, which it is as long as nobody changes the glycol, the cap or the altitude.
    pub fn of(lp: &Loop, before: Option<&Self>) -> Self {
        let law = Law::of(lp);
        match before.filter(|b| b.law == law) {
            Some(before) => before.clone(),
            None => Self {
                points: (0..=STRONGEST).map(|p| law.at(p)).collect(),
                law,
            },
        }
    }

    /// At a whole percent, held to [`STRONGEST`].
    pub fn at(&self, percent: usize) -> Liquid {
        self.points[percent.min(STRONGEST)]
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Law {
    glycol: Glycol,
    weakest: Option<Pressure>,
    rated: Option<Pressure>,
}

impl Law {
    fn of(lp: &Loop) -> Self {
        let metres = lp.altitude.map_or(0.0, |q| q.value * q.unit.metres());
        let air = property::air_pressure(crate::engine::quantity::metres(metres)).ok();
        let cap: Option<GaugePressure> = lp.cap.map(|q| q.unit.of(q.value));
        let share = lp.cap_low.map_or(CAP_OLD, |s| s.fraction);
        let under =
            |cap: Option<GaugePressure>| air.map(|air| cap.map_or(air, |cap| cap.over(air)));
        Self {
            glycol: lp.glycol.into(),
            weakest: under(cap.map(|cap| cap.share(share))),
            rated: under(cap),
        }
    }

    fn at(&self, percent: usize) -> Liquid {
        let strength = LabelFraction::clamped(percent as f64 / 100.0);
        let (freezing_c, at_most) = match property::freezing_point(self.glycol, strength) {
            Ok(Freezing::At(t)) => (Some(in_celsius(t)), false),
            Ok(Freezing::AtOrBelow(t)) => (Some(in_celsius(t)), true),
            Err(_) => (None, false),
        };
        let boils = |pressure: Option<Pressure>| {
            property::boiling_point(self.glycol, strength, pressure?)
                .ok()
                .map(in_celsius)
        };
        Liquid {
            freezing_c,
            at_most,
            boiling_weakest_c: boils(self.weakest),
            boiling_c: boils(self.rated),
        }
    }
}
