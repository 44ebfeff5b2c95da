//! The engine's physics, fits and readings against what is published, and the tables written from them.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)] // a test may panic

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/normals.rs"]
mod normals;
#[path = "../support/mod.rs"]
mod support;

mod allocation;
mod datasheet;
mod fits;
mod properties_csv;
mod readings;
mod reference;
mod smoothness;
mod worked_examples;
