//! Job files in, answers out. One line a case.

#![allow(clippy::unwrap_used, clippy::panic, missing_docs)] // a test may panic

#[path = "../common/mod.rs"]
mod common;

mod file;

mod additive;
mod afterwards;
mod as_it_happens;
mod cautions;
mod main_job;
mod refusals;
mod sheet;
mod shelf;
mod ways;
