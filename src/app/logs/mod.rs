//! Logs of drives on the page: files chosen, compared in the background, shown in words and pictures.
//!
//! Reading them is long work, and only some people's: [`reader`] and all of [`crate::job::log`] are compiled into the module
//! that runs in a thread of its own (`src/background`), which is handed the files themselves. Here is what goes between the two.

pub mod reader;

use super::{
    after::{StudyPart, SurveyModel},
    choice::{Choice, System},
    field::Unit,
};
use crate::job::record::record;

pub use super::fleet::message::{received, sent};

/// What a user does with logs, and what the reader tells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LogsAction {
    /// Logs were chosen, or are to be compared again.
    Asked,
    /// The reader told something.
    Told(String),
    /// The reader cannot be had, or stopped.
    Failed,
}

/// The logs on the page.
#[derive(Debug, Clone, PartialEq)]
pub enum LogsDesk {
    /// Being read.
    Reading,
    /// Read.
    Read(LogsView),
    /// No reader.
    Failed,
}

record! {
    /// What the page asks for. The files travel beside it.
    pub struct Order {
        /// The page's units, by their code.
        pub system: String,
        /// Accuracy of the sensors, K.
        pub accuracy: Option<f64> = Option::is_none,
        /// Planned drives of each side.
        pub planned: Option<f64> = Option::is_none,
        /// The thermostat opens, is full open, °C; the same after the change.
        pub opens: Option<f64> = Option::is_none,
        /// Full open.
        pub full_open: Option<f64> = Option::is_none,
        /// After the change.
        pub opens_after: Option<f64> = Option::is_none,
        /// The same.
        pub full_open_after: Option<f64> = Option::is_none,
    }

    /// What the reader tells.
    pub struct LogsView {
        /// A signal each: the verdict in words.
        pub verdicts: Vec<String>,
        /// What else there is to know.
        pub notes: Vec<String>,
        /// How the files were understood, and what was wrong with them.
        pub files: Vec<String>,
        /// Coolant over ambient, and each drive over time.
        pub charts: Vec<LogChart>,
    }

    /// A picture, ready to be drawn: 340 by 130.
    pub struct LogChart {
        /// What is drawn, in words.
        pub words: String,
        /// Paths in order.
        pub paths: Vec<LogPath>,
        /// Ends of its axes: left and right below, low and high beside.
        pub ends: Vec<String>,
    }

    /// A path of it.
    pub struct LogPath {
        /// Its class.
        pub class: String,
        /// Its course.
        pub course: String,
    }
}

/// The order for what stands on the page.
pub fn order(survey: &SurveyModel, system: System) -> String {
    let in_unit = |part: StudyPart, unit: Unit| {
        let entry = survey.part(part);
        entry.typed_in.to(unit, entry.value().ok()??)
    };
    let celsius = |part| {
        in_unit(
            part,
            Unit::Temperature(crate::job::units::TemperatureUnit::DegC),
        )
    };
    let number = survey.part(StudyPart::Planned).value().ok().flatten();
    sent(&Order {
        system: system.code().to_owned(),
        accuracy: in_unit(
            StudyPart::Accuracy,
            Unit::Interval(crate::job::units::IntervalUnit::K),
        ),
        planned: number,
        opens: celsius(StudyPart::Opens),
        full_open: celsius(StudyPart::FullOpen),
        opens_after: celsius(StudyPart::OpensAfter),
        full_open_after: celsius(StudyPart::FullOpenAfter),
    })
}

/// What the page holds after something was done or told.
pub fn take(action: &LogsAction) -> LogsDesk {
    match action {
        LogsAction::Asked => LogsDesk::Reading,
        LogsAction::Told(text) => received(text).map_or(LogsDesk::Failed, LogsDesk::Read),
        LogsAction::Failed => LogsDesk::Failed,
    }
}
