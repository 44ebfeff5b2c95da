//! Typing: the van from an empty page, broken input, units.

use super::hands::*;
use pourcard::app::{
    action::{Action, Pick},
    choice::{
        AboveMark, AimBy, DoseBy, DrainBy, EarlierDose, LimitBy, RateBy, ReadingBy, System, TankBy,
    },
    draft,
    field::{Field, Unit},
    model::{Model, Spot},
    page::Page,
    saved,
    view::{self, Standing},
};
use pourcard::job::{self, units::VolumeUnit};

#[test]
fn the_example_is_answered() {
    let page = van();
    assert_eq!(
        line(&page),
        "Drain 1.00 L, add 250 mL, pour 1.35 L concentrate"
    );
    let card = card(&page);
    assert_eq!(card.standing, Standing::Fresh);
    let amounts: Vec<_> = card
        .steps
        .iter()
        .filter_map(|s| s.amount.as_deref())
        .map(plain)
        .collect();
    assert_eq!(amounts, ["1.00 L", "250 mL", "1.35 L"]);
    assert!(card.steps[4].note.contains("50.0"), "{:?}", card.steps[4]);
    assert!(card.cautions.iter().all(|c| c.code != "stop"));
}

#[test]
fn the_van_typed_from_an_empty_page_is_the_example() {
    let page = empty()
        .does(Action::Typed(
            Spot::Title,
            "Bakery van, autumn service".into(),
        ))
        .does(Action::Typed(Spot::LoopName, "Engine loop".into()))
        .types(Field::Volume, "8.4")
        .types(Field::VolumeSpread, "0,3")
        .types(Field::Missing, "0.6")
        .types(Field::Percent, "42")
        .types(Field::PercentSpread, "1")
        .picks(Pick::Aim(AimBy::Percent))
        .types(Field::AimPercent, "50")
        .types(Field::Within, "1")
        .types(Field::Coldest, "25")
        .does(Action::SignTurned(Spot::Loop(Field::Coldest)))
        .does(Action::StockTicked(0))
        .does(Action::StockTicked(1))
        .does(Action::StockTicked(2))
        .does(Action::Typed(Spot::StockHave(1), "5".into()))
        .picks(Pick::Drain(DrainBy::Volume))
        .types(Field::DrawLimit, "4.5")
        .picks(Pick::Tank(TankBy::Pressurised))
        .types(Field::TankRoom, "1.2")
        .types(Field::FillTemperature, "20")
        .types(Field::Peak, "105")
        .types(Field::Cap, "1.1")
        .types(Field::Altitude, "350")
        .types(Field::MeasureStep, "50")
        .picks(Pick::Dose(DoseBy::Some))
        .does(Action::Typed(Spot::AdditiveName, "Wetting agent".into()))
        .picks(Pick::Rate(RateBy::Ratio))
        .types(Field::RateRatio, "30")
        .picks(Pick::Limit(LimitBy::Ratio))
        .types(Field::LimitRatio, "40")
        .picks(Pick::Earlier(EarlierDose::None));
    let example = van();
    assert_eq!(page.draft.job, example.draft.job);
    assert_eq!(line(&page), line(&example));
}

#[test]
fn an_empty_page_says_what_is_needed_and_nothing_is_wrong_yet() {
    let page = empty();
    let card = card(&page);
    assert_eq!(card.standing, Standing::Blank);
    assert_eq!(card.needs.len(), 4);
    assert!(page.model.shelf.iter().all(|row| !row.on));
    assert!(Field::ALL.iter().all(|f| error(&page, *f).is_none()));
    assert!(line(&page).starts_with("Still needed"));
}

#[test]
fn a_broken_field_says_so_and_the_old_answer_is_out_of_date() {
    let page = van().types(Field::Volume, "1,234");
    assert!(
        error(&page, Field::Volume)
            .unwrap()
            .contains("1.234 or 1234")
    );
    assert_eq!(text(&page, Field::Volume), "1,234");
    assert_eq!(card(&page).standing, Standing::OutOfDate);
    assert!(!card(&page).headline.is_empty());
    assert!(line(&page).contains("Correct the marked field"));
    let page = page.types(Field::Volume, "8,4");
    assert_eq!(card(&page).standing, Standing::Fresh);
    assert!(error(&page, Field::Volume).is_none());
}

