//! Tables.

pub mod table;
