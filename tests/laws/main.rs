//! Laws every plan obeys, over random jobs. The cards are replayed by the independent mass balance of `common`; what
//! is refused, and what is drawn, is compared with a search of every amount on a grid.
//!
//! `PROPTEST_CASES` sets how many jobs; `cargo xtask test` runs 20 000 in release mode.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../common/mod.rs"]
mod common;

mod card;
mod jobs;
mod least;
mod remedies;
mod search;
mod shared;

/// Two litres are the same within this.
const SLACK: f64 = 2e-6;
