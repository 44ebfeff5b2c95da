use super::{error::PropertyError, fluid::Glycol, quantity::*};
pub fn film_vs_water(
    _: Glycol,
    _: LabelFraction,
    _: ThermodynamicTemperature,
) -> Result<Ratio, PropertyError> {
    Err(PropertyError::NoData("x"))
}
pub fn heat_carried_vs_water(
    _: Glycol,
    _: LabelFraction,
    _: ThermodynamicTemperature,
) -> Result<Ratio, PropertyError> {
    Err(PropertyError::NoData("x"))
}
