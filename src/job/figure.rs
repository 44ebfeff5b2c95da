//! Numbers as texts, and back, by integer arithmetic: the job file's, the messages' and the page's.
//!
//! Exactly as the standard library prints and reads them (tests compare the two), to [`MOST_DECIMALS`] decimals and
//! below 1.8e19; its tables of powers are worth 20 kB in the page.
//! Never done here: the signs and separators people use.

/// The most decimals a number is printed with.
pub const MOST_DECIMALS: u32 = 17;

/// A number in full: the shortest text that reads back the same double; a finer one to [`MOST_DECIMALS`].
pub fn plain(value: f64) -> String {
    if !value.is_finite() {
        return "not a number".to_owned();
    }
    let size = value.abs();
    let exact = (0..=MOST_DECIMALS).find_map(|decimals| {
        let mantissa = times_power_of_ten(size, decimals)?;
        let same = over_power_of_ten(mantissa, decimals)
            .total_cmp(&size)
            .is_eq();
        same.then_some((mantissa, decimals))
    });
    // Finer than that: as near as it gets, not as the next whole number.
    let nearest = || {
        let at = |decimals| times_power_of_ten(size, decimals).map(|m| (m, decimals));
        let (mut digits, mut decimals) = (0..=MOST_DECIMALS).rev().find_map(at)?;
        while decimals > 0 && digits.is_multiple_of(10) {
            (digits, decimals) = (digits / 10, decimals - 1);
        }
        Some((digits, decimals))
    };
    let (mantissa, decimals) = exact.or_else(nearest).unwrap_or((size.round() as u64, 0));
    signed(value < 0.0, pointed(mantissa, decimals))
}

/// A number rounded to so many decimals (to 9 of them, and below 1e9).
pub fn fixed(value: f64, decimals: u32) -> String {
    let scale = 10_u64.pow(decimals.min(9)) as f64;
    if !value.is_finite() || value.abs() > 1e9 {
        return plain(value);
    }
    let scaled = (value.abs() * scale).round() as u64;
    signed(value < 0.0 && scaled > 0, pointed(scaled, decimals.min(9)))
}

/// A number outside its bounds, and the bounds, in as many decimals as it takes to see that it is outside (at least so
/// many, without noughts at the end). A bound that is not left is told to the same decimals.
pub fn outside<const N: usize>(
    value: f64,
    bounds: [f64; N],
    decimals: u32,
) -> (String, [String; N]) {
    let told = |d: u32, x: f64| without_noughts(fixed(x, d));
    let apart = |d: &u32| {
        let shown = told(*d, value);
        let same = |b: &f64| b.total_cmp(&value).is_eq();
        bounds.iter().all(|b| same(b) || told(*d, *b) != shown)
    };
    match (decimals..=9).find(apart) {
        Some(d) => (told(d, value), bounds.map(|b| told(d, b))),
        None => (plain(value), bounds.map(plain)),
    }
}

/// The same number without noughts behind the point.
fn without_noughts(mut text: String) -> String {
    if text.contains('.') {
        let kept = text.trim_end_matches('0').trim_end_matches('.').len();
        text.truncate(kept);
    }
    text
}

/// A bound in another unit, to four digits, rounded to the inside: what is promised holds.
pub fn inward(bound: f64, is_low: bool) -> String {
    let mut scale = 1.0;
    while bound != 0.0 && bound.abs() * scale < 999.5 && scale < 1e6 {
        scale *= 10.0;
    }
    let scaled = bound * scale;
    // What is whole to a hair's breadth is not moved by a whole step.
    let near = scaled.round();
    let whole = if (scaled - near).abs() < 1e-6 {
        near
    } else if is_low {
        scaled.ceil()
    } else {
        scaled.floor()
    };
    plain(whole / scale)
}

fn signed(negative: bool, text: String) -> String {
    if negative {
        ["-", &text].concat()
    } else {
        text
    }
}

/// `mantissa / 10^decimals`, to the nearest double, ties to even.
pub fn over_power_of_ten(mantissa: u64, decimals: u32) -> f64 {
    if mantissa == 0 {
        return 0.0;
    }
    let divisor = 10u64.pow(decimals);
    if mantissa < 1 << 53 && decimals <= 15 {
        // Both are exact doubles, so one division rounds once.
        return mantissa as f64 / divisor as f64;
    }
    // The quotient with at least 70 bits: 64 of it hold every bit that counts, the lowest says whether more follow.
    let shift = u128::from(mantissa).leading_zeros();
    let scaled = u128::from(mantissa) << shift;
    let (quotient, rest) = (scaled / u128::from(divisor), scaled % u128::from(divisor));
    let spare = 64u32.saturating_sub(quotient.leading_zeros());
    let lost = rest != 0 || quotient & ((1u128 << spare) - 1) != 0;
    let bits = (quotient >> spare) as u64 | u64::from(lost);
    let mut value = bits as f64;
    for _ in 0..shift - spare {
        value /= 2.0;
    }
    value
}

