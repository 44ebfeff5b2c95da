//! The fleet on the page: a table chosen, planned slice by slice, rows in sight, a row opened.

use pourcard::app::{
    desk::{Desk, DeskAction, Tidings},
    fleet::{FleetAction, FleetView, ROWS, SLICE},
};
use pourcard::job;

const JOB: &str = include_str!("../../data/demo/orchard_fleet.json");
const TABLE: &str = include_str!("../../data/demo/orchard_fleet.csv");

fn orchard() -> Desk {
    let files = vec![("orchard.json".into(), JOB.into(), "1".into())];
    Desk::new(Vec::new(), None, None).act(DeskAction::Imported(files))
}

fn does(desk: &Desk, action: FleetAction) -> Desk {
    desk.act(DeskAction::Fleet(action))
}

fn chosen(desk: &Desk, table: &str) -> Desk {
    let desk = does(desk, FleetAction::Shown(true));
    does(&desk, FleetAction::Chosen("fleet.csv".into(), table.into()))
}

fn finished(mut desk: Desk) -> Desk {
    while desk.fleet.as_ref().unwrap().running {
        desk.take(DeskAction::Fleet(FleetAction::Due));
    }
    desk
}

fn view(desk: &Desk) -> FleetView {
    let system = desk.page.model.system;
    desk.fleet.as_ref().unwrap().view(system).unwrap()
}

/// The orchard's rows, over and over.
fn many(rows: usize) -> String {
    let (head, list) = TABLE.split_once('\n').unwrap();
    let list: Vec<&str> = list.lines().collect();
    let rows: Vec<&str> = list.iter().copied().cycle().take(rows).collect();
    [head, &rows.join("\n")].join("\n")
}

#[test]
fn the_page_s_fleet_is_the_command_s() {
    let desk = finished(chosen(&orchard(), TABLE));
    let told = job::fleet::Fleet::planned(&job::read(JOB).unwrap(), TABLE.into()).unwrap();
    assert_eq!(desk.fleet.as_ref().unwrap().csv().unwrap(), told.csv());
    let shown = view(&desk);
    assert_eq!(
        shown.told,
        "12 to do, 1 with nothing to do, 1 without a plan, 4 refused."
    );
    assert_eq!(
        (shown.rows.len(), shown.report.len(), shown.more),
        (18, 4, 0)
    );
    for row in &shown.rows {
        let cells = if row.wrong {
            1
        } else {
            shown.headings.len() - 2
        };
        assert_eq!(row.cells.len(), cells, "{row:?}");
    }
    let buy = shown
        .totals
        .iter()
        .find(|(name, _)| name == "Packs of Concentrate");
    assert_eq!(buy.unwrap().1, "1 × 20 L, 2 × 5 L");
}

#[test]
fn it_goes_by_slices_and_can_be_left_off() {
    let desk = chosen(&orchard(), &many(8 * SLICE));
    assert!(desk.fleet.as_ref().unwrap().running);
    assert_eq!(view(&desk).percent, 1, "only the heading is read");
    let mut desk = does(&desk, FleetAction::Due);
    assert!(!desk.fleet.as_mut().unwrap().is_due(), "not at every slice");
    let shown = view(&desk);
    assert!(
        shown.percent > 10 && shown.percent < 15,
        "{}",
        shown.percent
    );
    assert!(shown.totals.is_empty(), "sums stand when it is done");
    let stopped = does(&desk, FleetAction::Stopped);
    assert!(!stopped.fleet.as_ref().unwrap().running);
    assert!(view(&stopped).report[0].contains("stopped"));
    assert!(!view(&stopped).totals.is_empty());
    let mut whole = finished(desk);
    assert!(whole.fleet.as_mut().unwrap().is_due(), "drawn at the end");
    let shown = view(&whole);
    assert_eq!(shown.percent, 100);
    assert_eq!(
        shown.range,
        ["Rows 1 to ", &ROWS.to_string(), " of 200"].concat()
    );
}

#[test]
fn rows_are_turned_like_pages() {
    let desk = finished(chosen(&orchard(), &many(ROWS + 7)));
    let first = view(&desk);
    assert_eq!((first.earlier, first.later), (None, Some(ROWS)));
    let desk = does(&desk, FleetAction::Turned(ROWS));
    let second = view(&desk);
    assert_eq!(
        (second.earlier, second.later, second.rows.len()),
        (Some(0), None, 7)
    );
    let desk = does(&desk, FleetAction::Turned(usize::MAX));
    assert_eq!(view(&desk), second);
}

#[test]
fn a_row_is_opened_beside_what_was_there() {
    let desk = finished(chosen(&orchard(), TABLE));
    let opened = desk.act(DeskAction::FleetRow(3, "9".into()));
    assert_eq!(opened.page.model.title, "Vineyard tractor");
    assert_eq!(opened.kept.len(), 1);
    assert!(matches!(
        opened.tidings,
        Some(Tidings::Imported { jobs: 1, .. })
    ));
    assert!(opened.fleet.is_some());
    let refused = desk.act(DeskAction::FleetRow(16, "9".into()));
    assert_eq!(
        refused.open, desk.open,
        "a row that could not be read opens nothing"
    );
}

#[test]
fn a_table_that_will_not_do_says_why() {
    let refused = |desk: &Desk| desk.fleet.as_ref().unwrap().refused.clone().unwrap();
    assert!(refused(&chosen(&orchard(), "a,b\n1,2")).contains("no column volume"));
    let empty = Desk::new(Vec::new(), None, Some("7".into()));
    assert!(refused(&chosen(&empty, TABLE)).contains("what there is to pour"));
    let closed = does(&chosen(&orchard(), TABLE), FleetAction::Shown(false));
    assert!(closed.fleet.is_none());
    assert!(does(&closed, FleetAction::Due).fleet.is_none());
}
