//! Logs of drives before and after a change, compared fairly.
//!
//! In reading order: [`steady`] (where a drive holds still long enough to mean something), [`fit`] (a line over ambient with
//! the change as a factor and the drive as a random effect), [`verdict`] (what that allows to be said).
//!
//! The unit is the drive: whatever its log holds, one drive is one case. Never done here: reading files, words, and saying
//! that the change did it.

pub mod fit;
pub mod steady;
pub mod verdict;