#[test]
fn a_number_half_typed_is_no_error() {
    for text in ["-", ".", "\u{2212}", ""] {
        let page = van().types(Field::Volume, text);
        assert!(error(&page, Field::Volume).is_none(), "{text:?}");
        assert_eq!(card(&page).standing, Standing::OutOfDate, "{text:?}");
    }
}

#[test]
fn a_value_out_of_range_is_an_error_beside_its_field() {
    let far = [
        (Field::Volume, "8400"),
        (Field::Missing, "9"),
        (Field::Percent, "142"),
        (Field::AimPercent, "500"),
        (Field::RateRatio, "3000"),
        (Field::LimitRatio, "4000"),
        (Field::DrawLimit, "-4"),
    ];
    for (field, text) in far {
        let page = van().types(field, text);
        assert!(error(&page, field).is_some(), "{field:?}");
        assert_eq!(card(&page).standing, Standing::OutOfDate, "{field:?}");
        assert!(
            !error(&page, field).unwrap().contains("loops["),
            "{field:?}"
        );
    }
}

/// What surrounds the system is not needed for a plan: the card stands, without what depends on it, and says so.
#[test]
fn what_is_not_needed_for_the_plan_does_not_stop_it() {
    for (field, text) in [
        (Field::Coldest, "\u{2212}250"),
        (Field::Cap, "1100"),
        (Field::Altitude, "35000"),
        (Field::Peak, "250"),
        (Field::TankRoom, "-1"),
    ] {
        let page = van().types(field, text);
        let beside = error(&page, field).unwrap();
        assert!(beside.contains("expected"), "{beside}");
        let card = card(&page);
        assert_eq!(card.standing, Standing::Fresh, "{field:?}");
        let said = |c: &pourcard::app::view::CautionView| {
            c.text.contains(&beside) && c.text.ends_with("left blank.")
        };
        assert!(card.cautions.iter().any(said), "{:?}", card.cautions);
    }
}

/// Above the mark: the ± button, for there is no minus on a telephone's keys; what stands above comes off.
#[test]
fn a_level_above_the_mark_is_typed_with_the_sign_button() {
    let spot = Spot::Loop(Field::Missing);
    let page = van().types(Field::Missing, "0.3");
    assert!(view::field(&page, &spot).signed);
    assert_eq!(view::field(&page, &spot).note, None);
    let page = page.does(Action::SignTurned(spot.clone()));
    assert_eq!(text(&page, Field::Missing), "\u{2212}0.3");
    assert!(view::field(&page, &spot).note.is_some());
    assert!(error(&page, Field::Missing).is_none());
    assert_eq!(card(&page).standing, Standing::Fresh);
    // 8.7 L of 42 % to 8.4 L of 50: by volumes that add, 0.42 (8.7 - d) + p = 4.2 and 8.7 - d + p = 8.4, less 0.25 L of
    // the dose: over a litre and a half comes out.
    let drawn = page
        .current()
        .solved
        .as_ref()
        .unwrap()
        .answer
        .dispose_litres;
    assert!((1.4..2.1).contains(&drawn), "{drawn}");
}

/// What stands in the bottle is asked for behind an overflow bottle only, and is the file's.
#[test]
fn the_overflow_bottle_is_asked_for_where_there_is_one() {
    let page = van();
    let asked = |page: &Page| {
        let fields = [Field::Bottle, Field::BottlePercent];
        pourcard::app::form::layout::asked(page.model.current(), &fields).len()
    };
    assert_eq!(asked(&page), 0);
    let page = page.picks(Pick::Tank(TankBy::RecoveryBottle));
    assert_eq!(asked(&page), 2);
    assert_eq!(page.draft.job.loops[0].bottle, None);
    let page = page
        .types(Field::Bottle, "0.6")
        .types(Field::BottlePercent, "20");
    let bottle = page.draft.job.loops[0].bottle.unwrap();
    assert_eq!(
        (bottle.value, bottle.unit, bottle.percent),
        (0.6, VolumeUnit::L, Some(20.0))
    );
    let said = |page: &Page, word: &str| {
        let texts: Vec<String> = card(page).cautions.into_iter().map(|c| c.text).collect();
        assert!(texts.iter().any(|t| t.contains(word)), "{texts:?}");
    };
    said(&page, "are drawn back");
    let page = page.picks(Pick::Tank(TankBy::Pressurised));
    assert_eq!(page.draft.job.loops[0].bottle, None);
}

