//! The plan: the least wasteful right way from what a loop holds to what it should hold.
//!
//! In reading order: [`task`] (what is asked), [`exact`] (unrounded amounts that land on the aim), [`pass`] (one
//! draw, dose and pour, rounded to the measuring step), [`rounds`] (several passes, when one draw is not enough),
//! [`choose`] (the way taken, the runners-up, and why there is none), [`spread`] (how sure the result is), `seen` (what a
//! level seen says of it).
//!
//! Invariants: a draw never exceeds its limit, a pour never passes the mark, a dose never passes the label's limit,
//! a stock never gives more than there is; what is shown is the state after the rounded amounts.
//!
//! Why no linear-program crate: with two equations (composition and level) every vertex has one free draw and one
//! stock, or no draw and two stocks, the rest at zero or at what is on hand. A shelf of at most
//! [`task::MOST_STOCKS`] makes that a few hundred two-by-two solves: exact, without tolerances to tune, and a
//! kilobyte instead of fifty.
//!
//! Absent on purpose: words, clocks, and any memory of earlier plans.

pub mod choose;
mod exact;
mod pass;
mod rounds;
mod seen;
pub mod spread;
pub mod task;

pub use choose::{Best, Plan, PlanError, Remedy, RunnerUp, Way, plan, rest};
pub use pass::{Pass, Pour};
pub use task::{DrawLimit, Event, Target, Task, Usable};
