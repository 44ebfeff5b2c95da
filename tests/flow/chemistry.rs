//! Supplements, families and coolant tests on the page: typed, chosen, kept, and found again in the job file.

use crate::hands::*;
use pourcard::app::{
    action::{Action, Pick},
    choice::{Brings, DoseBy, LimitBy, Purpose, RateBy, TestOf},
    field::{Field, Unit},
    model::Spot,
    page::Page,
    saved,
};
use pourcard::job::{
    self,
    file::{AdditiveKind, Rate, Share, Substance, Supplement},
    units::LevelUnit,
};

/// The van, dosed by a nitrite test that reads 600 mg/L as sodium nitrite, to be 1200 and no more than 2000.
fn by_test() -> Page {
    let mg_per_l = |page: Page, field| {
        page.does(Action::UnitChosen(
            Spot::Loop(field),
            Unit::Level(LevelUnit::MgPerL),
        ))
    };
    let page = van()
        .picks(Pick::Dose(DoseBy::Some))
        .picks(Pick::Rate(RateBy::Level))
        .picks(Pick::TestOf(TestOf::NaNo2))
        .picks(Pick::Limit(LimitBy::Level));
    mg_per_l(page, Field::LevelNow)
        .types(Field::LevelNow, "600")
        .types(Field::LevelAim, "1200")
        .types(Field::LevelRaises, "50")
        .types(Field::LimitLevel, "2000")
}

/// What a page is once it was kept and opened again, and once it was written to a file and read.
fn again(page: &Page) -> [job::file::Job; 2] {
    let kept = saved::decode(&saved::encode(&page.model)).expect("kept");
    let text = pourcard::app::draft::file(&page.draft).expect("whole");
    let read = job::read(&text).expect("read");
    let imported = Page::new(pourcard::app::import::model(&read));
    [Page::new(kept), imported].map(|page| page.draft.job.clone())
}

#[test]
fn a_supplement_is_typed_kept_and_written() {
    let page = by_test()
        .picks(Pick::Purpose(Purpose::ForOrganicAcid))
        .does(Action::StockBringsChosen(0, Brings::No2))
        .does(Action::UnitChosen(
            Spot::StockLevel(0),
            Unit::Level(LevelUnit::Ppm),
        ))
        .does(Action::Typed(Spot::StockLevel(0), "900".into()))
        .does(Action::StockBringsChosen(1, Brings::None));
    for job in [page.draft.job.clone()].into_iter().chain(again(&page)) {
        let additive = job.loops[0].additive.as_ref().unwrap();
        assert_eq!(additive.kind, Some(AdditiveKind::Supplement));
        assert_eq!(additive.for_organic_acid, Some(true));
        for rate in [additive.rate, additive.limit.unwrap()] {
            let Rate::Reading { now, of, .. } = rate else {
                panic!("{rate:?}")
            };
            assert_eq!(of, Some(Substance::NaNo2));
            assert_eq!((now.value, now.unit), (600.0, LevelUnit::MgPerL));
        }
        let supplement = |i: usize| job.shelf[i].supplement;
        let level = Supplement::Level {
            value: 900.0,
            unit: LevelUnit::Ppm,
            of: Some(Substance::No2),
        };
        assert_eq!(supplement(0), Some(level));
        assert_eq!(supplement(1), Some(Supplement::None {}));
        assert_eq!(supplement(2), None);
    }
    let shown = plain(&card(&page).totals);
    assert!(
        shown.contains("supplement test should read") && shown.contains("mg/L"),
        "{shown}"
    );
    assert!(shown.contains("is old coolant"), "{shown}");
}

/// A level that is chosen and not typed is asked for; of another test than the additive's it is refused.
#[test]
fn a_level_is_asked_for_and_must_be_of_one_test() {
    let asked = by_test().does(Action::StockBringsChosen(0, Brings::NaNo2));
    let spots: Vec<_> = asked.draft.shelf.iter().map(|p| &p.spot).collect();
    assert!(spots.contains(&&Spot::StockLevel(0)), "{spots:?}");
    let other = by_test()
        .does(Action::StockBringsChosen(0, Brings::Molybdate))
        .does(Action::Typed(Spot::StockLevel(0), "100".into()));
    let refused = card(&other).refusal.expect("refused");
    assert!(refused.text.contains("Concentrate"), "{}", refused.text);
}

#[test]
fn tests_of_the_coolant_and_other_chemistry_are_written() {
    let page = van()
        .types(Field::Ph, "6.5")
        .types(Field::PhLow, "7.5")
        .types(Field::Reserve, "4")
        .types(Field::Foreign, "10");
    for job in [page.draft.job.clone()].into_iter().chain(again(&page)) {
        let lp = &job.loops[0];
        let test = lp.coolant_test.unwrap();
        assert_eq!(
            (test.ph, test.ph_low, test.ph_high),
            (Some(6.5), Some(7.5), None)
        );
        assert_eq!(test.reserve_alkalinity, Some(4.0));
        assert_eq!(lp.foreign_limit, Some(Share { fraction: 0.1 }));
    }
    let words: Vec<_> = card(&page)
        .cautions
        .iter()
        .map(|c| plain(&c.text))
        .collect();
    assert!(
        words.iter().any(|w| w.contains("pH is 6.5, the limit 7.5")),
        "{words:?}"
    );
    assert!(
        words.iter().all(|w| !w.contains("reserve alkalinity")),
        "{words:?}"
    );
    assert_eq!(van().draft.job.loops[0].coolant_test, None);
}

/// Bottles as the limit, and down to where one goes in whole.
#[test]
fn bottles_up_to_so_much() {
    let page = van()
        .picks(Pick::Dose(DoseBy::Some))
        .picks(Pick::Rate(RateBy::Bottle))
        .types(Field::BottleSize, "300")
        .types(Field::TreatsTo, "12")
        .types(Field::WholeDownTo, "60")
        .picks(Pick::Limit(LimitBy::Bottle))
        .types(Field::LimitBottle, "300")
        .types(Field::LimitTreats, "10");
    for job in [page.draft.job.clone()].into_iter().chain(again(&page)) {
        let additive = job.loops[0].additive.as_ref().unwrap();
        let Rate::Bottle { whole_down_to, .. } = additive.rate else {
            panic!("{:?}", additive.rate)
        };
        assert_eq!(whole_down_to, Some(Share { fraction: 0.6 }));
        let Some(Rate::Bottle { treats_to, .. }) = additive.limit else {
            panic!("{:?}", additive.limit)
        };
        assert!((treats_to.value - 10.0).abs() < 1e-9);
    }
}
