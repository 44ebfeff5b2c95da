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
    horner(cubic(v, i - first), u)
}

/// The columns 0, 1, … of one temperature, with the cubic of each interval worked out beforehand.
pub(super) struct Isotherm<const K: usize>([[f64; 4]; K]);

impl<const K: usize> Isotherm<K> {
    /// Of these columns; the last interval ends at the last of them.
    pub(super) const fn of(columns: &[f64; K]) -> Self {
        let mut cubics = [[0.0; 4]; K];
        let mut i = 0;
        while i + 1 < K {
            let mut first = if i == 0 { 0 } else { i - 1 };
            if first > K - 4 {
                first = K - 4;
            }
            let v = [
                columns[first],
                columns[first + 1],
                columns[first + 2],
                columns[first + 3],
            ];
            cubics[i] = cubic(v, i - first);
            i += 1;
        }
        Self(cubics)
    }

    /// Value at `fraction`, as [`across`].
    #[inline]
    pub(super) fn across(&self, fraction: f64) -> f64 {
        let place = (fraction * COLUMNS).max(0.0).min((K - 1) as f64);
        let i = (place as usize).min(K - 2);
        horner(self.0[i], place - i as f64)
    }
}

/// The cubic over interval `k` of the three between four columns, in how far along it one stands (0 to 1). In chords, so
/// that a straight table stays exactly straight.
#[inline(always)]
const fn cubic(v: [f64; 4], k: usize) -> [f64; 4] {
    let c = [v[1] - v[0], v[2] - v[1], v[3] - v[2]];
    let (y, chord, d0, d1) = match k {
        0 => (v[0], c[0], end_slope(c[0], c[1]), inner_slope(c[0], c[1])),
        1 => (v[1], c[1], inner_slope(c[0], c[1]), inner_slope(c[1], c[2])),
        _ => (v[2], c[2], inner_slope(c[1], c[2]), end_slope(c[2], c[1])),
    };
    [y, d0, 3.0 * chord - 2.0 * d0 - d1, d0 + d1 - 2.0 * chord]
}

#[inline(always)]
const fn horner(c: [f64; 4], u: f64) -> f64 {
    c[0] + u * (c[1] + u * (c[2] + u * c[3]))
}

/// Slope at a column between two chords.
#[inline]
const fn inner_slope(left: f64, right: f64) -> f64 {
    if left * right <= 0.0 {
        return 0.0;
    }
    limited(0.5 * (left + right), left.abs().min(right.abs()))
}

/// Slope at the first or last column: the parabola through it and the next two.
#[inline]
const fn end_slope(near: f64, far: f64) -> f64 {
    let slope = 1.5 * near - 0.5 * far;
    if slope * near <= 0.0 {
        0.0
    } else {
        limited(slope, near.abs())
    }
}

const fn limited(slope: f64, chord: f64) -> f64 {
    slope.max(-3.0 * chord).min(3.0 * chord)
}

/// Polynomial, lowest power first. The even and the odd powers are summed apart: two short chains, not one long.
#[inline]
pub(super) const fn polynomial<const N: usize>(c: &[f64; N], x: f64) -> f64 {
    let square = x * x;
    let (mut even, mut odd) = (0.0, 0.0);
    let mut i = N;
    while i > 0 {
        i -= 1;
        if i.is_multiple_of(2) {
            even = even * square + c[i];
        } else {
            odd = odd * square + c[i];
        }
    }
    even + x * odd
}

/// The variable of every curve that is steep when cold: 100/(T + 150 °C) − 1/2.
#[inline]
pub(super) const fn inverse(temperature_c: f64) -> f64 {
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