/// Where nothing can be drained, the page offers to let the dose stand above the mark, and says by how much it does.
#[test]
fn a_dose_above_the_mark_is_the_user_s_choice() {
    let page = van()
        .types(Field::Missing, "0")
        .types(Field::Percent, "50")
        .picks(Pick::Drain(DrainBy::Volume))
        .types(Field::DrawLimit, "0");
    assert!(line(&page).contains("above the mark"), "{}", line(&page));
    let page = page.picks(Pick::AboveMark(AboveMark::Yes));
    assert_eq!(line(&page), "Add 250 mL");
    let texts: Vec<String> = card(&page)
        .cautions
        .iter()
        .map(|c| plain(&c.text))
        .collect();
    assert!(
        texts
            .iter()
            .any(|t| t.contains("250 mL above the mark") || t.contains("0.25 L above the mark")),
        "{texts:?}"
    );
    assert!(
        page.draft.job.loops[0]
            .additive
            .as_ref()
            .unwrap()
            .above_mark
    );
}

/// A target outside, in as many digits as it takes; a frost no table reaches, in the page's degrees.
#[test]
fn what_is_refused_is_seen_to_be_outside() {
    let page = van().types(Field::AimPercent, "60.4");
    assert!(line(&page).contains("60.4 %"), "{}", line(&page));
    assert!(line(&page).contains("40 and 60 %"), "{}", line(&page));
    let page = van()
        .does(Action::UnitsChosen(System::Us))
        .picks(Pick::Aim(AimBy::Frost))
        .types(Field::AimFrost, "\u{2212}60");
    let said = error(&page, Field::AimFrost).unwrap();
    assert!(
        said.contains("\u{2212}60 \u{b0}F") && said.contains("percent"),
        "{said}"
    );
    assert!(!said.contains("\u{b0}C"), "{said}");
}

#[test]
fn a_broken_second_loop_leaves_the_first_answered() {
    let page = van().does(Action::LoopAdded);
    assert_eq!(page.model.loops.len(), 2);
    assert_eq!(card(&page).standing, Standing::Blank);
    let page = page.types(Field::Volume, "x").does(Action::LoopChosen(0));
    assert_eq!(
        line(&page),
        "Drain 1.00 L, add 250 mL, pour 1.35 L concentrate"
    );
    assert!(!page.draft.is_whole());
    assert!(draft::file(&page.draft).is_none());
}

#[test]
fn units_switch_back_to_the_letter_and_the_job_does_not_drift() {
    let page = van().types(Field::Volume, "8,40");
    let job = page.draft.job.clone();
    let page = page.does(Action::UnitsChosen(System::Us));
    // 8.4 L over 0.946 352 946 L; −25 °C; 1.1 bar over 6.894 757 kPa; 350 m over 0.3048.
    assert_eq!(text(&page, Field::Volume), "8.876");
    assert_eq!(text(&page, Field::Coldest), "\u{2212}13");
    assert_eq!(text(&page, Field::Cap), "15.95");
    assert_eq!(text(&page, Field::Altitude), "1148");
    let page = page
        .does(Action::UnitsChosen(System::Imperial))
        .does(Action::UnitsChosen(System::Metric));
    assert_eq!(text(&page, Field::Volume), "8,40");
    assert_eq!(page.draft.job, job);
}

#[test]
fn one_field_changes_its_unit_by_itself() {
    let spot = Spot::Loop(Field::Volume);
    let page = van().does(Action::UnitChosen(
        spot.clone(),
        Unit::Volume(VolumeUnit::UsGal),
    ));
    // The number typed stays: it was the unit that was wrong.
    assert_eq!(text(&page, Field::Volume), "8.4");
    assert_eq!(text(&page, Field::Missing), "0.6");
    assert_ne!(line(&page), line(&van()));
    let page = page.does(Action::UnitChosen(spot, Unit::Volume(VolumeUnit::L)));
    assert_eq!(text(&page, Field::Volume), "8.4");
    assert_eq!(line(&page), line(&van()));
}

