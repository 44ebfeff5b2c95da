//! The engine against published numbers. Each check names its source; rows live in `data/` (tables the engine reads)
//! and `tests/reference/` (tables it never sees).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test says what went wrong by panicking

mod support;

#[path = "reference/tables.rs"]
mod tables;
