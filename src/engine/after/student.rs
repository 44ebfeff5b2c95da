//! Student's t for whole degrees of freedom, and several comparisons judged together.
//!
//! The probability is a finite sum (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4), exact
//! but for rounding: about 1e-15 of probability. Holm's step-down after S. Holm, Scand. J. Statist. 6 (1979) 65–70.
//! Never done here: degrees of freedom that are not whole (none arise: a comparison of two sides takes the smaller n − 1).

use crate::engine::{order::in_order, solve};

/// What a comparison may be wrong by chance: 1 less 95 %.
pub const CHANCE: f64 = 0.05;

/// Probability that chance alone brings |t| this far from zero or further, with `freedom` degrees of freedom (at least
/// 1). 1 for what is not a number; probabilities below about 1e-15 come out as 0.
pub fn two_sided(t: f64, freedom: u32) -> f64 {
    if t.is_nan() {
        return 1.0;
    }
    if t.is_infinite() {
        return 0.0;
    }
    let nu = f64::from(freedom.max(1));
    let cosine2 = nu / (nu + t * t);
    let sine = t.abs() / (nu + t * t).sqrt();
    let odd = f64::from(freedom % 2);
    // Each term is the last one times cos² and the next pair of the double factorials.
    let (mut term, mut sum) = (1.0, 0.0);
    for j in 1..=freedom / 2 {
        sum += term;
        let k = 2.0 * f64::from(j);
        term *= cosine2 * (k - 1.0 + odd) / (k + odd);
    }
    let within = if odd > 0.0 {
        let angle = (t.abs() / nu.sqrt()).atan();
        (angle + sine * cosine2.sqrt() * sum) * std::f64::consts::FRAC_2_PI
    } else {
        sine * sum
    };
    crate::engine::range::held(1.0 - within, 0.0, 1.0)
}

/// The t that chance passes, either way, one time in twenty: what a standard error is multiplied by for the half-width
/// of a 95 % interval. `freedom` at least 1.
pub fn t_95(freedom: u32) -> f64 {
    t_at(CHANCE, freedom)
}

/// The t that chance passes, either way, with probability `chance`; good to 1e-12 of itself for chances from 1e-6 to
/// a half.
pub fn t_at(chance: f64, freedom: u32) -> f64 {
    let over = |inverse: f64| two_sided(1.0 / inverse, freedom) - chance;
    // In 1/t the curve is tame: near 0 the chance is almost a power of it, whatever the degrees of freedom.
    let over: &dyn Fn(f64) -> f64 = &over;
    solve::root(over, 1e-7, 2.0, 1e-14).map_or(1e7, |inverse| 1.0 / inverse)
}

/// Mean and standard error of some figures; the error is `None` for fewer than two. To the last digit the same in
/// whatever order they stand.
pub fn mean(figures: &[f64]) -> (f64, Option<f64>) {
    let mut figures = figures.to_vec();
    in_order(&mut figures, f64::total_cmp);
    let n = figures.len() as f64;
    let mean = figures.iter().sum::<f64>() / n;
    let squares: f64 = figures.iter().map(|x| (x - mean) * (x - mean)).sum();
    let error = (figures.len() > 1).then(|| (squares / (n - 1.0) / n).sqrt());
    (mean, error)
}

/// Probabilities of several comparisons, each raised so that all of them may be judged at one chance: Holm's step-down,
/// as adjusted values, in the order given.
pub fn holm(probabilities: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..probabilities.len()).collect();
    in_order(&mut order, |a, b| {
        probabilities[*a].total_cmp(&probabilities[*b])
    });
    let mut adjusted = vec![1.0; probabilities.len()];
    let mut highest: f64 = 0.0;
    for (rank, &place) in order.iter().enumerate() {
        let left = (probabilities.len() - rank) as f64;
        highest = highest.max((left * probabilities[place]).min(1.0));
        adjusted[place] = highest;
    }
    adjusted
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms of the first three: 1 − 2/π atan t, 1 − t/√(2 + t²), and Abramowitz and Stegun 26.7.3 written out.
    #[test]
    fn the_first_degrees_in_closed_form() {
        for t in [0.0, 0.3, 1.0, 2.5, 12.7] {
            let pi = std::f64::consts::PI;
            let one = 1.0 - 2.0 / pi * f64::atan(t);
            let two = 1.0 - t / (2.0 + t * t).sqrt();
            let angle = f64::atan(t / 3f64.sqrt());
            let three = 1.0 - 2.0 / pi * (angle + angle.sin() * angle.cos());
            for (freedom, expected) in [(1, one), (2, two), (3, three)] {
                assert!(
                    (two_sided(t, freedom) - expected).abs() < 1e-14,
                    "{t} {freedom}"
                );
                assert!((two_sided(-t, freedom) - expected).abs() < 1e-14);
            }
        }
    }

    /// The worked example of four hypotheses at 0.05 with which the method is usually taught (0.01, 0.04, 0.03, 0.005:
    /// the fourth and the first fall, the other two stand); from memory.
    #[test]
    fn holm_on_the_usual_example() {
        let adjusted = holm(&[0.01, 0.04, 0.03, 0.005]);
        for (found, expected) in adjusted.iter().zip([0.03, 0.06, 0.06, 0.02]) {
            assert!((found - expected).abs() < 1e-12, "{adjusted:?}");
        }
        assert!(holm(&[]).is_empty());
    }

    #[test]
    fn what_is_no_number_proves_nothing() {
        assert!((two_sided(f64::NAN, 4) - 1.0).abs() < 1e-15);
        assert!(two_sided(f64::INFINITY, 4) < 1e-15);
    }
}
