//! A line over ambient with the change as a factor and the drive as a random effect.
//!
//! y = b₀ + b₁·after (+ b₂·x (+ b₃·after·x)) + drive + rest. The share of the drive's variance is estimated by restricted
//! maximum likelihood (REML), the line by generalised least squares for it. The change of a drive's mean is a matter between
//! drives, so there are as many degrees of freedom as drives less what the line takes; and since few drives tell little of
//! their own variance, its standard error is never taken below that of the line through the drives' means.

/// One case: a block of a drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Case {
    /// Which drive.
    pub drive: usize,
    /// After the change.
    pub after: bool,
    /// Ambient, or whatever the line is over.
    pub x: f64,
    /// What is judged.
    pub y: f64,
}

/// What the line is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// Two means.
    Means,
    /// One slope, two heights.
    OneSlope,
    /// Two lines.
    TwoSlopes,
}

/// A fitted line.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// b₀, b₁, b₂, b₃, as far as the line has them.
    pub line: Vec<f64>,
    /// Their standard errors.
    pub errors: Vec<f64>,
    /// Degrees of freedom of the change: drives less what the line takes.
    pub freedom: u32,
    /// Variance between drives.
    pub between: f64,
    /// Variance within.
    pub within: f64,
    /// Standard error of b₁ from the drives' means alone, where there are enough.
    pub means_error: Option<f64>,
}

impl Fit {
    /// Standard error of the change that is judged by.
    pub fn change_error(&self) -> f64 {
        self.means_error
            .map_or(self.errors[1], |e| e.max(self.errors[1]))
    }
}

type Square = Vec<Vec<f64>>;

fn columns(line: Line) -> usize {
    match line {
        Line::Means => 2,
        Line::OneSlope => 3,
        Line::TwoSlopes => 4,
    }
}

fn row(case: &Case, line: Line) -> Vec<f64> {
    let after = f64::from(u8::from(case.after));
    let all = [1.0, after, case.x, after * case.x];
    all[..columns(line)].to_vec()
}

/// Inverse and determinant of a small symmetric matrix; `None` where it has none.
fn inverse(mut m: Square) -> Option<(Square, f64)> {
    let n = m.len();
    let mut inverse: Square = (0..n)
        .map(|i| (0..n).map(|j| f64::from(u8::from(i == j))).collect())
        .collect();
    let size = m
        .iter()
        .flatten()
        .fold(0.0, |most: f64, v| most.max(v.abs()));
    let mut determinant = 1.0;
    for i in 0..n {
        let mut best = i;
        for k in i + 1..n {
            if m[k][i].abs() > m[best][i].abs() {
                best = k;
            }
        }
        m.swap(i, best);
        inverse.swap(i, best);
        let pivot = m[i][i];
        if pivot.abs() <= 1e-12 * size {
            return None;
        }
        determinant *= if best == i { pivot } else { -pivot };
        for j in 0..n {
            m[i][j] /= pivot;
            inverse[i][j] /= pivot;
        }
        for k in 0..n {
            let by = m[k][i];
            if k != i && by != 0.0 {
                for j in 0..n {
                    m[k][j] -= by * m[i][j];
                    inverse[k][j] -= by * inverse[i][j];
                }
            }
        }
    }
    Some((inverse, determinant))
}

/// Sums of one drive: its cases, and of each the columns and y beside them.
struct Drive {
    n: f64,
    /// Sums of products of columns and y, within.
    products: Square,
    sums: Vec<f64>,
}

/// Least squares where each drive's own mean counts for 1/(1 + n λ) of itself.
struct Least {
    line: Vec<f64>,
    inverse: Square,
    rest: f64,
    /// Twice the negative of the restricted log-likelihood, but for a constant.
    deviance: f64,
}

fn least(drives: &[Drive], columns: usize, count: f64, ratio: f64) -> Option<Least> {
    let width = columns + 1;
    let mut all = vec![vec![0.0; width]; width];
    let mut spread = 0.0;
    for d in drives {
        let shrink = ratio / (1.0 + d.n * ratio);
        spread += (1.0 + d.n * ratio).ln();
        for (i, row) in all.iter_mut().enumerate() {
            for (j, sum) in row.iter_mut().enumerate() {
                *sum += d.products[i][j] - shrink * d.sums[i] * d.sums[j];
            }
        }
    }
    let square = (0..columns).map(|i| all[i][..columns].to_vec()).collect();
    let (inverse, determinant) = inverse(square)?;
    let line: Vec<f64> = (0..columns)
        .map(|i| (0..columns).map(|j| inverse[i][j] * all[j][columns]).sum())
        .collect();
    let explained: f64 = (0..columns).map(|i| line[i] * all[i][columns]).sum();
    let rest = (all[columns][columns] - explained).max(1e-12 * all[columns][columns].abs());
    let freedom = count - columns as f64;
    Some(Least {
        deviance: freedom * rest.max(f64::MIN_POSITIVE).ln() + spread + determinant.abs().ln(),
        line,
        inverse,
        rest,
    })
}

fn summed(cases: &[Case], line: Line) -> Vec<Drive> {
    let width = columns(line) + 1;
    let count = cases.iter().map(|c| c.drive + 1).max().unwrap_or(0);
    let blank = |_| Drive {
        n: 0.0,
        products: vec![vec![0.0; width]; width],
        sums: vec![0.0; width],
    };
    let mut drives: Vec<Drive> = (0..count).map(blank).collect();
    for case in cases {
        let mut figures = row(case, line);
        figures.push(case.y);
        let d = &mut drives[case.drive];
        d.n += 1.0;
        for i in 0..width {
            d.sums[i] += figures[i];
            for j in 0..width {
                d.products[i][j] += figures[i] * figures[j];
            }
        }
    }
    drives.retain(|d| d.n > 0.0);
    drives
}

