//! Job files in, answers out. One line a case.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)] // a test may panic

#[path = "../common/mod.rs"]
mod common;

mod file;
mod filed;
#[path = "../common/normals.rs"]
#[allow(dead_code)] // each test program uses its part
mod normals;
#[path = "../support/mod.rs"]
mod support;

mod additive;
mod after;
mod afterwards;
mod as_it_happens;
mod caps;
mod cautions;
mod how_sure;
mod least;
mod logs;
mod main_job;
mod packs;
mod purchase;
mod refusals;
mod refused_or_said;
mod sheet;
mod shelf;
mod split;
mod strength;
mod supplements;
mod survey;
mod to_the_mark;
mod unreachable;
mod ways;
mod worst_end;
