//! Packs, prices and the counter sheet, as a user fills them in.

use super::hands::van;
use pourcard::app::{
    action::Action,
    counter::{Deal, Owner, Place},
    desk::{Desk, DeskAction},
    import,
    model::{Model, Spot},
    page::Page,
    plain,
    prices::{self, RowFault},
    saved,
    view::{self, Standing},
    words,
};
use pourcard::job::{self, file};

const PRICES: &str = include_str!("../../data/demo/prices.csv");

fn at(place: Place) -> Spot {
    Spot::Counter(place)
}

fn typed(page: &Page, place: Place, text: &str) -> Page {
    page.act(Action::Typed(at(place), text.into()))
}

fn with_pack(page: &Page, owner: Owner, size: &str, price: &str) -> Page {
    let i = pourcard::app::counter::packs(&page.model, owner).len();
    let page = page.act(Action::Dealt(Deal::PackAdded(owner)));
    let page = typed(&page, Place::PackSize(owner, i), size);
    typed(&page, Place::PackPrice(owner, i), price)
}

fn sheet(page: &Page) -> view::SheetView {
    view::sheet(page, "2026-11-25").unwrap()
}

/// The van needs 1.35 L of concentrate: two litres at 9.90, and 0.65 left.
#[test]
fn a_pack_and_its_price_make_a_sheet() {
    let page = van();
    assert_eq!(view::sheet(&page, "2026-11-25"), None);
    let page = with_pack(&page, Owner::Stock(0), "1", "9,90");
    let page = typed(&page, Place::Currency, "Fr.");
    let sheet = sheet(&page);
    assert_eq!(sheet.standing, Standing::Fresh);
    assert_eq!(
        (sheet.total.as_str(), sheet.date.as_str()),
        ("Fr.\u{a0}19.80", "2026-11-25")
    );
    let take = &sheet.take[0];
    assert_eq!(take.packs, "2\u{a0}×\u{a0}1\u{a0}L");
    assert_eq!(take.left, "0.65\u{a0}L");
    assert_eq!(view::sheet_digest(&page), "Fr.\u{a0}19.80");
    let text = plain::sheet_text(&sheet);
    for words in ["2026-11-25", "19.80", "0.65", "Never open a hot"] {
        assert!(text.contains(words), "{words} is not in\n{text}");
    }
}

#[test]
fn a_half_typed_pack_silences_the_sheet_and_not_the_card() {
    let page = with_pack(&van(), Owner::Stock(0), "1", "9.90");
    let half = page.act(Action::Dealt(Deal::PackAdded(Owner::Stock(0))));
    // A blank row says nothing yet.
    assert_eq!(sheet(&half).standing, Standing::Fresh);
    let half = typed(&half, Place::PackSize(Owner::Stock(0), 1), "5");
    assert_eq!(sheet(&half).standing, Standing::OutOfDate);
    assert_eq!(view::card(&half).standing, Standing::Fresh);
    assert!(!half.draft.is_whole());
    let broken = typed(&half, Place::PackPrice(Owner::Stock(0), 1), "x");
    assert!(
        view::field(&broken, &at(Place::PackPrice(Owner::Stock(0), 1)))
            .error
            .is_some()
    );
    let whole = typed(&half, Place::PackPrice(Owner::Stock(0), 1), "40");
    assert_eq!(sheet(&whole).standing, Standing::Fresh);
    // Nothing was for sale before: the sheet says what it waits for.
    let first = typed(
        &van().act(Action::Dealt(Deal::PackAdded(Owner::Stock(0)))),
        Place::PackSize(Owner::Stock(0), 0),
        "1",
    );
    assert_eq!(sheet(&first).standing, Standing::Blank);
}

#[test]
fn an_amount_that_cannot_be_is_named_beside_its_field() {
    let page = with_pack(&van(), Owner::Stock(0), "1", "9.90");
    let page = page.act(Action::Dealt(Deal::PackAdded(Owner::Stock(0))));
    for (place, text) in [
        (Place::PackPrice(Owner::Stock(0), 0), "9.999"),
        (Place::PackSize(Owner::Stock(0), 0), "5000"),
        (Place::Tax, "120"),
        (Place::RoundTo, "0.001"),
        (Place::Labour, "9.999"),
    ] {
        let wrong = typed(&page, place, text);
        let error = view::field(&wrong, &at(place)).error;
        assert!(
            error.as_ref().is_some_and(|e| e.contains(text)),
            "{place:?}: {error:?}"
        );
        assert_eq!(sheet(&wrong).standing, Standing::OutOfDate);
        assert_eq!(view::card(&wrong).standing, Standing::Fresh, "{place:?}");
    }
}

