//! How a table of columns is read: a smooth curve of temperature in each column, a monotone cubic across them.
//!
//! The published columns are almost exact low-order functions of temperature and rough in concentration. The cubic
//! takes its slopes from the neighbours on both sides (exact for a parabola), held to three times the smaller chord
//! so that it never overshoots (Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238–246).

/// Width of a column, as a label fraction.
const STEP: f64 = 0.1;

/// Value at `fraction`, where `column(i)` is the value at 10·i vol% and the last column is `last`.
pub(super) fn across(fraction: f64, last: usize, column: impl Fn(usize) -> f64) -> f64 {
    let place = (fraction / STEP).clamp(0.0, last as f64);
    let i = (place as usize).min(last - 1);
    let x = place - i as f64;
    let (y0, y1) = (column(i), column(i + 1));
    let chord = y1 - y0;
    let before = if i > 0 {
        Some(y0 - column(i - 1))
    } else {
        None
    };
    let after = if i + 2 <= last {
        Some(column(i + 2) - y1)
    } else {
        None
    };
    let d0 = before.map_or_else(
        || end_slope(chord, after.unwrap_or(chord)),
        |b| inner_slope(b, chord),
    );
    let d1 = after.map_or_else(
        || end_slope(chord, before.unwrap_or(chord)),
        |a| inner_slope(chord, a),
    );
    // Hermite form in chords, so that a straight table stays exactly straight.
    y0 + x * (d0 + x * ((3.0 * chord - 2.0 * d0 - d1) + x * (d0 + d1 - 2.0 * chord)))
}

/// Slope at a column between two chords.
fn inner_slope(left: f64, right: f64) -> f64 {
    if left * right <= 0.0 {
        return 0.0;
    }
    limited(0.5 * (left + right), left.abs().min(right.abs()))
}

/// Slope at the first or last column: the parabola through it and the next two.
fn end_slope(near: f64, far: f64) -> f64 {
    let slope = 1.5 * near - 0.5 * far;
    if slope * near <= 0.0 {
        0.0
    } else {
        limited(slope, near.abs())
    }
}

fn limited(slope: f64, chord: f64) -> f64 {
    slope.clamp(-3.0 * chord, 3.0 * chord)
}

/// Polynomial, lowest power first.
pub(super) fn polynomial(c: &[f64], x: f64) -> f64 {
    c.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// The variable of every curve that is steep when cold: 100/(T + 150 °C) − 1/2.
pub(super) fn inverse(temperature_c: f64) -> f64 {
    100.0 / (temperature_c + 150.0) - 0.5
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn goes_through_every_column_and_keeps_lines_and_parabolas() {
        let line = |i: usize| 3.0 - 2.0 * i as f64;
        let parabola = |i: usize| 1.0 + i as f64 * (1.0 + 0.1 * i as f64);
        for k in 0..=90 {
            let (f, i) = (f64::from(k) / 100.0, f64::from(k) / 10.0);
            assert!((across(f, 9, line) - (3.0 - 2.0 * i)).abs() < 1e-12);
            assert!((across(f, 9, parabola) - (1.0 + i * (1.0 + 0.1 * i))).abs() < 1e-12);
        }
    }

    #[test]
    fn never_overshoots_a_step() {
        let step = |i: usize| if i < 5 { 0.0 } else { 1.0 };
        for k in 0..=900 {
            let y = across(f64::from(k) / 1000.0, 9, step);
            assert!((0.0..=1.0).contains(&y), "{k} {y}");
        }
    }
}
