//! What the page and the planner in the background say to each other, as JSON: orders one way, what there is to show
//! the other.

use serde_json::Value;

use crate::job::{
    file::Job,
    record::{Field, Text, read, record},
};

fn is_not(said: &bool) -> bool {
    !said
}

record! {
    /// What the page asks for. A table's text travels beside the order, not in it.
    pub struct Order {
        /// Which table it is about, counted by the page.
        pub run: u32,
        /// The page's units, by their code.
        pub system: String,
        /// A new table is to be planned for this job's shelf and its first loop's settings.
        pub job: Option<Job> = Option::is_none,
        /// The first of the rows to show.
        pub first: Option<u32> = Option::is_none,
        /// Leave off here.
        pub stop: bool = is_not,
        /// Hand out the table of plans.
        pub csv: bool = is_not,
        /// Hand out this row as a job of its own.
        pub row: Option<u32> = Option::is_none,
    }

    /// What the planner tells.
    pub struct Told {
        /// Which table it is about.
        pub run: u32,
        /// Is there more to plan?
        pub running: bool,
        /// Why the table as a whole is refused.
        pub refused: Option<String> = Option::is_none,
        /// What to show.
        pub view: Option<FleetView> = Option::is_none,
        /// The row asked for; nothing where it could not be read.
        pub row: Option<Job> = Option::is_none,
    }

    /// The fleet, ready to be drawn.
    pub struct FleetView {
        /// How much of the table was read.
        pub percent: u32,
        /// How many rows came to what.
        pub told: String,
        /// Over the columns.
        pub headings: Vec<String>,
        /// In sight.
        pub rows: Vec<RowView>,
        /// Which those are.
        pub range: String,
        /// First of the rows before them.
        pub earlier: Option<u32> = Option::is_none,
        /// First of the rows after them.
        pub later: Option<u32> = Option::is_none,
        /// What was wrong.
        pub report: Vec<String>,
        /// Lines of it that are only in the file.
        pub more: u32,
        /// What it takes together.
        pub totals: Vec<Total>,
    }

    /// A row, ready to be drawn.
    pub struct RowView {
        /// Its place, to be opened by.
        pub place: u32,
        /// Its line in the table.
        pub line: String,
        /// Vehicle and loop.
        pub name: String,
        /// One for each further heading; of a refused row: the reason alone.
        pub cells: Vec<String>,
        /// Is it refused?
        pub wrong: bool,
        /// Can it be opened?
        pub opens: bool,
    }

    /// A line of what all rows take together.
    pub struct Total {
        /// What.
        pub name: String,
        /// How much.
        pub amount: String,
    }
}

/// A message as its text.
pub fn sent<T: Field>(message: &T) -> String {
    let mut text = Text::compact();
    message.write(&mut text);
    text.done()
}

/// A message from its text; `None` where it is none.
pub fn received<T: Field>(text: &str) -> Option<T> {
    let value: Value = serde_json::from_str(text).ok()?;
    read(&value).ok()
}