#[test]
fn what_is_typed_at_the_counter_is_kept_and_exported() {
    let mut page = with_pack(&van(), Owner::Stock(0), "1", "9,90");
    page = with_pack(&page, Owner::Additive, "250", "14.50");
    for (place, text) in [
        (Place::Date, "2026-11-25"),
        (Place::Words, "by \"noon\"\n<b>please</b>"),
        (Place::Currency, "€"),
        (Place::Tax, "7,7"),
        (Place::RoundTo, "0.05"),
        (Place::Hours, "0.5"),
        (Place::Labour, "96"),
    ] {
        page = typed(&page, place, text);
    }
    page = page.act(Action::Dealt(Deal::ChargeAdded));
    page = typed(&page, Place::ChargeName(0), "Disposal");
    page = typed(&page, Place::ChargeAmount(0), "1.20");
    for deal in [
        Deal::ChargedPer(0, file::Per::WasteLitre),
        Deal::Wished(file::Wish::Fewest),
        Deal::TaxIncluded(true),
        Deal::RoundedBy(file::RoundBy::Up),
        Deal::DecimalsChosen(2),
    ] {
        page = page.act(Action::Dealt(deal));
    }
    let kept = saved::decode(&saved::encode(&page.model)).unwrap();
    assert_eq!(&kept, &*page.model);
    let written = job::write(&page.draft.job);
    let read = job::read(&written).unwrap();
    let again = Page::new(import::model(&read));
    assert_eq!(again.draft.job, page.draft.job);
    assert_eq!(sheet(&again).total, sheet(&page).total);
    // Half-typed comes back half-typed.
    let half = typed(&page, Place::PackPrice(Owner::Stock(0), 0), "9,9,");
    assert_eq!(
        &saved::decode(&saved::encode(&half.model)).unwrap(),
        &*half.model
    );
}

#[test]
fn a_pack_keeps_its_label_when_the_units_change() {
    let page = with_pack(&van(), Owner::Stock(0), "1", "9.90");
    let us = page.act(Action::UnitsChosen(pourcard::app::choice::System::Us));
    assert_eq!(
        view::field(&us, &at(Place::PackSize(Owner::Stock(0), 0))).text,
        "1"
    );
    assert_eq!(sheet(&us).total, "19.80");
}

fn with_prices(text: &str) -> Desk {
    let mut desk = Desk::new(Vec::new(), None, "first").act(DeskAction::Example("example".into()));
    desk.take(DeskAction::PricesImported(text.to_owned()));
    desk
}

#[test]
fn the_demo_prices_are_all_read() {
    let desk = with_prices(PRICES);
    assert_eq!(desk.prices.len(), PRICES.lines().count() - 1);
    assert!(desk.price_report.refused.is_empty() && desk.price_report.passed_over.is_empty());
    let again = prices::read(&desk.price_record().unwrap());
    assert_eq!(again.articles, desk.prices);
}

#[test]
fn an_article_goes_on_the_shelf_with_its_packs() {
    let mut desk = with_prices(PRICES);
    for packs in prices::articles(&desk.prices) {
        let packs: Vec<_> = packs.iter().map(|&i| desk.prices[i].clone()).collect();
        if packs[0].name != "Orchard concentrate, food-safe" {
            desk.take(DeskAction::On(Action::Dealt(Deal::ArticleTaken(packs))));
        }
    }
    // The demo's own stocks have their names: no row was added.
    assert_eq!(desk.page.model.shelf.len(), Model::demo().shelf.len());
    let sheet = sheet(&desk.page);
    assert_eq!(sheet.standing, Standing::Fresh);
    let packs: Vec<&str> = sheet.take.iter().map(|t| t.packs.as_str()).collect();
    assert_eq!(
        packs,
        ["2\u{a0}×\u{a0}1\u{a0}L", "1\u{a0}×\u{a0}250\u{a0}mL"]
    );
    // 2 · 7.90 and 14.50.
    assert_eq!(sheet.total, "30.30");
}

