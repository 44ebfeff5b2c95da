//! Figures as the page writes them, in the page's units. Each rounds to what a workshop can use and no finer.

use super::{
    choice::System,
    number::{fixed, significant},
    words,
};
use crate::job::units::VolumeUnit;

/// An amount to draw or pour: "0.80 L", "25 mL", "1 qt 6 fl oz".
pub fn pour(litres: f64, system: System) -> String {
    match system {
        System::Metric if litres < 0.0995 && litres > 0.0 => millilitres(litres),
        System::Metric => {
            let hundredths = litres * 100.0;
            let fine = (hundredths - hundredths.round()).abs() > 1e-4;
            words::spaced(&fixed(litres, if fine { 3 } else { 2 }), "L")
        }
        System::Us | System::Imperial => jugs(litres, system),
    }
}

/// An amount to dose: "250 mL", "8.5 fl oz".
pub fn dose(litres: f64, system: System) -> String {
    match system {
        System::Metric if litres < 0.9995 => millilitres(litres),
        System::Metric => pour(litres, system),
        System::Us | System::Imperial => jugs(litres, system),
    }
}

/// A volume that is worked out rather than measured: "8.39 L", "8.9 qt".
pub fn about(litres: f64, decimals: u32, system: System) -> String {
    let (one, name) = worked_out_in(system);
    words::spaced(&fixed(litres / one, decimals), name)
}

/// The same with its half-width: "8.39 ± 0.30 L".
pub fn about_spread(litres: f64, plus_minus: Option<f64>, system: System) -> String {
    let Some(spread) = plus_minus else {
        return about(litres, 2, system);
    };
    let (one, name) = worked_out_in(system);
    // In a narrow table the unit may stand on a line of its own.
    let figure = [litres, spread].map(|l| fixed(l / one, 2)).join(" ±\u{a0}");
    [&figure, " ", name].concat()
}

/// Litres in the unit of such a volume, and its name.
const fn worked_out_in(system: System) -> (f64, &'static str) {
    match system {
        System::Metric => (VolumeUnit::L.litres(), "L"),
        System::Us => (VolumeUnit::UsQt.litres(), words::US_QT),
        System::Imperial => (VolumeUnit::ImpPt.litres(), words::IMP_PT),
    }
}

/// Two figures that differ, in the first words of them that do: `told` gets the number and how much finer than usual.
pub fn apart(two: [f64; 2], told: impl Fn(f64, u32) -> String) -> Vec<String> {
    let [a, b] = two;
    let differ = |finer: &u32| a.total_cmp(&b).is_eq() || told(a, *finer) != told(b, *finer);
    let finer = (0..=6).find(differ).unwrap_or(0);
    two.map(|x| told(x, finer)).to_vec()
}

/// Millilitres, whatever the page's units: of what a syringe measures.
pub fn millilitres(litres: f64) -> String {
    let ml = litres * 1000.0;
    let fine = (ml - ml.round()).abs() > 1e-3;
    words::spaced(&fixed(ml, u32::from(fine)), "mL")
}

/// Whole quarts or pints and the fluid ounces over: what a marked jug shows.
fn jugs(litres: f64, system: System) -> String {
    let (big, small, big_name, small_name) = match system {
        System::Imperial => (
            VolumeUnit::ImpPt,
            VolumeUnit::ImpFlOz,
            words::IMP_PT,
            words::IMP_FL_OZ,
        ),
        System::Us | System::Metric => (
            VolumeUnit::UsQt,
            VolumeUnit::UsFlOz,
            words::US_QT,
            words::FL_OZ,
        ),
    };
    let ounces = litres / small.litres();
    let quarters = (ounces * 4.0).round();
    let ounces = if (ounces * 4.0 - quarters).abs() < 1e-3 {
        quarters / 4.0
    } else {
        (ounces * 10.0).round() / 10.0
    };
    let per = (big.litres() / small.litres()).round();
    let whole = (ounces / per + 1e-9).floor();
    let over = ounces - whole * per;
    let over_text = significant((over * 100.0).round() / 100.0, 4);
    match (whole >= 1.0, over_text == "0") {
        (false, _) => words::spaced(&over_text, small_name),
        (true, true) => words::spaced(&fixed(whole, 0), big_name),
        (true, false) => [
            words::spaced(&fixed(whole, 0), big_name),
            words::spaced(&over_text, words::FL_OZ),
        ]
        .join(" "),
    }
}

/// A temperature, in whole degrees.
pub fn whole_degrees(celsius: f64, system: System) -> String {
    words::spaced(
        &fixed(system.temperature().from_celsius(celsius), 0),
        degree_sign(system),
    )
}

/// A difference of temperatures in whole degrees of the page's scale, rounded down: never more than there is.
pub fn degrees_between(kelvins: f64, system: System) -> String {
    fixed((degrees(kelvins, system).abs() + 1e-9).floor(), 0)
}

