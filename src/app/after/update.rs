//! What a user does once the job is done.

use super::{LevelRow, PlaceRow, RunRow};
use crate::app::{choice::ReadingBy, model::Model, words};
use crate::job::after_file::{Much, Run, SpotSide, Surface, ThermostatPlace, When};

/// One thing a user did in the fold of afterwards, besides typing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum After {
    /// Chose the instrument of the re-reading.
    BackBy(ReadingBy),
    /// Took the re-reading on: as what is in the loop now, and (`true`) the volume it implies as the loop's.
    Taken(bool),
    /// Asked for another look at the level.
    LevelAdded,
    /// Removed one.
    LevelRemoved(usize),
    /// Asked for the usual spots.
    UsualPlaces,
    /// Asked for another spot.
    PlaceAdded,
    /// Removed one.
    PlaceRemoved(usize),
    /// Said what a spot's surface is.
    SurfaceIs(usize, Surface),
    /// Said what a spot goes by.
    SideIs(usize, Option<SpotSide>),
    /// Said where the thermostat sits: before, or (`true`) after.
    Sits(bool, Option<ThermostatPlace>),
    /// Said how much of something there was in a run.
    Ran(usize, Ran, Option<Much>),
    /// Asked for another run.
    RunAdded(When),
    /// Removed one.
    RunRemoved(usize),
}

/// What a run ran with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ran {
    /// The radiator's fan.
    Fan,
    /// The engine's load.
    Load,
    /// Speed.
    Speed,
    /// A cover.
    Cover,
    /// The cabin heater.
    Heater,
}

impl Ran {
    /// All of them, as a run lists them.
    pub const ALL: [Self; 5] = [
        Self::Fan,
        Self::Load,
        Self::Speed,
        Self::Cover,
        Self::Heater,
    ];

    /// What a run says of it.
    pub const fn of(self, run: &Run) -> Option<Much> {
        match self {
            Self::Fan => run.fan,
            Self::Load => run.load,
            Self::Speed => run.speed,
            Self::Cover => run.cover,
            Self::Heater => run.heater,
        }
    }

    const fn of_mut(self, run: &mut Run) -> &mut Option<Much> {
        match self {
            Self::Fan => &mut run.fan,
            Self::Load => &mut run.load,
            Self::Speed => &mut run.speed,
            Self::Cover => &mut run.cover,
            Self::Heater => &mut run.heater,
        }
    }
}

/// A list of the fold that something is chosen from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum List {
    /// A spot's surface.
    Surface(usize),
    /// What a spot goes by.
    Side(usize),
    /// Where the thermostat sits; `true`: the one after.
    Sits(bool),
    /// What a run ran with.
    Ran(usize, Ran),
}

impl List {
    /// What choosing a code does.
    pub fn chosen(self, code: &str) -> Option<After> {
        Some(match self {
            Self::Surface(i) => {
                After::SurfaceIs(i, *Surface::ALL.iter().find(|s| s.text() == code)?)
            }
            Self::Side(i) => {
                let side = SpotSide::ALL.iter().find(|s| s.text() == code);
                After::SideIs(i, side.copied())
            }
            Self::Sits(after) => {
                let place = ThermostatPlace::ALL.iter().find(|s| s.text() == code);
                After::Sits(after, place.copied())
            }
            Self::Ran(i, ran) => {
                let much = Much::ALL.iter().find(|s| s.text() == code);
                After::Ran(i, ran, much.copied())
            }
        })
    }
}

/// The model after it. [`After::Taken`] is the page's, which has the answer.
pub fn update(model: &mut Model, what: After) {
    let system = model.system;
    match what {
        After::BackBy(by) => model.current_mut().back = Some(by),
        After::Taken(_) => {}
        After::LevelAdded => model.current_mut().levels.push(LevelRow::blank(system)),
        After::LevelRemoved(i) => {
            let levels = &mut model.current_mut().levels;
            if i < levels.len() {
                levels.remove(i);
            }
        }
        After::UsualPlaces => {
            for name in words::USUAL_PLACES {
                add(model, name);
            }
            if let Some(last) = model.survey.places.last_mut() {
                last.kept.surface = Some(Surface::Gauge);
            }
        }
        After::PlaceAdded => add(model, ""),
        After::PlaceRemoved(i) => {
            let survey = &mut model.survey;
            if i < survey.places.len() {
                survey.places.remove(i);
                for run in &mut survey.runs {
                    run.shown.remove(i);
                }
            }
        }
        After::SurfaceIs(i, surface) => {
            if let Some(row) = model.survey.places.get_mut(i) {
                row.kept.surface = Some(surface);
                // The file's own figure was the old surface's.
                row.kept.emissivity = None;
            }
        }
        After::SideIs(i, side) => {
            if let Some(row) = model.survey.places.get_mut(i) {
                row.kept.side = side;
            }
        }
        After::Sits(after, place) => model.survey.sits[usize::from(after)] = place,
        After::Ran(i, ran, much) => {
            if let Some(row) = model.survey.runs.get_mut(i) {
                *ran.of_mut(&mut row.kept) = much;
            }
        }
        After::RunAdded(when) => {
            let run = RunRow::blank(when, model.survey.places.len(), system);
            model.survey.runs.push(run);
        }
        After::RunRemoved(i) => {
            if i < model.survey.runs.len() {
                model.survey.runs.remove(i);
            }
        }
    }
}

fn add(model: &mut Model, name: &str) {
    let blank = RunRow::blank(When::Before, 1, model.system).shown;
    model.survey.places.push(PlaceRow::named(name));
    for run in &mut model.survey.runs {
        run.shown.extend(blank.clone());
    }
}
