//! The page without a screen: what was typed, what it means, and what to show, all of it testable on the host.
//!
//! In reading order: [`number`], [`unit`], [`field`], [`water`] and [`choice`] (what can be typed and chosen), [`model`]
//! (what was, [`counter`] its part for packs and money, [`prices`] the list they come from, [`after`] what is typed once
//! the job is done), [`action`] and [`update`] (what a user does), [`draft`] and [`import`] (to and from a job file),
//! `sure` (what is wrong whatever else is typed), [`short`] (what would do it where there is no plan), [`page`] (the model with its answers), [`view`] (ready strings and
//! geometry), [`words`] (every word), [`plain`] (the card as text), [`link`] (a job in an address, and as a code),
//! [`fleet`] (many vehicles from a table), [`saved`] and [`desk`] (what is kept on the device, and which of it is open),
//! [`keeping`] (how it gets there, beside other tabs).
//!
//! Invariants: typed text is state, kept to the letter; numbers exist only after parsing; an answer that no longer
//! fits is never shown as current. Absent on purpose: a browser, a clock, physics.

pub mod action;
pub mod after;
pub mod amount;
pub mod choice;
pub mod counter;
pub mod desk;
pub mod draft;
pub mod field;
pub mod fleet;
pub mod form;
pub mod import;
pub mod keeping;
pub mod link;
pub mod logs;
pub mod model;
pub mod number;
pub mod page;
pub mod plain;
pub mod prices;
pub mod saved;
pub mod short;
mod sure;
pub(crate) mod take;
pub mod unit;
pub mod update;
pub mod view;
pub mod water;
pub mod words;
