//! What goes on papers: the quote's head, the service record.

use super::hands::{Hands, van};
use pourcard::app::{
    action::Action,
    counter::{PAPERS, Place},
    model::Spot,
    page::Page,
    view,
};

fn said(page: Page, key: &str, text: &str) -> Page {
    let place = PAPERS.iter().position(|paper| *paper == key).unwrap();
    page.does(Action::Typed(
        Spot::Counter(Place::Paper(place)),
        text.into(),
    ))
}

#[test]
fn the_record_says_what_was_worked_on_and_the_quote_whose_it_is() {
    let page = said(van(), "plate", "B 123");
    let page = said(page, "technician", "M. Baker");
    let page = said(page, "phone", "555 0100");
    let page = said(page, "valid-until", "2026-12-24");
    let record = view::after(&page).record;
    let lines: Vec<String> = record.iter().flat_map(|(_, lines)| lines.clone()).collect();
    for line in ["Plate: B 123", "Technician: M. Baker"] {
        assert!(lines.iter().any(|l| l == line), "{lines:?}");
    }
    assert!(
        !lines.iter().any(|l| l.contains("555")),
        "the customer's own"
    );
    let deal = pourcard::app::counter::Deal::Wanted(0, 1.0);
    let sheet = view::sheet(&page.does(Action::Dealt(deal)), "2026-11-29").unwrap();
    let facts = [
        ("Phone", "555 0100".to_owned()),
        ("Valid until", "2026-12-24".to_owned()),
    ];
    assert_eq!(sheet.facts, facts);
}
