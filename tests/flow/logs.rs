//! Logs of drives on the page: what is asked of the reader, and what it tells.

use super::hands::*;
use pourcard::app::{
    action::Action,
    after::StudyPart,
    desk::{Desk, DeskAction},
    logs::{LogsAction, LogsDesk, LogsView, order, reader::Reader, received},
    model::Spot,
    page::Page,
};

const BEFORE: &str = include_str!("../../data/demo/tractor_before.csv");
const AFTER: &str = include_str!("../../data/demo/tractor_after.csv");

fn told(page: &Page, files: &[(&str, &str, bool)]) -> LogsView {
    let mut reader = Reader::new(&order(&page.model.survey, page.model.system));
    for (name, text, after) in files {
        reader.begin((*name).to_owned(), *after);
        for piece in text.as_bytes().chunks(1000) {
            reader.feed(piece);
        }
        reader.end();
    }
    received(&reader.told()).unwrap()
}

fn both() -> [(&'static str, &'static str, bool); 2] {
    [("before.csv", BEFORE, false), ("after.csv", AFTER, true)]
}

/// The demo's logs are invented with a change of −6 K; the thermostat is the survey's, in any unit.
#[test]
fn two_logs_are_compared_by_the_thermostat_of_the_page() {
    let page = van().act(Action::Typed(Spot::Study(StudyPart::Opens), "82".into()));
    let view = told(&page, &both());
    assert_eq!(view.verdicts.len(), 1);
    assert!(
        plain(&view.verdicts[0]).starts_with("Coolant, above full open: cooler by 6."),
        "{:?}",
        view.verdicts
    );
    assert_eq!(view.files.len(), 2);
    // Coolant over ambient, and each of the eight drives over time.
    assert_eq!(view.charts.len(), 9);
    let dots = view.charts[0]
        .paths
        .iter()
        .filter(|p| p.class.starts_with("dot"))
        .count();
    assert_eq!(dots, 8);
    let us = page.act(Action::UnitsChosen(pourcard::app::choice::System::Us));
    let view = told(&us, &both());
    assert!(
        plain(&view.verdicts[0]).contains("°F"),
        "{:?}",
        view.verdicts
    );
}

#[test]
fn one_side_a_bad_log_and_no_reader() {
    let view = told(&van(), &both()[..1]);
    assert!(
        view.verdicts[0].contains("other side"),
        "{:?}",
        view.verdicts
    );
    let view = told(&van(), &[("x.csv", "time,rpm\n1,2\n", true)]);
    assert!(
        view.files[0].contains("x.csv: no column for a temperature"),
        "{:?}",
        view.files
    );
    // What the page holds of it.
    let mut desk = Desk::new(Vec::new(), None, "a");
    desk.take(DeskAction::Logs(LogsAction::Asked));
    assert_eq!(desk.logs, Some(LogsDesk::Reading));
    desk.take(DeskAction::Logs(LogsAction::Told("{".into())));
    assert_eq!(desk.logs, Some(LogsDesk::Failed));
}
