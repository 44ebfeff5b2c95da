//! The fleet on the page: a table chosen, planned slice by slice in the background, rows in sight, a row opened.

use pourcard::app::{
    action::Action,
    choice::System,
    desk::{Desk, DeskAction, Tidings},
    fleet::{
        FleetAction, FleetDesk,
        message::FleetView,
        planner::{Planner, ROWS, SLICE},
    },
};
use pourcard::job;

const JOB: &str = include_str!("../../data/demo/orchard_fleet.json");
const TABLE: &str = include_str!("../../data/demo/orchard_fleet.csv");

fn orchard() -> Desk {
    let files = vec![("orchard.json".into(), JOB.into(), "1".into())];
    Desk::new(Vec::new(), None, "example").act(DeskAction::Imported(files))
}

/// The page, and the planner that the browser would run in a thread of its own.
struct Page {
    desk: Desk,
    planner: Planner,
    /// What the planner told and the page has not heard yet.
    told: Vec<(String, Option<String>)>,
}

impl Page {
    fn new(desk: Desk) -> Self {
        let mut page = Self {
            desk,
            planner: Planner::default(),
            told: Vec::new(),
        };
        page.does(FleetAction::Shown(true));
        page
    }

    fn acts(&mut self, action: DeskAction) {
        self.desk.take(action);
        let orders = self.desk.fleet.as_mut().map(FleetDesk::orders);
        for (order, table) in orders.into_iter().flatten() {
            let told = self.planner.take(&order, table);
            self.told.push((told, self.planner.csv()));
        }
    }

    fn does(&mut self, action: FleetAction) {
        self.acts(DeskAction::Fleet(action));
    }

    fn hears(&mut self) {
        while !self.told.is_empty() {
            let (told, csv) = self.told.remove(0);
            self.does(FleetAction::Told(told, csv));
        }
    }

    fn chooses(&mut self, table: &str) {
        self.does(FleetAction::Chosen("fleet.csv".into(), table.into()));
        self.hears();
    }

    fn goes_on(&mut self) {
        let told = self.planner.go_on();
        self.does(FleetAction::Told(told, None));
    }

    fn finishes(&mut self) {
        while self.planner.runs() {
            self.goes_on();
        }
    }

    fn fleet(&mut self) -> &mut FleetDesk {
        self.desk.fleet.as_mut().unwrap()
    }

    fn view(&self) -> FleetView {
        self.desk.fleet.as_ref().unwrap().view.clone().unwrap()
    }
}

fn finished(table: &str) -> Page {
    let mut page = Page::new(orchard());
    page.chooses(table);
    page.finishes();
    page
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
    let mut page = finished(TABLE);
    let told = job::fleet::Fleet::planned(&job::read(JOB).unwrap(), TABLE.into()).unwrap();
    page.does(FleetAction::Wanted);
    page.hears();
    assert_eq!(page.fleet().csv().unwrap(), told.csv());
    assert_eq!(page.fleet().csv(), None, "handed out once");
    let shown = page.view();
    assert_eq!(
        shown.told,
        "12 to do, 1 with nothing to do, 1 without a plan, 4 need fixing."
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
        .find(|total| total.name == "Packs of Concentrate");
    assert_eq!(buy.unwrap().amount, "1 × 20 L, 2 × 5 L");
}

#[test]
fn it_goes_by_slices_and_can_be_left_off() {
    let rows = 8 * SLICE;
    let mut page = Page::new(orchard());
    page.chooses(&many(rows));
    assert!(page.fleet().running);
    assert_eq!(page.view().percent, 0, "only the heading is read");
    page.goes_on();
    let shown = page.view();
    assert!(
        shown.percent > 10 && shown.percent < 15,
        "{}",
        shown.percent
    );
    assert!(shown.totals.is_empty(), "sums stand when it is done");
    page.does(FleetAction::Stopped);
    page.hears();
    assert!(!page.fleet().running);
    assert!(page.view().report[0].contains("stopped"));
    assert!(
        page.view().totals.is_empty(),
        "no sums of a part, which would look like those of the whole"
    );
    assert!(page.view().told.contains("stopped before the end"));
    let whole = finished(&many(rows)).view();
    assert_eq!(whole.percent, 100);
    let expected = ["Rows 1 to ", &ROWS.to_string(), " of ", &rows.to_string()].concat();
    assert_eq!(whole.range, expected);
}

#[test]
fn rows_are_turned_like_pages() {
    let mut page = finished(&many(ROWS + 7));
    let first = page.view();
    let next = ROWS as u32;
    assert_eq!((first.earlier, first.later), (None, Some(next)));
    page.does(FleetAction::Turned(next));
    page.hears();
    let second = page.view();
    assert_eq!(
        (second.earlier, second.later, second.rows.len()),
        (Some(0), None, 7)
    );
    page.does(FleetAction::Turned(u32::MAX));
    page.hears();
    assert_eq!(page.view(), second);
}

#[test]
fn it_speaks_the_units_of_the_page() {
    let mut page = finished(TABLE);
    let litres = page.view();
    page.acts(DeskAction::On(Action::UnitsChosen(System::Us)));
    page.hears();
    let quarts = page.view();
    assert!(litres.rows[0].cells.iter().any(|c| c.ends_with("\u{a0}L")));
    assert!(quarts.rows[0].cells.iter().all(|c| !c.ends_with("\u{a0}L")));
    assert_eq!(litres.told, quarts.told);
}

#[test]
fn what_is_told_of_the_table_before_is_not_heard() {
    let mut page = Page::new(orchard());
    page.does(FleetAction::Chosen("one.csv".into(), many(5)));
    let late = page.told.remove(0);
    page.chooses(&many(7));
    page.finishes();
    let shown = page.view();
    page.does(FleetAction::Told(late.0, late.1));
    assert_eq!(page.view(), shown);
}

#[test]
fn a_row_is_opened_beside_what_was_there() {
    let mut page = finished(TABLE);
    let before = page.desk.open.clone();
    page.acts(DeskAction::FleetRow(16, "9".into()));
    page.hears();
    assert_eq!(
        page.desk.open, before,
        "a row that could not be read opens nothing"
    );
    page.acts(DeskAction::FleetRow(3, "9".into()));
    page.hears();
    assert_eq!(page.desk.page.model.title, "Vineyard tractor");
    assert_eq!((&*page.desk.open, page.desk.kept.len()), ("9", 1));
    assert!(matches!(
        page.desk.tidings,
        Some(Tidings::Imported { jobs: 1, .. })
    ));
    assert!(page.desk.fleet.is_some());
}

#[test]
fn a_table_that_will_not_do_says_why() {
    let refused = |desk: Desk, table: &str| {
        let mut page = Page::new(desk);
        page.chooses(table);
        assert!(!page.fleet().running);
        page.fleet().refused.clone().unwrap()
    };
    assert!(refused(orchard(), "a,b\n1,2").contains("no column volume"));
    let empty = Desk::new(Vec::new(), None, "example").act(DeskAction::Empty("7".into()));
    assert!(refused(empty, TABLE).contains("what you have"));
    let mut page = Page::new(orchard());
    page.chooses(TABLE);
    page.does(FleetAction::Failed);
    assert!(!page.fleet().running && page.fleet().view.is_none());
    assert!(page.fleet().refused.as_ref().unwrap().contains("Reload"));
    page.does(FleetAction::Shown(false));
    assert!(page.desk.fleet.is_none());
}