#[test]
fn us_pages_measure_in_us_jugs() {
    let page = van().does(Action::UnitsChosen(System::Us));
    let said = line(&page);
    assert!(
        said.contains("fl oz") && !said.contains("mL") && !said.contains("US"),
        "{said}"
    );
    assert_eq!(
        page.draft.job.loops[0].measure_step.unwrap().unit,
        VolumeUnit::UsFlOz
    );
}

#[test]
fn a_changed_reading_keeps_what_was_typed_for_the_other() {
    let page = van().picks(Pick::Reading(ReadingBy::Water));
    assert!(line(&page).contains("Drain"), "{}", line(&page));
    let page = page.picks(Pick::Reading(ReadingBy::Frost));
    assert_eq!(text(&page, Field::Frost), "");
    assert_eq!(card(&page).standing, Standing::OutOfDate);
    let page = page.picks(Pick::Reading(ReadingBy::Percent));
    assert_eq!(line(&page), line(&van()));
}

#[test]
fn changes_are_taken_back_one_by_one() {
    let page = van()
        .types(Field::Volume, "9")
        .types(Field::Volume, "9.")
        .types(Field::Volume, "9.2")
        .types(Field::Missing, "1");
    let page = page.does(Action::Undone);
    assert_eq!(
        (text(&page, Field::Volume), text(&page, Field::Missing)),
        ("9.2".into(), "0.6".into())
    );
    let page = page.does(Action::Undone);
    assert_eq!(text(&page, Field::Volume), "8.4");
    assert!(!page.can_undo());
}

#[test]
fn what_is_entered_on_the_card_is_planned_on_and_can_be_taken_back() {
    let page = van().does(Action::Typed(Spot::Happened("1".into()), "1.2".into()));
    let shown = card(&page);
    assert!(shown.begun && shown.steps[0].done);
    assert_eq!(plain(shown.steps[0].amount.as_deref().unwrap()), "1.20 L");
    assert!(line(&page).starts_with("Now add"), "{}", line(&page));
    // 0.2 L more came out than was asked for: more goes in.
    assert!(!line(&page).contains("1.35 L"), "{}", line(&page));
    let page = page.does(Action::CardCleared);
    assert_eq!(line(&page), line(&van()));
    let page = van().does(Action::StepTicked("1".into()));
    assert_eq!(line(&page), "Now add 250 mL, pour 1.35 L concentrate");
    let page = page.does(Action::StepTicked("1".into()));
    assert_eq!(line(&page), line(&van()));
}

/// What was ticked is done, whatever is changed on the page afterwards: it never turns into another step's amount.
#[test]
fn an_entry_counts_for_what_it_was_made_for() {
    let ticked = van()
        .does(Action::StepTicked("1".into()))
        .does(Action::StepTicked("2".into()));
    // The card drew 1.00 L and dosed 250 mL. Without the additive, step 2 would be the concentrate.
    let changed = ticked
        .picks(Pick::Dose(DoseBy::None))
        .types(Field::AimPercent, "55");
    let answer = job::answer(&changed.draft.job).loops.remove(0);
    assert!(answer.error.is_none(), "{:?}", answer.error);
    let did: Vec<_> = answer.so_far.iter().map(|s| (s.what, s.litres)).collect();
    use job::answer::Do::{Dose, Draw};
    assert_eq!(did, [(Draw, Some(1.0)), (Dose, Some(0.25))]);
    let ids: Vec<_> = answer
        .so_far
        .iter()
        .chain(&answer.steps)
        .map(|s| &s.id)
        .collect();
    assert!(
        ids.iter().enumerate().all(|(i, id)| !ids[..i].contains(id)),
        "{ids:?}"
    );
    // 55 % of what is left takes another draw.
    assert!(
        line(&changed).starts_with("Now drain"),
        "{}",
        line(&changed)
    );
    let back = changed
        .picks(Pick::Dose(DoseBy::Some))
        .types(Field::AimPercent, "50");
    assert_eq!(line(&back), "Now pour 1.35 L concentrate");
}

