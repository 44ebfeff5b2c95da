//! Did it work: what is judged once the job is done.
//!
//! In reading order: [`student`] (how far chance goes), [`check_back`] (the re-reading, and the true volume it implies),
//! [`level`] (levels over the days); then temperatures before and after: [`equal`] (at equal minutes), [`held`] (what the
//! thermostat holds), [`power`] (how many runs tell), [`survey`] (the verdict).
//!
//! Invariants: a figure comes with its 95 % range or is refused; a comparison that chance could explain is never called a
//! difference. Absent on purpose: words, clocks (dates come as day numbers), and any promise of what a change will bring.

pub mod check_back;
pub mod equal;
pub mod held;
pub mod level;
pub mod power;
pub mod student;
pub mod survey;