/// `size · 10^decimals`, to the nearest whole number; `None` where it is too large to be printed so.
fn times_power_of_ten(size: f64, decimals: u32) -> Option<u64> {
    let bits = size.to_bits();
    let exponent = (bits >> 52) as i32;
    let fraction = bits & ((1 << 52) - 1);
    let (mantissa, power) = match exponent {
        0 => (fraction, -1074),
        _ => (fraction | 1 << 52, exponent - 1075),
    };
    let scaled = u128::from(mantissa) * u128::from(10u64.pow(decimals));
    let whole = match power {
        0..=10 => scaled << power,
        -127..0 => (scaled + (1 << (-power - 1))) >> -power,
        ..-127 => 0,
        _ => return None,
    };
    u64::try_from(whole).ok()
}

/// Digits with the point before the last so many.
fn pointed(digits: u64, decimals: u32) -> String {
    let decimals = decimals as usize;
    let mut text = digits.to_string();
    if decimals > 0 {
        while text.len() <= decimals {
            text.insert(0, '0');
        }
        text.insert(text.len() - decimals, '.');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::{fixed, inward, outside, plain};
    use proptest::prelude::*;

    /// Against the standard library's printer.
    #[test]
    fn as_the_standard_printer() {
        for value in [
            0.0,
            8.4,
            -0.1,
            0.05,
            1e9,
            123_456.789,
            2.0 / 3.0,
            -1.0,
            0.1 + 0.2,
        ] {
            assert_eq!(plain(value), value.to_string());
        }
        for (value, decimals) in [
            (8.4, 2),
            (0.004, 2),
            (49.96, 1),
            (1.0, 0),
            (1.053, 3),
            (-12.34, 1),
        ] {
            assert_eq!(
                fixed(value, decimals),
                format!("{value:.*}", decimals as usize),
                "{value}"
            );
        }
        assert_eq!(fixed(-0.001, 2), "0.00");
        assert_eq!(plain(f64::NAN), "not a number");
        // Eighteen decimals and more are cut to seventeen, not to none.
        assert_eq!(plain(0.027_469_441_308_860_032), "0.02746944130886003");
        assert_eq!(plain(0.010_361_487_860_309_299), "0.0103614878603093");
        assert_eq!(plain(1e-300), "0");
    }

    #[test]
    fn a_number_outside_is_seen_outside() {
        for (value, bounds, decimals, said) in [
            (60.4, [40.0, 60.0], 0, ("60.4", ["40", "60"])),
            (30.0, [40.0, 60.0], 0, ("30", ["40", "60"])),
            (60.0004, [40.0, 60.0], 0, ("60.0004", ["40", "60"])),
            (59.6, [62.4, 62.6], 0, ("60", ["62", "63"])),
            (10.001, [0.0, 10.0], 2, ("10.001", ["0", "10"])),
            (-0.4, [0.0, 1.0], 0, ("-0.4", ["0", "1"])),
        ] {
            let (value, bounds) = outside(value, bounds, decimals);
            assert_eq!((value.as_str(), [&*bounds[0], &*bounds[1]]), said);
        }
        // Finer than nine decimals: in full.
        assert_eq!(outside(1.0 + 1e-12, [1.0], 0).0, plain(1.0 + 1e-12));
    }

    // 2000 L are 2113.38 US qt, 0.2 L 0.21134, 250 kPa 36.26 psi (by the units' definitions).
    #[test]
    fn a_bound_in_another_unit_is_inside() {
        assert_eq!(inward(2000.0 / 0.946_352_946, false), "2113");
        assert_eq!(inward(0.2 / 0.946_352_946, true), "0.2114");
        assert_eq!(inward(250.0 / 6.894_757_293, false), "36.25");
        assert_eq!(
            (inward(0.0, true), inward(-112.0, true)),
            ("0".into(), "-112".into())
        );
        assert_eq!(inward(-0.1 * 1.8 + 32.0, false), "31.82");
    }

    proptest! {
        /// Reads back as the same double.
        #[test]
        fn a_number_in_full_is_itself(value in -1e6..1e6_f64, decimals in 0..12_i32) {
            let value = (value * 10f64.powi(decimals)).round() / 10f64.powi(decimals);
            prop_assert!(plain(value).parse::<f64>().unwrap().total_cmp(&(value + 0.0)).is_eq());
        }
    }
}
