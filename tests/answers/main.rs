//! Job files in, answers out. One line a case.

#![allow(clippy::unwrap_used, clippy::panic, missing_docs)] // a test may panic

#[path = "../common/mod.rs"]
mod common;

mod file;
#[path = "../common/normals.rs"]
mod normals;

mod additive;
mod afterwards;
mod as_it_happens;
mod cautions;
mod how_sure;
mod main_job;
mod refusals;
mod sheet;
mod shelf;
mod unreachable;
mod ways;
