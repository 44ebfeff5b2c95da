//! A bracketed root finder.

/// Where `f` crosses zero between `a` and `b`, to within `tolerance` of the true crossing relative to the bracket's
/// magnitude. `None` if `f` has the same sign at both ends or is not a number there.
///
/// Chandrupatla's method (Adv. Eng. Softw. 28 (1997) 145–149): a quadratic through three points where that is safe,
/// halving where it is not, so it always ends and never leaves the bracket.
pub fn root(f: impl Fn(f64) -> f64, a: f64, b: f64, tolerance: f64) -> Option<f64> {
    let (mut a, mut b) = (a, b);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == 0.0 {
        return Some(a);
    }
    if fb == 0.0 {
        return Some(b);
    }
    if fa.is_nan() || fb.is_nan() || (fa > 0.0) == (fb > 0.0) {
        return None;
    }
    // The first step is a secant: most curves here are nearly straight.
    let mut share = fa / (fa - fb);
    // Halving alone ends within 60 steps; the method needs at most about three times its best.
    for _ in 0..200 {
        let x = a + share * (b - a);
        let fx = f(x);
        // `c` is the end that was given up, kept for the quadratic.
        let (c, fc);
        if (fx > 0.0) == (fa > 0.0) {
            (c, fc) = (a, fa);
        } else {
            (c, fc) = (b, fb);
            (b, fb) = (a, fa);
        }
        (a, fa) = (x, fx);
        let (best, f_best) = if fa.abs() < fb.abs() {
            (a, fa)
        } else {
            (b, fb)
        };
        let slack = tolerance * best.abs() + f64::MIN_POSITIVE;
        let width = (b - a).abs();
        if f_best == 0.0 || width <= 2.0 * slack {
            return Some(best);
        }
        // The quadratic is used only where it is monotone over the bracket.
        let (xi, phi) = ((a - b) / (c - b), (fa - fb) / (fc - fb));
        share = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        // Never so near an end that the bracket would not shrink.
        let edge = slack / width;
        share = crate::engine::range::held(share, edge, 1.0 - edge);
    }
    Some(if fa.abs() < fb.abs() { a } else { b })
}

#[cfg(test)]
#[allow(clippy::float_cmp)]
mod tests {
    use super::root;
    use std::cell::Cell;

    #[test]
    fn finds_known_roots() {
        let near = |found: Option<f64>, exact: f64| {
            assert!((found.unwrap() - exact).abs() < 1e-11, "{found:?}")
        };
        near(root(|x| x * x - 2.0, 0.0, 2.0, 1e-13), 2f64.sqrt());
        near(
            root(|x| x.cos() - x, 0.0, 1.0, 1e-13),
            0.739_085_133_215_160_6,
        );
        near(
            root(|x| x.powi(9), -1.0, 4.0, 1e-13).map(|x| x.powi(9)),
            0.0,
        );
        near(root(|x| (x - 0.3).signum(), 0.0, 1.0, 1e-13), 0.3);
        near(root(|x| 3.0 - x, 10.0, -10.0, 1e-13), 3.0);
    }

    #[test]
    fn refuses_without_a_sign_change() {
        assert_eq!(root(|x| x * x + 1.0, -1.0, 1.0, 1e-12), None);
        assert_eq!(root(|_| f64::NAN, -1.0, 1.0, 1e-12), None);
    }

    #[test]
    fn takes_an_end_that_is_the_root() {
        assert_eq!(root(|x| x, 0.0, 1.0, 1e-12), Some(0.0));
        assert_eq!(root(|x| x - 1.0, 0.0, 1.0, 1e-12), Some(1.0));
    }

    #[test]
    fn needs_few_calls_on_a_gentle_curve() {
        let calls = Cell::new(0);
        root(
            |x| {
                calls.set(calls.get() + 1);
                x.exp() - 2.0
            },
            0.0,
            1.0,
            1e-12,
        );
        assert!(calls.get() <= 10, "{}", calls.get());
    }
}
