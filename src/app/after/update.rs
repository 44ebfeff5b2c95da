//! What a user does once the job is done.

use super::{LevelRow, PlaceRow, RunRow};
use crate::app::{choice::ReadingBy, model::Model, words};
use crate::job::after_file::{Surface, When};

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
    /// Asked for another run.
    RunAdded(When),
    /// Removed one.
    RunRemoved(usize),
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
