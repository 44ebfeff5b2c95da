//! Logs of drives: a CSV from any data logger or scan tool, read and compared.
//!
//! In reading order: [`columns`] (which column is what, in which unit), [`read`] (the file, as it comes in pieces),
//! [`compare`] (what several of them say), [`words`] (the same in words, for a terminal or a page).

pub mod columns;
pub mod compare;
pub mod read;
pub mod words;
