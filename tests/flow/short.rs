//! Where there is no plan: what is in there now, how far all that is on hand gets, and what would do it.

use super::hands::{Hands, card, empty, plain};
use pourcard::app::{
    action::{Action, Pick},
    choice::{AimBy, DrainBy, ReadingBy, System},
    counter::Deal,
    field::Field,
    model::Spot,
    page::Page,
    view::{self, Standing},
};

/// 10 L of plain water at the mark that all come out, to be 50 %, with 3 L of concentrate and enough water.
fn three_of_five() -> Page {
    empty()
        .types(Field::Volume, "10")
        .picks(Pick::Reading(ReadingBy::Water))
        .picks(Pick::Aim(AimBy::Percent))
        .picks(Pick::Drain(DrainBy::Dry))
        .types(Field::AimPercent, "50")
        .types(Field::Coldest, "-25")
        .does(Action::StockTicked(0))
        .does(Action::Typed(Spot::StockHave(0), "3".into()))
        .does(Action::StockTicked(2))
}

/// Litres in "2.00 L of …".
fn first_number(text: &str) -> f64 {
    text.split(' ').next().unwrap().parse().unwrap()
}

#[test]
fn a_refusal_says_how_far_all_gets_and_what_more_would_do() {
    let page = three_of_five();
    let card = card(&page);
    let refusal = card.refusal.unwrap();
    // 3 L of concentrate in 10 L are 30 %; ASHRAE's table has 30 vol% ethylene at -15.7 °C (29.6 at -15.4 by interpolation).
    let best = plain(refusal.best.as_ref().unwrap());
    assert!(
        best.starts_with("All you have gets it to 30 %")
            || best.starts_with("All you have gets it to 31 %"),
        "{best}"
    );
    assert!(
        best.contains("(protects to −15 °C)") || best.contains("(protects to −16 °C)"),
        "{best}"
    );
    // 50 %, give or take the point that counts as there, is 4.9 to 5.1 L; mixing shrinks by up to 0.16 L in 10 (the
    // handbook's densities), which takes up to 0.08 L more. 3 L are there; jugs are marked in 50 mL.
    let more = plain(refusal.more.as_ref().unwrap());
    assert!(
        more.ends_with(" L of concentrate more would do it."),
        "{more}"
    );
    assert!((1.85..=2.2).contains(&first_number(&more)), "{more}");
    // The verdict stands over it: plain water freezes at 0 °C.
    let verdict = card.verdict.unwrap();
    assert_eq!(plain(&verdict.lines[0].1), "protects to 0 °C");
}

#[test]
fn what_would_do_it_does_it_and_less_by_a_tenth_does_not() {
    let page = three_of_five();
    let short = card(&page).refusal.unwrap().buy.unwrap();
    assert_eq!(short.row, 0);
    let with = |litres: f64| {
        let have = format!("{:.3}", 3.0 + litres);
        card(&page.act(Action::Typed(Spot::StockHave(0), have)))
    };
    assert!(with(short.litres).refusal.is_none());
    assert!(with(short.litres * 0.9).refusal.is_some());
}

#[test]
fn use_all_is_one_tap_and_is_judged_by_the_same_night() {
    let page = three_of_five();
    let percent = card(&page).refusal.unwrap().settle.unwrap();
    let settled = page.does(Action::SettledFor(percent));
    let card = card(&settled);
    assert_eq!((card.standing, card.refusal), (Standing::Fresh, None));
    // All of the 3 L, but for what a measuring step leaves and the point of tolerance (0.1 L in 10).
    let headline: String = card.headline.iter().map(|p| plain(&p.text)).collect();
    let poured = headline.split(" L concentrate").next().unwrap();
    let poured: f64 = poured.rsplit(' ').next().unwrap().parse().unwrap();
    assert!((2.85..=3.0).contains(&poured), "{headline}");
    let verdict = card.verdict.unwrap();
    assert!(
        verdict.bad && verdict.against.starts_with("Not enough"),
        "{}",
        verdict.against
    );
    assert!(settled.can_undo());
}

#[test]
fn what_is_wanting_goes_on_the_list_to_buy_in_one_tap() {
    let page = three_of_five();
    let short = card(&page).refusal.unwrap().buy.unwrap();
    let bought = page.does(Action::Dealt(Deal::Wanted(short.row, short.litres)));
    assert!(card(&bought).refusal.is_none());
    let sheet = view::sheet(&bought, "2026-01-02").unwrap();
    assert_eq!(sheet.standing, Standing::Fresh);
    let take = sheet.take.iter().find(|t| t.name == "Concentrate").unwrap();
    assert!(take.packs.starts_with("1\u{a0}×"), "{}", take.packs);
}

#[test]
fn a_product_that_was_not_ticked_may_be_what_is_wanting() {
    // Water alone cannot make 50 % of water; the concentrate that is offered can.
    let page = empty()
        .types(Field::Volume, "10")
        .picks(Pick::Reading(ReadingBy::Water))
        .picks(Pick::Drain(DrainBy::Dry))
        .types(Field::Coldest, "-25")
        .does(Action::StockTicked(2))
        .does(Action::UnitsChosen(System::Metric));
    let refusal = card(&page).refusal.unwrap();
    assert!(plain(&refusal.more.unwrap()).contains("of concentrate more would do it"));
    let short = refusal.buy.unwrap();
    let bought = page.does(Action::Dealt(Deal::Wanted(short.row, short.litres)));
    assert!(card(&bought).refusal.is_none());
}
