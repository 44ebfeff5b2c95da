//! Where a field's number stands in a job file.

use crate::app::unit::Unit;
use crate::job::{
    file::{Missing, Overflow, Quantity, Share},
    units::{
        IntervalUnit, LengthUnit, LevelUnit, PressureUnit, RatioUnit, TemperatureUnit, VolumeUnit,
    },
};

/// The place of one number.
pub enum Leaf<'a> {
    /// A number that must be there, in a unit that is not its own.
    Plain(&'a mut f64, Unit),
    /// One that may be left out.
    Maybe(&'a mut Option<f64>, Unit),
    /// A number and its unit.
    In(&'a mut f64, &'a mut dyn InUnit),
    /// Both, or neither.
    MaybeIn(&'a mut dyn Cell),
    /// A share, typed in percent.
    Share(&'a mut f64),
    /// One that may be left out.
    MaybeShare(&'a mut Option<Share>),
}

/// A unit that stands beside a number.
pub trait InUnit {
    /// Which.
    fn unit(&self) -> Unit;
    /// Another; of another kind: as it is.
    fn put(&mut self, unit: Unit);
}

/// A number and its unit that may be left out together.
pub trait Cell {
    /// What is there.
    fn get(&self) -> Option<(f64, Unit)>;
    /// Something else.
    fn set(&mut self, value: Option<(f64, Unit)>);
}

macro_rules! units {
    ($($kind:ident $unit:ident;)+) => { $(
        impl InUnit for $unit {
            fn unit(&self) -> Unit {
                Unit::$kind(*self)
            }

            fn put(&mut self, unit: Unit) {
                if let Unit::$kind(unit) = unit {
                    *self = unit;
                }
            }
        }

        impl Cell for Option<Quantity<$unit>> {
            fn get(&self) -> Option<(f64, Unit)> {
                self.map(|q| (q.value, Unit::$kind(q.unit)))
            }

            fn set(&mut self, value: Option<(f64, Unit)>) {
                *self = match value {
                    Some((value, Unit::$kind(unit))) => Some(Quantity { value, unit }),
                    _ => None,
                };
            }
        }
    )+ };
}

units! {
    Volume VolumeUnit;
    Temperature TemperatureUnit;
    Interval IntervalUnit;
    Pressure PressureUnit;
    Length LengthUnit;
    Level LevelUnit;
}

impl Cell for Option<Missing> {
    fn get(&self) -> Option<(f64, Unit)> {
        self.map(|m| (m.value, Unit::Volume(m.unit)))
    }

    fn set(&mut self, value: Option<(f64, Unit)>) {
        let plus_minus = self.and_then(|m| m.plus_minus);
        *self = match value {
            Some((value, Unit::Volume(unit))) => Some(Missing {
                value,
                unit,
                plus_minus,
            }),
            _ => None,
        };
    }
}

/// The volume of what stands in an overflow bottle; without one, nothing of it.
impl Cell for Option<Overflow> {
    fn get(&self) -> Option<(f64, Unit)> {
        self.map(|b| (b.value, Unit::Volume(b.unit)))
    }

    fn set(&mut self, given: Option<(f64, Unit)>) {
        let percent = self.and_then(|b| b.percent);
        *self = match given {
            Some((value, Unit::Volume(unit))) => Some(Overflow {
                value,
                unit,
                percent,
            }),
            _ => None,
        };
    }
}

impl InUnit for RatioUnit {
    fn unit(&self) -> Unit {
        Unit::Ratio(*self)
    }

    fn put(&mut self, unit: Unit) {
        if let Unit::Ratio(unit) = unit {
            *self = unit;
        }
    }
}

/// What a key of the file may hold that has a field of its own.
pub trait Place {
    /// Its leaf; a bare number is in the measure's usual unit.
    fn leaf(&mut self, usual: Unit) -> Option<Leaf<'_>>;
}

impl Place for Option<f64> {
    fn leaf(&mut self, usual: Unit) -> Option<Leaf<'_>> {
        Some(Leaf::Maybe(self, usual))
    }
}

impl Place for Option<Missing> {
    fn leaf(&mut self, _: Unit) -> Option<Leaf<'_>> {
        Some(Leaf::MaybeIn(self))
    }
}

impl<U> Place for Option<Quantity<U>>
where
    Self: Cell,
{
    fn leaf(&mut self, _: Unit) -> Option<Leaf<'_>> {
        Some(Leaf::MaybeIn(self))
    }
}

/// A share in percent, free of the dust of binary fractions.
fn percent(share: f64) -> f64 {
    (share * 1e12).round() / 1e10
}

/// The share of a percentage: as it is, to the last digit, where it is the same.
fn share(was: f64, percent: f64) -> f64 {
    let share = percent / 100.0;
    if (was - share).abs() < 1e-9 {
        was
    } else {
        share
    }
}

impl Leaf<'_> {
    /// Must there be a number?
    pub const fn needs(&self) -> bool {
        matches!(self, Self::Plain(..) | Self::In(..) | Self::Share(_))
    }

    /// The number and its unit.
    pub fn get(&self) -> Option<(f64, Unit)> {
        match self {
            Self::Plain(value, unit) => Some((**value, *unit)),
            Self::Maybe(value, unit) => value.map(|v| (v, *unit)),
            Self::In(value, unit) => Some((**value, unit.unit())),
            Self::MaybeIn(cell) => cell.get(),
            Self::Share(value) => Some((percent(**value), Unit::Percent)),
            Self::MaybeShare(share) => share.map(|s| (percent(s.fraction), Unit::Percent)),
        }
    }

    /// Puts a number of a unit there; nothing where there must be one: a zero, which is never seen.
    pub fn set(&mut self, value: Option<f64>, given: Unit) {
        let number = value.unwrap_or(0.0);
        match self {
            Self::Plain(place, unit) => **place = given.to(*unit, number).unwrap_or(number),
            Self::Maybe(place, unit) => **place = value.and_then(|v| given.to(*unit, v)),
            Self::In(place, unit) => {
                **place = number;
                unit.put(given);
            }
            Self::MaybeIn(cell) => cell.set(value.map(|v| (v, given))),
            Self::Share(place) => **place = share(**place, number),
            Self::MaybeShare(place) => {
                let was = place.map_or(f64::NAN, |s| s.fraction);
                **place = value.map(|percent| Share {
                    fraction: share(was, percent),
                });
            }
        }
    }
}
