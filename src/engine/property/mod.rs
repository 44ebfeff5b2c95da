//! Properties of water–glycol mixtures, one quantity a file: its `RANGE`, its `SOURCE`, its function.
//!
//! Invariants: a function answers inside its range and refuses outside, never extrapolating in silence
//! ([`extrapolated`] tells where a value lies past the source's last row); no call allocates; strength is the label
//! fraction unless a name says mass; every coefficient is a fit of a table in `data/`, refitted by `tests/physics/fits.rs`.
//! Absent on purpose: one global polynomial over temperature and strength (it wiggles), inhibitors, words for people.
//!
//! Reading order: `column` and `liquid` (how all tables are read), the four transport properties, then freezing,
//! saturation and boiling, air pressure, the two bases of strength, and the two optical and gravity figures.

mod column;
mod liquid;

#[rustfmt::skip] // written by tests/physics/fits.rs
mod coefficients;

pub mod conductivity;
pub mod density;
pub mod specific_heat;
pub mod viscosity;

pub mod freezing;

pub mod air_pressure;
pub mod boiling;
pub mod saturation;

pub mod fraction;

pub mod refractive_index;
pub mod specific_gravity;

pub use air_pressure::air_pressure;
pub use boiling::boiling_point;
pub use conductivity::conductivity;
pub use density::{concentrate_density, density, water_density_20c};
pub use fraction::{label_fraction, mass_fraction};
pub use freezing::{Freezing, freezes_first, freezing_point, strength_for_freezing};
pub(crate) use liquid::checked;
pub use liquid::{STRENGTH, TEMPERATURE, extrapolated};
pub use refractive_index::refractive_index;
pub use saturation::{
    glycol_saturation_pressure, water_saturation_pressure, water_saturation_temperature,
};
pub use specific_gravity::specific_gravity;
pub use specific_heat::specific_heat;
pub use viscosity::viscosity;
