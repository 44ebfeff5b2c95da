//! Uncertainty, first order as in JCGM 100:2008 (checked in the tests by Monte Carlo as in JCGM 101:2008).
//!
//! A `plus_minus` is the half-width of a 95 % interval, taken as two standard uncertainties. Inputs are independent.

/// Half-width of `f` at `x`, whose inputs have these half-widths.
///
/// Each input is moved by its standard uncertainty both ways (JCGM 100:2008, 5.1.3 note 2), so a kink inside the
/// uncertainty is seen and not stepped over.
pub fn propagate<const N: usize>(
    f: impl Fn([f64; N]) -> f64,
    x: [f64; N],
    plus_minus: [f64; N],
) -> f64 {
    let mut sum = 0.0;
    for i in 0..N {
        let u = 0.5 * plus_minus[i];
        let at = |step: f64| {
            let mut moved = x;
            moved[i] += step;
            f(moved)
        };
        let share = 0.5 * (at(u) - at(-u));
        sum += share * share;
    }
    2.0 * sum.sqrt()
}

/// Standard uncertainty of what lies anywhere within `half` either way, alike (JCGM 100:2008, 4.3.7).
pub fn rectangular(half: f64) -> f64 {
    half / 3.0_f64.sqrt()
}

/// Half-width about a value shown that is known to be `off` the middle of a normal distribution of standard uncertainty
/// `u`: as likely to hold the truth as two standard uncertainties are about the middle. To 0.02 u.
///
/// It falls from 2 u towards `off` + 1.69 u, the one end that counts where the other is far.
pub fn about(off: f64, u: f64) -> f64 {
    if u <= 0.0 {
        return off.abs();
    }
    let off = off.abs() / u;
    (off + 1.69 + 0.31 * (-3.6 * off).exp()) * u
}

/// Half-width of a sum of independent parts: the root of the sum of squares.
pub fn combined<const N: usize>(plus_minus: [f64; N]) -> f64 {
    plus_minus.iter().map(|p| p * p).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    // JCGM 100:2008, 5.1.2: of a sum the squares add, of a product the relative squares.
    #[test]
    fn sums_and_products() {
        assert!((propagate(|[a, b]| a + b, [1.0, 2.0], [0.3, 0.4]) - 0.5).abs() < 1e-12);
        let relative = propagate(|[a, b]| a * b, [10.0, 20.0], [0.3, 0.8]) / 200.0;
        assert!((relative - 0.05).abs() < 1e-12);
        assert!((combined([3.0, 4.0]) - 5.0).abs() < 1e-12);
    }

    // The normal distribution's table: of 0.954 500 within 2, and by interpolation between the one-sided values of
    // Abramowitz and Stegun 26.2: P(1.69) = 0.954 486; P(-k - 2 r) vanishes beyond r = 1.
    #[test]
    fn off_the_middle_it_is_wider() {
        assert!((about(0.0, 3.0) - 6.0).abs() < 1e-12);
        // P(|N(0.5, 1)| < k) = P(1.725) - P(-2.725) = 0.957 74 - 0.003 22, for k = 2.225.
        assert!((about(-0.5, 1.0) - 2.225).abs() < 0.02);
        assert!((about(3.0, 1.0) - 4.690).abs() < 0.001);
        assert!((about(-0.5, 0.0) - 0.5).abs() < 1e-12);
        // JCGM 100:2008, 4.3.7: a² over 3.
        assert!((rectangular(0.5).powi(2) - 0.25 / 3.0).abs() < 1e-12);
    }
}
