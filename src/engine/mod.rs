//! Physics and the plan: pure functions over typed quantities.
//!
//! Invariants: every quantity carries its unit in its type; every correlation has one `RANGE`, which the code
//! checks and the docs point to, and one `SOURCE`; outside the range the answer is an error, never a number.
//! Absent on purpose: serde, words for people, clocks, randomness, allocation in property calls.

pub mod error;
pub mod order;
pub mod quantity;
pub mod range;
pub mod source;

pub mod solve;
pub mod uncertainty;

pub mod fluid;
pub mod property;

pub mod heat;
pub mod reading;

pub mod level;
pub mod levels;
pub mod log;
pub mod margin;
pub mod mix;

pub mod after;

pub mod dose;
pub mod packs;
pub mod plan;

pub mod cap;
pub mod caution;
pub mod datasheet;
