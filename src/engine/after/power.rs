//! How many runs would tell a difference that was stated beforehand, and how often a verdict may be looked for.
//!
//! What a study of so many runs can tell is the power of its t-test: with equal scatter and as many runs a side, the
//! statistic is a noncentral t with 2n − 2 degrees of freedom (pairs: n − 1), held against the t of n − 1. The scatter is
//! known from few runs, so it is taken at its best value and at its upper 80 % bound, s √(ν/χ²(0.2, ν)).
//!
//! Never done here: taking the difference that was seen for the one that is looked for; that would promise too much.

use super::student::t_at;

/// A study is wanted to tell the difference this often. Common practice, no source.
pub const POWER: f64 = 0.80;
/// More runs of each than this are not asked for: then steadier runs or a better thermometer help. Ours.
pub const MOST: u32 = 60;

/// The normal distribution's share below `x`: Abramowitz and Stegun 26.2.17, within 7.5e-8.
pub fn below(x: f64) -> f64 {
    let k = 1.0 / (1.0 + 0.231_641_9 * x.abs());
    let series = k
        * (0.319_381_530
            + k * (-0.356_563_782
                + k * (1.781_477_937 + k * (-1.821_255_978 + k * 1.330_274_429))));
    let tail = (-x * x / 2.0).exp() / std::f64::consts::TAU.sqrt() * series;
    if x < 0.0 { tail } else { 1.0 - tail }
}

/// How often |T| passes `critical`, T a noncentral t: Simpson's rule over the scatter, within 1e-6.
pub fn power(shift: f64, freedom: u32, critical: f64) -> f64 {
    const STEPS: u32 = 400;
    let nu = f64::from(freedom.max(1));
    // s/σ is chi over √ν: near 1, the wider the fewer the degrees of freedom.
    let reach = 6.0 / (2.0 * nu).sqrt();
    let (low, high) = ((1.0 - reach).max(1e-9), 1.0 + reach);
    let step = (high - low) / f64::from(STEPS);
    let (mut passed, mut all) = (0.0, 0.0);
    for i in 0..=STEPS {
        let s = low + f64::from(i) * step;
        let weight = if i == 0 || i == STEPS {
            1.0
        } else {
            2.0 + 2.0 * f64::from(i % 2)
        };
        // Its density, but for a factor that falls out; as a logarithm about its top, so that nothing overflows.
        let density = weight * ((nu - 1.0) * s.ln() - nu / 2.0 * (s * s - 1.0)).exp();
        all += density;
        passed += density * (below(shift - critical * s) + below(-shift - critical * s));
    }
    passed / all
}

/// A standard deviation's upper 80 % bound over its best value: χ² by Wilson and Hilferty (Abramowitz and Stegun
/// 26.4.17), within 1 % from two degrees of freedom.
pub fn upper_80(freedom: u32) -> f64 {
    // The normal distribution's 0.2 quantile.
    const Z: f64 = -0.841_621_233_6;
    let a = 2.0 / (9.0 * f64::from(freedom.max(1)));
    let root = 1.0 - a + Z * a.sqrt();
    (1.0 / (root * root * root)).sqrt()
}

/// What is looked for, and against what scatter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sought {
    /// The difference, K: above 0.
    pub difference_k: f64,
    /// Standard deviation of a run (of a pair's difference), K.
    pub scatter_k: f64,
    /// Pairs, or sides apart.
    pub paired: bool,
    /// The chance of a false verdict that is allowed.
    pub chance: f64,
}

impl Sought {
    /// How often so many runs of each would tell it.
    pub fn power(&self, runs: u32) -> f64 {
        let n = f64::from(runs);
        let critical = t_at(self.chance, runs - 1);
        let (error, freedom) = if self.paired {
            (self.scatter_k / n.sqrt(), runs - 1)
        } else {
            (self.scatter_k * (2.0 / n).sqrt(), 2 * runs - 2)
        };
        power(self.difference_k / error.max(1e-9), freedom, critical)
    }

    /// The least runs of each, three at least, that tell it [`POWER`] of the time; `None`: over [`MOST`].
    pub fn runs(&self) -> Option<u32> {
        if self.power(MOST) < POWER {
            return None;
        }
        let (mut short, mut enough) = (2, MOST);
        while enough - short > 1 {
            let middle = u32::midpoint(short, enough);
            if self.power(middle) < POWER {
                short = middle;
            } else {
                enough = middle;
            }
        }
        Some(enough)
    }
}

/// The chance of a false verdict that is allowed when the planned runs are in.
pub const AT_PLAN: f64 = 0.025;
/// What the runs after the plan share out.
const AFTER_PLAN: f64 = 0.02;

/// The chance of a false verdict that may be taken with `runs` of each, `extra` of them beyond the plan: `None` while the
/// planned runs are not in.
///
/// Without a plan every run may be a look at the verdict: 5 % over the runs of each side, so that a user who looks after
/// every run is wrong one time in twenty over all looks (4.2 % at twelve runs, 5.2 % at fifty). With a plan there is no
/// verdict before it, 2.5 % at it, and 2 % over the runs after; that leaves room for looks at up to five runs of each before the
/// plan was stated (5 %). Simulated in `tests/answers/after/coverage.rs`.
pub fn chance(runs: u32, extra: u32, planned: Option<u32>) -> Option<f64> {
    let each = |all: f64| all / f64::from(runs.max(1));
    match planned {
        None => Some(each(super::student::CHANCE)),
        Some(plan) if runs < plan => None,
        Some(_) if extra == 0 => Some(AT_PLAN),
        Some(_) => Some(each(AFTER_PLAN)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_time_in_twenty_is_shared_out() {
        assert_eq!(chance(3, 0, None), Some(0.05 / 3.0));
        assert_eq!(chance(4, 0, Some(5)), None);
        assert!((chance(5, 0, Some(5)).unwrap() - 0.025).abs() < 1e-15);
        assert!((chance(5, 1, Some(5)).unwrap() - 0.004).abs() < 1e-15);
    }

    #[test]
    fn without_scatter_three_runs_tell_and_without_end_none() {
        let sought = |scatter_k| Sought {
            difference_k: 2.0,
            scatter_k,
            paired: false,
            chance: 0.05,
        };
        assert_eq!(sought(0.0).runs(), Some(3));
        assert_eq!(sought(1000.0).runs(), None);
    }
}
