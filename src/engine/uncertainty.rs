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
}