/// What was poured, typed first, stands for the draw and the dose as the card said them: no second dose. One tap takes
/// one of them back.
#[test]
fn a_later_step_stands_for_those_before_it() {
    let page = van().does(Action::Typed(Spot::Happened("3".into()), "1.35".into()));
    let shown = card(&page);
    let of = |page: &Page| -> Vec<(bool, bool)> {
        let steps = card(page).steps;
        steps.iter().map(|s| (s.done, s.assumed)).collect()
    };
    assert_eq!(
        of(&page),
        [
            (true, true),
            (true, true),
            (true, false),
            (false, false),
            (false, false)
        ]
    );
    assert!(shown.steps[0].note.starts_with("Assumed done as written"));
    assert_eq!(plain(shown.steps[0].amount.as_deref().unwrap()), "1.00 L");
    assert!(line(&page).starts_with("Now run"), "{}", line(&page));
    // The aim changed afterwards: what stands as done is what the card said then.
    let changed = page.clone().types(Field::AimPercent, "55");
    let answer = job::answer(&changed.draft.job).loops.remove(0);
    let did: Vec<_> = answer
        .so_far
        .iter()
        .map(|s| (s.litres, s.assumed))
        .collect();
    assert_eq!(
        did,
        [(Some(1.0), true), (Some(0.25), true), (Some(1.35), false)]
    );
    // Kept and opened again.
    let record = saved::encode(&page.model);
    let again = Page::new(saved::decode(&record).unwrap());
    assert_eq!(of(&again), of(&page));
    // The dose was not put in.
    let back = page.clone().does(Action::StepTicked("2".into()));
    assert!(line(&back).contains("add 250"), "{}", line(&back));
    assert_eq!(of(&back).iter().filter(|s| s.1).count(), 1);
    assert_eq!(line(&back.clone().does(Action::Undone)), line(&page));
    // Measured after all: no longer assumed.
    let measured = page
        .clone()
        .does(Action::Typed(Spot::Happened("1".into()), "0.9".into()));
    assert_eq!(of(&measured)[0], (true, false));
    assert_eq!(
        plain(card(&measured).steps[0].amount.as_deref().unwrap()),
        "0.90 L"
    );
    // With the last entry goes what it stood for.
    let none = page.clone().does(Action::StepTicked("3".into()));
    assert_eq!(line(&none), line(&van()));
    assert!(!card(&none).begun);
}

/// To the mark is to the mark, unless it ran out.
#[test]
fn an_amount_to_the_mark_asks_whether_it_is_there() {
    let page = van()
        .picks(Pick::Dose(DoseBy::None))
        .types(Field::Percent, "50");
    let pour = card(&page).steps[0].clone();
    assert_eq!(
        (pour.at_mark, page.draft.job.loops[0].done.len()),
        (None, 0)
    );
    // 0.9 L for 0.6: at the mark, and nothing to draw off.
    let more = page
        .clone()
        .does(Action::Typed(Spot::Happened(pour.id.clone()), "0.9".into()));
    assert_eq!(card(&more).steps[0].at_mark, Some(true));
    assert!(line(&more).starts_with("Now run"), "{}", line(&more));
    let cautions = card(&more).cautions;
    assert!(
        cautions
            .iter()
            .any(|c| plain(&c.text).contains("low by 0.90 L, not 0.60 L")),
        "{cautions:?}"
    );
    // 0.4 L, and no more: 0.2 L is still to do.
    let less = page
        .clone()
        .does(Action::Typed(Spot::Happened(pour.id.clone()), "0.4".into()))
        .does(Action::AtMark(pour.id.clone(), false));
    assert_eq!(card(&less).steps[0].at_mark, Some(false));
    assert!(line(&less).contains("pour 0.20 L"), "{}", line(&less));
    assert_eq!(
        page.clone().does(Action::CardCleared).draft.job.loops[0]
            .done
            .len(),
        0
    );
    let record = saved::encode(&less.model);
    assert_eq!(
        line(&Page::new(saved::decode(&record).unwrap())),
        line(&less)
    );
    // The level after the run: so much is still to go in.
    let check = card(&page).steps.last().unwrap().clone();
    assert_eq!(check.happened.unwrap().label, "Low by, now");
    let low = page
        .clone()
        .does(Action::Typed(Spot::Happened(check.id), "0.3".into()));
    assert!(line(&low).contains("pour 0.30 L"), "{}", line(&low));
}

