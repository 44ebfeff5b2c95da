//! The page without a screen: what a user types and chooses, and what they are shown for it.
//!
//! The van's amounts (draw 0.80, add 0.25, pour 1.15 L, landing at 50.1 %) were worked by an independent mass
//! balance; unit factors are exact by definition. Words are looked for, not pinned.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)] // a test may panic

mod afterwards;
mod chemistry;
mod counter;
mod files;
mod fleets;
mod hands;
mod jobs;
mod keeping;
mod links;
mod logs;
mod only;
mod papers;
mod short;
mod signs;
mod typing;
mod ways;
mod why;
