//! Signs: what is hardly meant above zero is asked about in place; what was read is shown as it was read.

use super::hands::{Hands, card, empty, plain};
use pourcard::app::{
    action::{Action, Pick},
    choice::{ReadingBy, System},
    field::Field,
    model::Spot,
    page::Page,
    view,
};

fn asks(page: &Page, field: Field) -> Option<String> {
    view::field(page, &Spot::Loop(field)).ask
}

#[test]
fn a_low_above_five_degrees_asks_whether_it_was_meant_below_zero() {
    let typed = |text: &str| empty().types(Field::Coldest, text);
    assert_eq!(asks(&typed("25"), Field::Coldest).unwrap(), "\u{2212}25?");
    for text in ["5", "0", "-25", "", "2x"] {
        assert_eq!(asks(&typed(text), Field::Coldest), None, "{text}");
    }
    let turned = typed("25").does(Action::SignTurned(Spot::Loop(Field::Coldest)));
    assert_eq!(
        turned.model.current().entries.get(Field::Coldest).text(),
        "\u{2212}25"
    );
    assert_eq!(asks(&turned, Field::Coldest), None);
    // 25 °F is a frost.
    let us = empty()
        .does(Action::UnitsChosen(System::Us))
        .types(Field::Coldest, "25");
    assert_eq!(asks(&us, Field::Coldest), None);
    let frost = empty()
        .picks(Pick::Reading(ReadingBy::Frost))
        .types(Field::Frost, "18");
    assert_eq!(asks(&frost, Field::Frost).unwrap(), "\u{2212}18?");
}

#[test]
fn a_reading_is_shown_as_it_was_read() {
    for read in ["-18", "-27", "-35"] {
        let page = empty()
            .types(Field::Volume, "8.4")
            .types(Field::Missing, "0.6")
            .picks(Pick::Reading(ReadingBy::Frost))
            .types(Field::Frost, read)
            .types(Field::Coldest, "-25")
            .does(Action::StockTicked(0));
        let card = card(&page);
        let verdict = card.verdict.unwrap();
        let shown = format!("protects to {} °C", read.replace('-', "\u{2212}"));
        assert_eq!(
            (verdict.lines[0].0, plain(&verdict.lines[0].1)),
            ("Now", shown.clone())
        );
        let short = plain(&verdict.short);
        assert!(short.contains(&shown["protects ".len()..]), "{short}");
        let margins = card.margins.unwrap();
        let row = margins
            .rows
            .iter()
            .find(|r| r.name.starts_with("Freezes at"))
            .unwrap();
        assert!(shown.ends_with(&plain(&row.before)), "{}", row.before);
    }
}
