//! What a thermostat holds, and what follows the air.
//!
//! A thermostat at the engine's outlet holds the coolant that leaves the engine, one at its inlet the coolant that enters
//! it. A spot on that side is held where it reads between opening and full open, [`SLACK_K`] either way. Above that the
//! thermostat is full open and nothing is held: every spot follows the air. Below it the engine is not warm, or it is not
//! this thermostat: then nothing is known. The other side depends on how far the thermostat opens, and is not known either.
//!
//! Never done here: saying what running temperature a thermostat brings.

/// Where a thermostat sits, or a spot is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Where the coolant leaves the engine.
    Outlet,
    /// Where it enters the engine.
    Inlet,
    /// A spot that follows the air, by the user's word; no thermostat sits there.
    Air,
}

/// A thermostat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thermostat {
    /// Begins to open, °C.
    pub opens_c: f64,
    /// Is full open, °C.
    pub full_open_c: f64,
    /// The side it holds.
    pub side: Side,
}

/// The one before the change and the one after; mostly the same.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Thermostats {
    /// Before.
    pub before: Option<Thermostat>,
    /// After.
    pub after: Option<Thermostat>,
}

/// From opening to full open, where the latter is not stated: 82 to 95 °C is a common pair in service manuals (from
/// memory).
pub const OPENING_K: f64 = 13.0;
/// How far outside its range a thermostat is still believed to hold: its own tolerance and the thermometer's.
pub const SLACK_K: f64 = 2.0;

/// What a spot's temperature does when the air changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Behaves {
    /// The thermostat holds it.
    Held,
    /// It follows the air.
    Free,
    /// Not known.
    Unknown,
}

impl Behaves {
    /// As the answer spells it.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Held => "held",
            Self::Free => "free",
            Self::Unknown => "not_known",
        }
    }
}

/// What a spot does, by where it is and what it reads (°C), before and after; `full_open`: another spot shows that the
/// thermostat was full open throughout.
pub fn behaves(
    side: Option<Side>,
    before: &[f64],
    after: &[f64],
    thermostats: &Thermostats,
    full_open: bool,
) -> Behaves {
    if side == Some(Side::Air) || full_open {
        return Behaves::Free;
    }
    let (Some(first), Some(then)) = (thermostats.before, thermostats.after) else {
        return Behaves::Unknown;
    };
    if side != Some(first.side) || side != Some(then.side) || before.is_empty() || after.is_empty()
    {
        return Behaves::Unknown;
    }
    let all = |is: &dyn Fn(f64, &Thermostat) -> bool| {
        before.iter().all(|&c| is(c, &first)) && after.iter().all(|&c| is(c, &then))
    };
    if all(&|c, t| c >= t.opens_c - SLACK_K && c <= t.full_open_c + SLACK_K) {
        Behaves::Held
    } else if all(&|c, t| c > t.full_open_c + SLACK_K) {
        Behaves::Free
    } else {
        Behaves::Unknown
    }
}

impl Thermostats {
    /// By how much the change of the thermostat itself moves what it holds, K; `None`: it is the same, or not known.
    pub fn shift_k(&self) -> Option<f64> {
        let shift = self.after?.opens_c - self.before?.opens_c;
        (shift != 0.0).then_some(shift)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn held_only_between_opening_and_full_open_on_its_own_side() {
        let one = Some(Thermostat {
            opens_c: 82.0,
            full_open_c: 95.0,
            side: Side::Outlet,
        });
        let both = Thermostats {
            before: one,
            after: one,
        };
        let at = |side, c: f64| behaves(side, &[c], &[c], &both, false);
        let outlet = Some(Side::Outlet);
        for (side, c, expected) in [
            (outlet, 90.0, Behaves::Held),
            (outlet, 80.0, Behaves::Held),
            (outlet, 97.0, Behaves::Held),
            (outlet, 97.1, Behaves::Free),
            (outlet, 79.9, Behaves::Unknown),
            (Some(Side::Inlet), 90.0, Behaves::Unknown),
            (None, 90.0, Behaves::Unknown),
            (Some(Side::Air), 90.0, Behaves::Free),
        ] {
            assert_eq!(at(side, c), expected, "{side:?} {c}");
        }
        assert_eq!(
            behaves(outlet, &[90.0], &[98.0], &both, false),
            Behaves::Unknown
        );
        assert_eq!(behaves(None, &[60.0], &[60.0], &both, true), Behaves::Free);
        assert_eq!(both.shift_k(), None);
    }
}