#[test]
fn a_dose_is_entered_in_the_unit_doses_are_measured_in() {
    let page = van()
        .does(Action::StepTicked("1".into()))
        .does(Action::Typed(Spot::Happened("2".into()), "200".into()));
    assert_eq!(
        page.draft.job.loops[0].done[1].amount.unwrap().unit,
        VolumeUnit::Ml
    );
    assert!(card(&page).steps[1].done);
    assert_eq!(
        plain(card(&page).steps[1].amount.as_deref().unwrap()),
        "200 mL"
    );
}

#[test]
fn the_coldest_night_is_aimed_at_with_something_to_spare() {
    let page = van().picks(Pick::Aim(AimBy::Night));
    let aim = page.draft.job.loops[0].aim;
    let expected = job::file::Aim::FreezingPoint {
        value: -30.0,
        unit: job::units::TemperatureUnit::DegC,
    };
    assert_eq!(aim, expected);
    assert_eq!(card(&page).standing, Standing::Fresh);
    let back = pourcard::app::import::model(&page.draft.job);
    assert_eq!(back.current().aim, AimBy::Night);
}

#[test]
fn a_stock_can_be_added_named_and_removed() {
    let page = van().does(Action::StockAdded);
    assert_eq!(page.model.shelf.len(), 4);
    assert!(
        card(&page)
            .needs
            .contains(&"the concentration of a product")
    );
    let page = page.does(Action::Typed(Spot::StockPercent(3), "33".into()));
    assert_eq!(page.draft.job.shelf.len(), 4);
    assert_eq!(card(&page).standing, Standing::Fresh);
    let page = page.does(Action::StockRemoved(3));
    assert_eq!(page.draft.job, van().draft.job);
}

#[test]
fn two_frost_strengths_are_asked_for_their_side() {
    // Past the turning point the tables give two strengths for one frost (−45 °C at both 57 and 80 %).
    let page = van()
        .picks(Pick::Reading(ReadingBy::Frost))
        .types(Field::Frost, "\u{2212}48");
    let fault = page.current().fault.clone();
    assert!(fault.is_some(), "{}", line(&page));
    assert!(error(&page, Field::Frost).is_some());
}

#[test]
fn the_card_reads_as_plain_text() {
    let page = van();
    let text = plain(&pourcard::app::plain::text(&page.model.title, &card(&page)));
    for words in [
        "Bakery van, autumn service: Engine loop",
        "[ ] 1. Drain: 1.00 L",
        "[ ] 3. Pour concentrate, to the mark: 1.35 L",
        "Never open a hot system",
        "poisonous to people and animals",
        "dispose of it as local rules require",
        "override this card",
    ] {
        assert!(text.contains(words), "{words:?} is not in\n{text}");
    }
}

#[test]
fn every_field_and_label_of_the_page_can_be_drawn() {
    for model in [Model::demo(), Model::empty(System::Us)] {
        let page = pourcard::app::page::Page::new(model);
        for &field in Field::ALL {
            let view = view::field(&page, &Spot::Loop(field));
            assert!(!view.label.is_empty() && !view.id.is_empty());
        }
        assert!(!view::fold_digest(&page).1.is_empty());
    }
}

fn error(page: &pourcard::app::page::Page, field: Field) -> Option<String> {
    view::field(page, &Spot::Loop(field)).error
}

/// Out of its limit whatever else is typed: said at once, in the words the answer has for it.
#[test]
fn what_is_surely_wrong_is_said_while_the_rest_is_missing_or_broken() {
    for (field, text) in [
        (Field::Volume, "2000.1"),
        (Field::Missing, "-501"),
        (Field::Percent, "142"),
        (Field::PercentSpread, "51"),
        (Field::AimPercent, "101"),
        (Field::Within, "21"),
        (Field::Coldest, "-81"),
        (Field::DrawLimit, "2001"),
        (Field::TankRoom, "501"),
        (Field::FillTemperature, "101"),
        (Field::Peak, "151"),
        (Field::Cap, "2.6"),
        (Field::Altitude, "5501"),
        (Field::MeasureStep, "5001"),
        (Field::Renew, "101"),
    ] {
        let whole = error(&van().types(field, text), field);
        assert!(whole.is_some(), "{field:?}");
        assert_eq!(error(&empty().types(field, text), field), whole);
        let other = if field == Field::Missing {
            Field::Percent
        } else {
            Field::Missing
        };
        let beside_another = van().types(other, "4x").types(field, text);
        assert_eq!(error(&beside_another, field), whole);
        assert!(error(&beside_another, other).is_some());
    }
}

