//! What is judged after a job, against published tables, SciPy, worked examples and Monte Carlo.

mod coverage;
mod statistics;
mod volume;

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found}, expected {expected} ± {within}"
    );
}
