//! Where in the file a value stands, and whether it lies within its limit.

use super::Refused;
use crate::engine::quantity::{
    GaugePressure, LabelFraction, Length, ThermodynamicTemperature, Volume, celsius, in_litres,
    kilopascals, litres, metres,
};
use crate::job::{
    file::{Quantity, Share},
    limits::{self, Limit},
    message::{Refusal, Typed},
    units::{LengthUnit, PressureUnit, TemperatureUnit, VolumeUnit},
};

/// Where in the file a value stands.
pub(in crate::job) struct At(pub(in crate::job) String);

impl At {
    pub(in crate::job) fn refuse(&self, key: &str, refusal: Refusal) -> Refused {
        Box::new(refusal.fault(&[&self.0, ".", key].concat()))
    }

    pub(in crate::job) fn within(
        &self,
        key: &str,
        value: f64,
        typed: Typed,
        limit: &Limit,
    ) -> Result<f64, Refused> {
        if limit.admits(value) {
            Ok(crate::engine::range::held(value, limit.low, limit.high))
        } else {
            Err(self.refuse(
                key,
                Refusal::OutOfRange {
                    limit: *limit,
                    typed,
                },
            ))
        }
    }

    pub(in crate::job) fn percent(&self, key: &str, value: f64) -> Result<LabelFraction, Refused> {
        let percent = self.within(key, value, Typed::new(value, "%"), &limits::PERCENT)?;
        Ok(LabelFraction::clamped(percent / 100.0))
    }

    pub(in crate::job) fn volume(
        &self,
        key: &str,
        q: Quantity<VolumeUnit>,
        limit: &Limit,
    ) -> Result<Volume, Refused> {
        self.within(
            key,
            in_litres(q.unit.of(q.value)),
            Typed::new(q.value, q.unit.text()),
            limit,
        )
        .map(litres)
    }

    pub(in crate::job) fn temperature(
        &self,
        key: &str,
        q: Quantity<TemperatureUnit>,
        limit: &Limit,
    ) -> Result<ThermodynamicTemperature, Refused> {
        self.within(
            key,
            q.unit.to_celsius(q.value),
            Typed::new(q.value, q.unit.text()),
            limit,
        )
        .map(celsius)
    }

    pub(in crate::job) fn cap(
        &self,
        key: &str,
        q: Quantity<PressureUnit>,
    ) -> Result<GaugePressure, Refused> {
        let kpa = q.value * q.unit.kilopascals();
        self.within(key, kpa, Typed::new(q.value, q.unit.text()), &limits::CAP)
            .map(|kpa| GaugePressure(kilopascals(kpa)))
    }

    pub(in crate::job) fn altitude(
        &self,
        key: &str,
        q: Quantity<LengthUnit>,
    ) -> Result<Length, Refused> {
        let m = q.value * q.unit.metres();
        self.within(
            key,
            m,
            Typed::new(q.value, q.unit.text()),
            &limits::ALTITUDE,
        )
        .map(metres)
    }

    pub(in crate::job) fn share(
        &self,
        key: &str,
        share: Option<Share>,
        limit: &Limit,
    ) -> Result<Option<f64>, Refused> {
        share
            .map(|s| self.within(key, s.fraction, Typed::new(s.fraction, ""), limit))
            .transpose()
    }
}
