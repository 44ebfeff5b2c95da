//! What is judged after a job, against published tables, SciPy, worked examples and Monte Carlo.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)] // a test may panic

#[path = "common/mod.rs"]
mod common;
#[path = "support/mod.rs"]
mod support;

#[path = "after/statistics.rs"]
mod statistics;
#[path = "after/volume.rs"]
mod volume;

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found}, expected {expected} ± {within}"
    );
}
