//! Laws every plan obeys, over random jobs. The cards are replayed by the independent mass balance of `common`; what
//! is refused, and what is drawn, is compared with a search of every amount on a grid.
//!
//! The jobs are drawn by a fixed seed (`.cargo/config.toml`), so a run says the same every time; `PROPTEST_CASES` sets how
//! many. `cargo xtask test --deep` draws a million by a seed it prints. A job that ever broke a law is kept in
//! `broken/` and replayed for ever.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]
// The fuzz targets bring `common` along, and compare a parser's numbers exactly.
#![allow(clippy::duplicate_mod, clippy::float_cmp)]

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/sane.rs"]
mod sane;
#[path = "../common/wild.rs"]
mod wild;

mod broken;
mod card;
mod fuzz;
mod hostile;
mod jobs;
mod layering;
mod least;
mod optimum;
mod remedies;
mod search;
mod shared;

/// Two litres are the same within this.
const SLACK: f64 = 2e-6;
