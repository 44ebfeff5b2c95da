//! How a table of columns is read: a smooth curve of temperature in each column, a monotone cubic across them.
//!
//! The published columns are almost exact low-order functions of temperature and rough in concentration. The cubic
//! takes its slopes from the neighbours on both sides (exact for a parabola), held to three times the smaller chord
//! so that it never overshoots (Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238–246).

/// Columns per unit of label fraction.
const COLUMNS: f64 = 10.0;

/// Value at `fraction`, where column 0 is `water` and column `j` the polynomial `table[j - 1]` in `x`.
#[inline]
pub(super) fn across<const N: usize, const M: usize>(
    fraction: f64,
    x: f64,
    water: impl FnOnce() -> f64,
    table: &[[f64; N]; M],
) -> f64 {
    let place = (fraction * COLUMNS).max(0.0).min(M as f64);
    let i = (place as usize).min(M - 1);
    let u = place - i as f64;
    // Four neighbouring columns; at the ends the interval is the first or the last of the three between them.
    let first = i.saturating_sub(1).min(M - 3);
    let at = |j: usize| polynomial(&table[j - 1], x);
    let v = [
        if first == 0 { water() } else { at(first) },
        at(first + 1),
        at(first + 2),
        at(first + 3),
    ];
    let c = [v[1] - v[0], v[2] - v[1], v[3] - v[2]];
    let (y, chord, d0, d1) = match i - first {
        0 => (v[0], c[0], end_slope(c[0], c[1]), inner_slope(c[0], c[1])),
        1 => (v[1], c[1], inner_slope(c[0], c[1]), inner_slope(c[1], c[2])),
        _ => (v[2], c[2], inner_slope(c[1], c[2]), end_slope(c[2], c[1])),
    };
    // Hermite form in chords, so that a straight table stays exactly straight.
    y + u * (d0 + u * ((3.0 * chord - 2.0 * d0 - d1) + u * (d0 + d1 - 2.0 * chord)))
}

/// Slope at a column between two chords.
#[inline]
fn inner_slope(left: f64, right: f64) -> f64 {
    if left * right <= 0.0 {
        return 0.0;
    }
    limited(0.5 * (left + right), left.abs().min(right.abs()))
}

/// Slope at the first or last column: the parabola through it and the next two.
#[inline]
fn end_slope(near: f64, far: f64) -> f64 {
    let slope = 1.5 * near - 0.5 * far;
    if slope * near <= 0.0 {
        0.0
    } else {
        limited(slope, near.abs())
    }
}

fn limited(slope: f64, chord: f64) -> f64 {
    slope.max(-3.0 * chord).min(3.0 * chord)
}

/// Polynomial, lowest power first. The even and the odd powers are summed apart: two short chains, not one long.
#[inline]
pub(super) fn polynomial<const N: usize>(c: &[f64; N], x: f64) -> f64 {
    let square = x * x;
    let (mut even, mut odd) = (0.0, 0.0);
    for i in (0..N).rev() {
        if i % 2 == 0 {
            even = even * square + c[i];
        } else {
            odd = odd * square + c[i];
        }
    }
    even + x * odd
}

/// The variable of every curve that is steep when cold: 100/(T + 150 °C) − 1/2.
#[inline]
pub(super) fn inverse(temperature_c: f64) -> f64 {
    100.0 / (temperature_c + 150.0) - 0.5
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A table whose columns are constants.
    fn table(column: impl Fn(f64) -> f64) -> [[f64; 1]; 9] {
        std::array::from_fn(|i| [column(i as f64 + 1.0)])
    }

    #[test]
    fn goes_through_every_column_and_keeps_lines_and_parabolas() {
        let line = |i: f64| 3.0 - 2.0 * i;
        let parabola = |i: f64| 1.0 + i * (1.0 + 0.1 * i);
        for k in 0..=90 {
            let (f, i) = (f64::from(k) / 100.0, f64::from(k) / 10.0);
            assert!((across(f, 0.0, || line(0.0), &table(line)) - line(i)).abs() < 1e-12);
            assert!(
                (across(f, 0.0, || parabola(0.0), &table(parabola)) - parabola(i)).abs() < 1e-12
            );
        }
    }

    #[test]
    fn never_overshoots_a_step() {
        let step = |i: f64| if i < 4.5 { 0.0 } else { 1.0 };
        for k in 0..=900 {
            let y = across(f64::from(k) / 1000.0, 0.0, || 0.0, &table(step));
            assert!((0.0..=1.0).contains(&y), "{k} {y}");
        }
    }
}