/// Fits a line; `None` where the cases do not tell it: too few drives, or all at one x.
pub fn fit(cases: &[Case], line: Line) -> Option<Fit> {
    // About the middle, where the sums lose no digits.
    let n = cases.len() as f64;
    let (mx, my) = cases
        .iter()
        .fold((0.0, 0.0), |(x, y), c| (x + c.x / n, y + c.y / n));
    let moved: Vec<Case> = cases
        .iter()
        .map(|c| Case {
            x: c.x - mx,
            y: c.y - my,
            ..*c
        })
        .collect();
    let width = columns(line);
    let drives = summed(&moved, line);
    let freedom = drives.len().checked_sub(width).filter(|f| *f > 0)?;
    let at = |ratio: f64| least(&drives, width, n, ratio);
    let mut best = at(0.0)?;
    let mut ratio = 0.0;
    // Drives of one case each tell nothing of what is between them and what within.
    if drives.iter().any(|d| d.n > 1.5) && n > width as f64 {
        let deviance = |log: f64| at(log.exp()).map_or(f64::INFINITY, |l| l.deviance);
        let mut log = -12.0;
        for step in 0..=48 {
            let here = -12.0 + 0.5 * f64::from(step);
            if deviance(here) < deviance(log) {
                log = here;
            }
        }
        let log = lowest(&deviance, log - 0.5, log + 0.5);
        if let Some(found) = at(log.exp()).filter(|l| l.deviance < best.deviance) {
            best = found;
            ratio = log.exp();
        }
    }
    let within = best.rest / (n - width as f64);
    let means = means(&moved, line);
    // Back from the middle: the heights move with the slopes.
    let mut b = best.line;
    let back = |k: usize, of: usize, m: &mut Square| {
        let moved: Vec<f64> = m[of].iter().map(|x| mx * x).collect();
        for (x, moved) in m[k].iter_mut().zip(moved) {
            *x -= moved;
        }
        for row in m.iter_mut() {
            row[k] -= mx * row[of];
        }
    };
    let mut covariance = best.inverse;
    if width > 2 {
        b[0] -= mx * b[2];
        back(0, 2, &mut covariance);
    }
    if width > 3 {
        b[1] -= mx * b[3];
        back(1, 3, &mut covariance);
    }
    b[0] += my;
    Some(Fit {
        errors: (0..width)
            .map(|i| (within * covariance[i][i]).max(0.0).sqrt())
            .collect(),
        line: b,
        freedom: freedom as u32,
        between: ratio * within,
        within,
        means_error: means.filter(|_| width < 4),
    })
}

/// Golden section.
fn lowest(f: &dyn Fn(f64) -> f64, mut a: f64, mut b: f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    let (mut c, mut d) = (b - GOLDEN * (b - a), a + GOLDEN * (b - a));
    let (mut fc, mut fd) = (f(c), f(d));
    for _ in 0..60 {
        if fc < fd {
            (b, d, fd) = (d, c, fc);
            c = b - GOLDEN * (b - a);
            fc = f(c);
        } else {
            (a, c, fc) = (c, d, fd);
            d = a + GOLDEN * (b - a);
            fd = f(d);
        }
    }
    f64::midpoint(a, b)
}

/// The change's standard error from the drives' means, each counting alike.
fn means(cases: &[Case], line: Line) -> Option<f64> {
    let count = cases.iter().map(|c| c.drive + 1).max()?;
    let mut sums = vec![(0.0, 0.0, 0.0, false); count];
    for c in cases {
        let s = &mut sums[c.drive];
        *s = (s.0 + 1.0, s.1 + c.x, s.2 + c.y, c.after);
    }
    let means: Vec<Case> = sums
        .iter()
        .filter(|s| s.0 > 0.0)
        .enumerate()
        .map(|(drive, s)| Case {
            drive,
            after: s.3,
            x: s.1 / s.0,
            y: s.2 / s.0,
        })
        .collect();
    let width = columns(line);
    let n = means.len() as f64;
    let found = least(&summed(&means, line), width, n, 0.0)?;
    (means.len() > width).then(|| (found.rest / (n - width as f64) * found.inverse[1][1]).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case(drive: usize, after: bool, x: f64, y: f64) -> Case {
        Case { drive, after, x, y }
    }

    /// Points on two parallel lines, by hand.
    #[test]
    fn a_line_that_is_one() {
        let cases: Vec<Case> = (0..8)
            .map(|i| {
                let (after, x) = (i >= 4, f64::from(i as u8 % 4) + f64::from(i as u8) / 10.0);
                case(i, after, x, 50.0 + 2.0 * x - if after { 7.0 } else { 0.0 })
            })
            .collect();
        let found = fit(&cases, Line::OneSlope).unwrap();
        for (b, expected) in found.line.iter().zip([50.0, -7.0, 2.0]) {
            assert!((b - expected).abs() < 1e-9, "{found:?}");
        }
        assert_eq!(found.freedom, 5);
    }

    #[test]
    fn what_does_not_tell_a_line_is_none() {
        let flat: Vec<Case> = (0..6)
            .map(|i| case(i, i >= 3, 20.0, 90.0 + i as f64))
            .collect();
        assert_eq!(fit(&flat, Line::OneSlope), None);
        assert!(fit(&flat, Line::Means).is_some());
        assert_eq!(fit(&flat[..2], Line::Means), None);
        assert_eq!(fit(&[], Line::Means), None);
    }
}
