//! The plan: the least wasteful right way from what a loop holds to what it should hold.
//!
//! In reading order: [`task`] (what is asked), [`state`] (what a loop holds, as plain numbers), [`ends`] (how strong and how
//! weak it can end, and a bound), [`search`] (the draws with the least in all), `pass` (one pass, and what it leaves),
//! [`measure`] (rounds in amounts that can be measured), [`last`] (the last of them), [`solve`] (all of that, for a task),
//! [`choose`] (the way taken, and the runners-up), [`refuse`] (why there is none, and what would help), [`instead`] (what else
//! would do, for who buys or shares), [`spread`] (how sure the result is), `seen` (what a level seen says of it).
//!
//! What is least, in order: litres drawn, rounds, stocks; then, for a frost aim that is met already, the change of the mix,
//! else the distance from the aim; then cost. If what has to be drawn in any case (mostly nothing) lets the rest be poured
//! to where the aim accepts, no more is drawn; otherwise the amounts land on the aim, and a way that draws less by landing
//! where the aim accepts is a runner-up.
//!
//! Invariants: a draw never exceeds its limit, a pour never passes the mark, a dose never passes the label's limit,
//! a stock never gives more than there is; what is shown is the state after the rounded amounts.
//!
//! Why no linear-program crate: with the draws fixed, both ends are a transport problem whose answer is a sort, and one that
//! is solved in a few hundred nanoseconds.
//!
//! Absent on purpose: words, clocks, and any memory of earlier plans.

pub mod choose;
mod ends;
mod instead;
mod last;
mod measure;
mod pass;
mod refuse;
mod search;
mod seen;
mod solve;
pub mod spread;
mod state;
pub mod task;

pub use choose::{Least, Plan, RunnerUp, Way, plan, rest};
pub use instead::Instead;
pub use pass::{Pass, Pour};
pub use refuse::{Best, PlanError, Remedy};
pub use task::{DrawLimit, Event, Target, Task, Usable};