/// So many degrees there are, rounded down: "1 degree", "12 degrees".
pub fn degrees_left(kelvins: f64, system: System) -> String {
    counted(&degrees_between(kelvins, system))
}

/// So many degrees are wanting, rounded up: never fewer than there are, and never none.
pub fn degrees_short(kelvins: f64, system: System) -> String {
    let up = (degrees(kelvins, system) - 1e-9).ceil().max(1.0);
    counted(&fixed(up, 0))
}

fn counted(degrees: &str) -> String {
    let name = if degrees == "1" {
        " degree"
    } else {
        " degrees"
    };
    [degrees, name].concat()
}

/// A volume that is wanting, to a tenth of its unit, rounded up.
pub fn about_short(litres: f64, system: System) -> String {
    let (one, name) = worked_out_in(system);
    let tenths = (litres / one * 10.0 - 1e-6).ceil().max(1.0);
    words::spaced(&fixed(tenths / 10.0, 1), name)
}

/// A pressure over the air's, to three digits: "1.1 bar", "16 psi".
pub fn pressure(kpa: f64, system: System) -> String {
    let unit = system.pressure();
    let shown = crate::app::number::significant(kpa / unit.kilopascals(), 3);
    words::spaced(&shown, unit.text())
}

/// K as degrees of the page's scale, to a tenth: "6.4 °C".
pub fn tenths(kelvins: f64, system: System) -> String {
    words::spaced(&fixed(degrees(kelvins, system), 1), degree_sign(system))
}

/// K as degrees of the page's scale.
pub fn degrees(kelvins: f64, system: System) -> f64 {
    match system {
        System::Us => kelvins * 1.8,
        System::Metric | System::Imperial => kelvins,
    }
}

/// How sure a frost is: the published tables differ by 2 to 4 K.
pub fn frost_spread(system: System) -> String {
    fixed(degrees(2.0, system).round(), 0)
}

/// How much boiling points may be off: the models are stated to 0.7 K, and a cap is not a laboratory's.
pub fn boil_spread(system: System) -> String {
    fixed(degrees(1.0, system).round(), 0)
}

/// The sign of the page's scale.
pub const fn degree_sign(system: System) -> &'static str {
    match system {
        System::Us => "°F",
        System::Metric | System::Imperial => "°C",
    }
}

/// A percentage: "50.1 %".
pub fn percent(value: f64, decimals: u32) -> String {
    words::spaced(&fixed(value, decimals), "%")
}

/// A percentage and its half-width: "50.1 % ± 1.2".
pub fn percent_spread(value: f64, plus_minus: Option<f64>) -> String {
    match plus_minus {
        Some(spread) if spread >= 0.05 => [percent(value, 1), fixed(spread, 1)].join(" ±\u{a0}"),
        _ => percent(value, 1),
    }
}

/// A share in whole percent, its half-width rounded up: never surer than it is.
pub fn share_spread(share: f64, plus_minus: Option<f64>) -> String {
    let value = percent(share * 100.0, 0);
    match plus_minus {
        Some(spread) => [value, fixed((spread * 100.0 + 0.499).max(1.0), 0)].join(" ±\u{a0}"),
        None => value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_read_like_the_marks_on_a_jug() {
        let metric = |l| pour(l, System::Metric);
        assert_eq!(metric(0.8), "0.80\u{a0}L");
        assert_eq!(metric(11.45), "11.45\u{a0}L");
        assert_eq!(metric(1.025), "1.025\u{a0}L");
        assert_eq!(metric(0.05), "50\u{a0}mL");
        assert_eq!(dose(0.25, System::Metric), "250\u{a0}mL");
        assert_eq!(dose(0.0125, System::Metric), "12.5\u{a0}mL");
        let oz = VolumeUnit::UsFlOz.litres();
        assert_eq!(pour(28.0 * oz, System::Us), "28\u{a0}fl\u{a0}oz");
        assert_eq!(pour(38.0 * oz, System::Us), "1\u{a0}qt 6\u{a0}fl\u{a0}oz");
        assert_eq!(pour(64.0 * oz, System::Us), "2\u{a0}qt");
        assert_eq!(dose(8.25 * oz, System::Us), "8.25\u{a0}fl\u{a0}oz");
        let imp = VolumeUnit::ImpFlOz.litres();
        assert_eq!(
            pour(46.0 * imp, System::Imperial),
            "2\u{a0}imp\u{a0}pt 6\u{a0}fl\u{a0}oz"
        );
    }

    #[test]
    fn degrees_are_whole_and_never_flatter() {
        assert_eq!(whole_degrees(-37.4, System::Metric), "\u{2212}37\u{a0}°C");
        assert_eq!(whole_degrees(-25.0, System::Us), "\u{2212}13\u{a0}°F");
        assert_eq!(degrees_between(12.9, System::Metric), "12");
        assert_eq!(degrees_between(-0.4, System::Metric), "0");
    }
}