#[test]
fn refused_rows_are_named_by_their_line_and_the_rest_is_taken() {
    let text = "name;Kind;percent;glycol;size;unit;price;shelf\r\n\
        Concentrate;coolant;100;ethylene;5;L;33,50;A\r\n\
        ;coolant;100;ethylene;5;L;33,50;A\r\n\
        Premix;coolant;150;ethylene;5;L;19,80;A\r\n\
        Premix;coolant;50;sugar;5;L;19,80;A\r\n\
        Premix;juice;50;ethylene;5;L;19,80;A\r\n\
        Premix;coolant;50;ethylene;5;gal;19,80;A\r\n\
        Premix;coolant;50;ethylene;5;L;cheap;A\r\n\
        Concentrate;coolant;100;ethylene;5;l;12;A\r\n\
        Water;water;;;1,5;US gal;-2;B\r\n\
        Water;water;;;1,5;US gal;2;B\r\n\
        Premix;coolant;50;ethylene;1;L;7;90;A\r\n\
        \"Open;water;;;1;L;2\r\n";
    let read = prices::read(text);
    let names: Vec<&str> = read.articles.iter().map(|a| a.name.as_str()).collect();
    assert_eq!(names, ["Concentrate", "Water"]);
    assert_eq!(read.articles[0].price, "33,50");
    assert_eq!(read.passed_over, ["shelf"]);
    let faults: Vec<(u32, &RowFault)> = read.refused.iter().map(|r| (r.line, &r.fault)).collect();
    assert!(
        matches!(
            faults[..],
            [
                (3, RowFault::Missing("name")),
                (4, RowFault::Range("percent", _)),
                (5, RowFault::NotAmong("glycol", _)),
                (6, RowFault::NotAmong("kind", _)),
                (7, RowFault::NotAmong("unit", _)),
                (8, RowFault::Number("price", _)),
                (9, RowFault::Again(2)),
                (10, RowFault::Range("price", _)),
                (12, RowFault::Cells),
                (13, RowFault::OpenQuote),
            ]
        ),
        "{faults:?}"
    );
    for refused in &read.refused {
        let words = words::refused_row(refused);
        assert!(words.contains(&format!("Line {}", refused.line)), "{words}");
    }
    // A table of something else is left alone.
    let none = prices::read("a,b\n1,2");
    assert!(none.articles.is_empty() && none.missing.len() == 7);
}

#[test]
fn importing_renews_prices_drops_nothing_and_can_be_taken_back() {
    let mut desk = with_prices(PRICES);
    let before = desk.prices.clone();
    let dearer = "name,kind,percent,glycol,size,unit,price\nPremix,coolant,50,ethylene,5,L,21.50\nTap water,water,,,10,L,0\n";
    desk.take(DeskAction::PricesImported(dearer.into()));
    assert_eq!(desk.prices.len(), before.len() + 1);
    assert!(
        desk.prices
            .iter()
            .any(|a| a.name == "Premix" && a.price == "21.50")
    );
    desk.take(DeskAction::PricesUndone);
    assert_eq!(desk.prices, before);
    desk.take(DeskAction::PricesEmptied);
    assert_eq!(desk.price_record(), None);
    desk.take(DeskAction::PricesUndone);
    assert_eq!(desk.prices, before);
}

#[test]
fn a_name_never_becomes_a_formula_and_comes_back_as_it_was() {
    let text = "name,kind,percent,glycol,size,unit,price\n\"'=1+1\",water,,,1,L,1\n\"<b>x</b>, \"\"y\"\"\",water,,,1,L,2\n";
    let list = prices::read(text).articles;
    assert_eq!(list[0].name, "=1+1");
    let written = prices::write(&list);
    assert!(
        written.contains("'=1+1") && !written.contains("\n=1+1"),
        "{written}"
    );
    assert_eq!(prices::read(&written).articles, list);
}

#[test]
fn a_quote_left_open_spoils_its_own_row_only() {
    let head = "name,kind,percent,glycol,size,unit,price\n";
    let good = |n: u32| ["Tin ", &n.to_string(), ",water,,,5,L,3\n"].concat();
    for (odd, line) in [
        ("\"Can,water,,,5,L,4\n".to_owned(), 3),
        // Closed by a quote of another row: an inch, a quoted name, a quoted price.
        (
            ["\"Can,water,,,5,L,4\n", "Pail 5\",water,,,5,L,4\n"].concat(),
            3,
        ),
        (
            ["\"Can,water,,,5,L,4\n", "\"Pail\",water,,,5,L,4\n"].concat(),
            3,
        ),
        (
            ["\"Can,water,,,5,L,4\n", "Pail,water,,,5,L,\"4\"\n"].concat(),
            3,
        ),
    ] {
        let text = [head, &good(1), &odd, &good(2)].concat();
        let read = prices::read(&text);
        let lines: Vec<u32> = read.refused.iter().map(|r| r.line).collect();
        assert_eq!(lines, [line], "{text}");
        let names: Vec<&str> = read.articles.iter().map(|a| a.name.as_str()).collect();
        assert_eq!(
            (names[0], *names.last().unwrap()),
            ("Tin 1", "Tin 2"),
            "{text}"
        );
        assert_eq!(names.len(), odd.lines().count() + 1, "{text}");
    }
}

#[test]
fn a_name_with_a_control_comes_back_as_it_was() {
    for name in [
        "Tin\u{202e}",
        "\u{2069}\u{200f}Tin",
        "\u{5de}\u{5d9}\u{5dd}",
        "Tin\\u202E",
        "a\\b",
    ] {
        let mut list =
            prices::read("name,kind,percent,glycol,size,unit,price\nTin,water,,,5,L,3\n").articles;
        list[0].name = name.to_owned();
        let written = prices::write(&list);
        assert!(
            !written.contains(['\u{202e}', '\u{2069}', '\u{200f}', '\u{2068}']),
            "{written:?}"
        );
        assert_eq!(prices::read(&written).articles, list);
    }
}
