//! No call of a property, of the heat ratios or of a reading allocates.
use allocation_counter::measure;
use pourcard::engine::{
    fluid::Glycol,
    heat::{film_vs_water, heat_carried_vs_water},
    property::*,
    quantity::*,
    reading::{Instrument, composition, expected},
};
use std::hint::black_box;

#[track_caller]
fn no_allocation<T>(name: &str, call: impl Fn() -> T) {
    let counted = measure(|| {
        black_box(call());
    });
    assert_eq!(counted.count_total, 0, "{name} allocates: {counted:?}");
}

#[test]
fn the_count_counts() {
    let counted = measure(|| {
        black_box(vec![0_u8; 100]);
    });
    assert_eq!(counted.count_total, 1);
}

#[test]
fn no_property_allocates_in_range_or_out_of_it() {
    // In range; past the end; ice.
    for (percent, t) in [(43.7, 61.3), (95.0, 20.0), (20.0, -30.0), (50.0, 200.0)] {
        let (s, t) = (LabelFraction::from_percent(percent).unwrap(), celsius(t));
        for g in Glycol::ALL {
            no_allocation("density", || density(g, s, t));
            no_allocation("specific heat", || specific_heat(g, s, t));
            no_allocation("conductivity", || conductivity(g, s, t));
            no_allocation("viscosity", || viscosity(g, s, t));
            no_allocation("specific gravity", || specific_gravity(g, s, t));
            no_allocation("refractive index", || refractive_index(g, s, t));
            no_allocation("freezing point", || freezing_point(g, s));
            no_allocation("strength for freezing", || strength_for_freezing(g, t));
            no_allocation("boiling point", || boiling_point(g, s, kilopascals(151.0)));
            no_allocation("boiling too high", || {
                boiling_point(g, s, kilopascals(400.0))
            });
            no_allocation("mass fraction", || mass_fraction(g, s));
            no_allocation("label fraction", || {
                label_fraction(g, MassFraction::new(0.437).unwrap())
            });
            no_allocation("extrapolated", || extrapolated(g, s, t));
            no_allocation("film", || film_vs_water(g, s, t));
            no_allocation("heat carried", || heat_carried_vs_water(g, s, t));
        }
    }
    no_allocation("air pressure", || air_pressure(metres(350.0)));
    no_allocation("water boils", || {
        water_saturation_temperature(kilopascals(151.0))
    });
    no_allocation("water's vapour", || {
        water_saturation_pressure(celsius(105.0))
    });
}

#[test]
fn no_reading_allocates() {
    let s = LabelFraction::from_percent(43.7).unwrap();
    let at = celsius(23.0);
    for g in Glycol::ALL {
        for instrument in [
            Instrument::Percent,
            Instrument::FreezingPoint,
            Instrument::SpecificGravity(at),
            Instrument::RefractiveIndex(at),
            Instrument::Brix(at),
        ] {
            no_allocation("what it should show", || expected(g, s, instrument));
            let shown = expected(g, s, instrument).unwrap();
            no_allocation("a reading", || composition(g, &shown));
        }
    }
}