/// The same of how far an instrument may be off.
#[test]
fn what_is_surely_wrong_of_an_instrument_is_said_at_once() {
    for (by, reading, text, spread, wrong) in [
        (
            ReadingBy::Frost,
            Field::Frost,
            "-27",
            Field::FrostSpread,
            "31",
        ),
        (
            ReadingBy::Brix,
            Field::Brix,
            "30",
            Field::BrixSpread,
            "30.5",
        ),
    ] {
        let by = Pick::Reading(by);
        let whole = van()
            .picks(by)
            .types(reading, text)
            .types(Field::SampleAt, "20");
        assert_eq!(view::card(&whole).standing, Standing::Fresh);
        let said = error(&whole.types(spread, wrong), spread);
        assert!(said.is_some(), "{spread:?}");
        assert_eq!(error(&empty().picks(by).types(spread, wrong), spread), said);
    }
}

/// And of what it shows: a decimal mark forgotten, a sign, a scale of another instrument.
#[test]
fn what_no_instrument_shows_is_said_at_once() {
    for (by, field, wrong, right) in [
        (ReadingBy::Frost, Field::Frost, "27", "-27"),
        (ReadingBy::Gravity, Field::Gravity, "1062", "1.062"),
        (ReadingBy::Index, Field::Index, "1.6", "1.377"),
        (ReadingBy::Brix, Field::Brix, "137", "26"),
        (ReadingBy::Brix, Field::SampleAt, "126", "20"),
    ] {
        let by = Pick::Reading(by);
        let said = error(&empty().picks(by).types(field, wrong), field);
        assert!(said.is_some(), "{field:?}");
        let beside_another = van().picks(by).types(Field::Missing, "4x");
        assert_eq!(error(&beside_another.types(field, wrong), field), said);
        assert_eq!(error(&empty().picks(by).types(field, right), field), None);
    }
}

/// Two that are wrong are both said, and one that may yet become right is not.
#[test]
fn each_field_has_its_own_error_and_only_when_it_is_sure() {
    let page = van()
        .types(Field::Percent, "142")
        .types(Field::AimPercent, "123");
    assert!(error(&page, Field::Percent).is_some() && error(&page, Field::AimPercent).is_some());
    for (field, text) in [
        (Field::Volume, "0"),
        (Field::Peak, "1"),
        (Field::Within, "0"),
        (Field::Coldest, "-"),
        (Field::Cap, "1"),
    ] {
        assert_eq!(error(&empty().types(field, text), field), None, "{field:?}");
    }
    let in_quarts = empty()
        .does(Action::UnitChosen(
            Spot::Loop(Field::Volume),
            Unit::Volume(VolumeUnit::UsQt),
        ))
        .types(Field::Volume, "2110");
    assert_eq!(error(&in_quarts, Field::Volume), None);
    assert!(error(&in_quarts.types(Field::Volume, "2120"), Field::Volume).is_some());
}

/// Dust of binary fractions never shows: 9.7 times 100 is 969.9999999999999 to a computer.
#[test]
fn a_percentage_is_refused_as_it_was_typed() {
    use pourcard::app::{action::Pick, choice::DrainBy};
    for tenths in (1001..20_000).step_by(7) {
        let typed = [&(tenths / 10).to_string(), ".", &(tenths % 10).to_string()].concat();
        let page = van()
            .picks(Pick::Drain(DrainBy::Share))
            .types(Field::DrainShare, &typed);
        let said = error(&page, Field::DrainShare).unwrap();
        let number = typed.trim_end_matches(".0");
        assert!(
            said.contains(&[" ", number, "\u{a0}%"].concat())
                || said.contains(&[" ", number, " %"].concat()),
            "{said}"
        );
    }
}
