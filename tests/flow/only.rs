//! Nothing but an additive: its dose without a target, a reading or a product, with the room in the tank judged.

use super::hands::{Hands, card, empty, line, plain};
use pourcard::app::{
    action::{Action, Pick},
    choice::{DoseBy, EarlierDose, LimitBy, RateBy},
    counter::{Deal, Owner, Place},
    draft,
    field::Field,
    form::layout::{self, List},
    import,
    model::Spot,
    page::Page,
    view::{self, Standing},
};

/// So many litres, 30 mL of additive to the litre and 40 at most, in coolant that never had any.
fn only(volume: &str) -> Page {
    empty()
        .picks(Pick::Dose(DoseBy::Only))
        .types(Field::Volume, volume)
        .types(Field::RateRatio, "30")
        .types(Field::LimitRatio, "40")
        .picks(Pick::Earlier(EarlierDose::None))
}

fn cautions(page: &Page) -> String {
    let texts: Vec<_> = card(page).cautions.into_iter().map(|c| c.text).collect();
    plain(&texts.join("\n"))
}

#[test]
fn a_dose_needs_no_target_reading_or_product() {
    // 8.4 L · 30 mL/L are 252 mL, down to what 5 mL marks show; 0.6 L low, so that it and 0.35 L of coolant fill it.
    let page = only("8.4").types(Field::Missing, "0.6");
    let card = card(&page);
    assert_eq!(
        (card.standing, card.needs.as_slice()),
        (Standing::Fresh, [].as_slice())
    );
    assert_eq!(line(&page), "Add 250 mL, pour 0.35 L coolant as is in it");
    assert!(card.verdict.is_none(), "nothing is known of frost");
    assert_eq!(
        card.margins.unwrap().tiles.len(),
        1,
        "and nothing but the level"
    );
    // The file says so, and comes back as it went.
    let file = draft::file(&page.draft).unwrap();
    assert!(
        file.contains("\"only\": true") || file.contains("\"only\":true"),
        "{file}"
    );
    let job = pourcard::job::read(&file).unwrap();
    assert_eq!(
        draft::file(&Page::new(import::model(&job)).draft).unwrap(),
        file
    );
}

#[test]
fn room_in_the_tank_is_judged() {
    // Full: 250 mL come out for it where nobody said what room there is.
    assert_eq!(line(&only("8.4")), "Drain 0.25 L, add 250 mL");
    // From 20 to 105 °C 8.4 L grow by some 0.47 L (ASHRAE's densities at 50 vol%: 1.071 to 1.014); with the 0.25 L on
    // top that is 0.72 L: it fits into 1.2 L, and does not into 0.5 L.
    let with = |room| {
        only("8.4")
            .types(Field::TankRoom, room)
            .types(Field::Peak, "105")
    };
    assert_eq!(line(&with("1.2")), "Add 250 mL");
    assert!(cautions(&with("1.2")).contains("above the mark"));
    assert!(line(&with("0.5")).starts_with("Drain 0.25 L"));
}

#[test]
fn an_unknown_earlier_dose_is_said_in_the_headline() {
    let page = only("8.4").picks(Pick::Earlier(EarlierDose::Unknown));
    assert_eq!(line(&page), "No dose: earlier dose unknown");
    let all = super::hands::van().picks(Pick::Earlier(EarlierDose::Unknown));
    let right = all.types(Field::Percent, "50").types(Field::Missing, "0");
    assert!(
        line(&right).contains("o dose: earlier dose unknown"),
        "{}",
        line(&right)
    );
}

#[test]
fn the_limit_is_not_asked_where_the_labels_range_sets_it() {
    let bottle = |from| {
        only("12")
            .picks(Pick::Rate(RateBy::Bottle))
            .picks(Pick::Limit(LimitBy::Ratio))
            .types(Field::LimitRatio, "")
            .types(Field::BottleSize, "250")
            .types(Field::TreatsFrom, from)
            .types(Field::TreatsTo, "15")
    };
    let asked = |page: &Page| layout::list(&page.model, List::Limit).options.len();
    assert!(asked(&bottle("")) > 0);
    let page = bottle("11");
    assert_eq!(asked(&page), 0);
    // One bottle treats 11 to 15 L, so 12 L get one; 250 mL in 11 L are the most there may be.
    assert!(line(&page).contains("add 250 mL"), "{}", line(&page));
    assert!(!cautions(&page).contains("No label maximum"));
}

#[test]
fn a_second_system_takes_additive_and_cap_of_the_first_and_bottles_count_over_both() {
    let page = only("5")
        .types(Field::Cap, "1.1")
        .does(Action::Dealt(Deal::PackAdded(Owner::Additive)));
    let typed =
        |page: Page, place, text: &str| page.does(Action::Typed(Spot::Counter(place), text.into()));
    let page = typed(page, Place::PackSize(Owner::Additive, 0), "250");
    let page = typed(page, Place::PackPrice(Owner::Additive, 0), "9");
    let page = page
        .does(Action::Typed(Spot::AdditiveName, "Wetting agent".into()))
        .does(Action::LoopAdded);
    let (first, words) = view::alike(&page).unwrap();
    assert_eq!(
        (first, words.as_str()),
        (0, "Same additive and cap as System 1")
    );
    let page = page
        .does(Action::LikeLoop(first))
        .types(Field::Volume, "3")
        .picks(Pick::Earlier(EarlierDose::None));
    assert!(view::alike(&page).is_none());
    assert_eq!(page.model.current().entries.get(Field::Cap).text(), "1.1");
    // 5 L · 30 are 150 mL and 3 L · 30 are 90: 240 mL in all, which is one bottle and not two. What is drained for it
    // is measured in steps of 50 mL.
    assert_eq!(line(&page), "Drain 0.10 L, add 90 mL");
    let sheet = view::sheet(&page, "2026-01-02").unwrap();
    assert_eq!(sheet.standing, Standing::Fresh);
    assert_eq!(plain(&sheet.take[0].packs), "1 × 250 mL");
}
