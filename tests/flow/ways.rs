//! What the screen says is what the answer says, for many jobs.

use super::hands::*;
use pourcard::app::{
    action::{Action, Pick},
    choice::{AimBy, DoseBy, DrainBy, ReadingBy, System},
    field::Field,
    import,
    model::Spot,
    page::Page,
    view::{self, Standing},
};
use pourcard::job;

#[test]
fn every_way_to_know_what_is_in_it_is_answered() {
    let ways = [
        (ReadingBy::Percent, vec![(Field::Percent, "42")]),
        (ReadingBy::Frost, vec![(Field::Frost, "\u{2212}21")]),
        (ReadingBy::Water, vec![]),
        (ReadingBy::Flushed, vec![(Field::LeftBehind, "1.9")]),
        (ReadingBy::Unknown, vec![]),
        (
            ReadingBy::Gravity,
            vec![(Field::Gravity, "1.06"), (Field::SampleAt, "25")],
        ),
        (
            ReadingBy::Index,
            vec![(Field::Index, "1.375"), (Field::SampleAt, "20")],
        ),
        (
            ReadingBy::Brix,
            vec![(Field::Brix, "26"), (Field::SampleAt, "20")],
        ),
        (ReadingBy::Empty, vec![]),
    ];
    for (by, typed) in ways {
        let mut page = van().picks(Pick::Reading(by));
        for (field, text) in typed {
            page = page.types(field, text);
        }
        let shown = card(&page);
        assert_eq!(shown.standing, Standing::Fresh, "{by:?}");
        assert!(shown.refusal.is_none(), "{by:?}: {:?}", shown.refusal);
        assert!(
            !shown.headline.is_empty() && !shown.steps.is_empty(),
            "{by:?}"
        );
    }
}

#[test]
fn the_column_is_to_scale() {
    for system in [System::Metric, System::Us, System::Imperial] {
        let page = van().does(Action::UnitsChosen(system));
        let column = card(&page).column.unwrap();
        let answer = job::answer(&page.draft.job);
        let after = answer.loops[0].after.unwrap();
        let full = 8.4 + 1.2; // the mark and the room above it
        let height = |litres: f64| litres / full * 1000.0;
        let top = column.bands.last().unwrap().top;
        assert!(
            (f64::from(1000 - top) - height(after.litres)).abs() <= 1.0,
            "{system:?}"
        );
        let at = |place| column.marks.iter().find(|m| m.place == place).unwrap().at;
        assert_eq!(at(view::Place::Top), 0);
        assert!((f64::from(1000 - at(view::Place::Mark)) - height(8.4)).abs() <= 1.0);
        assert!(
            (f64::from(1000 - at(view::Place::Hot)) - height(after.hot_litres.unwrap())).abs()
                <= 1.0
        );
        for pair in column.bands.windows(2) {
            assert_eq!(pair[0].top, pair[1].bottom, "bands touch");
        }
    }
}

#[test]
fn labels_beside_the_column_have_room_in_every_system() {
    let mut cut = 0;
    for file in std::fs::read_dir("tests/golden").unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        let opened = Page::new(import::model(&job::read(&text).unwrap()));
        for system in [System::Metric, System::Us, System::Imperial] {
            let page = opened.clone().does(Action::UnitsChosen(system));
            let Some(column) = card(&page).column else {
                continue;
            };
            let letters = |text: &str| text.chars().count();
            for line in column.drawn.iter().flat_map(|(_, _, lines)| lines) {
                assert!(letters(line) <= 11, "{line}"); // "drain first"
            }
            for band in &column.bands {
                assert!(letters(&band.label) <= 23, "{}", band.label);
                let name = band.label.split('\u{2026}').next().unwrap();
                assert!(column.words.contains(name), "{name} in {}", column.words);
                cut += usize::from(name.len() < band.label.len());
            }
        }
    }
    assert!(cut > 0, "a long name is among them");
}

#[test]
fn rounds_are_headed_and_summed() {
    let page = van()
        .picks(Pick::Reading(ReadingBy::Water))
        .picks(Pick::Drain(DrainBy::Tap));
    let shown = card(&page);
    let rounds = shown.steps.iter().filter(|s| s.round.is_some()).count();
    assert!(rounds > 1, "{shown:?}");
    assert!(
        line(&page).starts_with(match rounds {
            2 => "Drain and fill twice: ",
            _ => "Drain and fill ",
        }),
        "{}",
        line(&page)
    );
}

#[test]
fn an_aim_outside_the_limits_is_refused_in_words() {
    let page = van().types(Field::AimPercent, "20");
    let shown = card(&page);
    assert!(shown.refusal.is_some() && shown.steps.is_empty());
    assert!(line(&page).starts_with("No plan"), "{}", line(&page));
}

#[test]
fn a_battery_loop_gets_a_stop_and_no_plan() {
    let page = van().picks(Pick::Kind(pourcard::app::choice::Kind::Battery));
    let shown = card(&page);
    assert_eq!(shown.cautions[0].code, "stop");
    assert!(shown.headline.is_empty() && shown.steps.is_empty());
    assert!(line(&page).starts_with("No plan"), "{}", line(&page));
}

/// The change of a cap in one line: what it costs as rated and when both are weak, and what is left. By CoolProp's water
/// and Perry's glycol (tests/reference/caps.csv) 7.2 K, 5.9 K, and 125.3 °C under the weak new one.
#[test]
fn a_cap_to_be_fitted_says_what_it_costs() {
    let file = include_str!("../cases/L_othercap.json").replace("\"value\":110", "\"value\":112");
    let page = Page::new(pourcard::app::import::model(
        &pourcard::job::read(&file).unwrap(),
    ));
    let margins = view::card(&page).margins.unwrap();
    let (line, rows) = margins.caps.unwrap();
    assert_eq!(
        plain(&line),
        "1.1 instead of 1.6 bar: boils 7 degrees lower when both are good, 6 when both are weak; 13 degrees left above 112 °C, 3 degrees after heat soak (122 °C)."
    );
    let cells: Vec<String> = rows
        .iter()
        .map(|r| plain(&format!("{}: {}, {}", r.name, r.before, r.after)))
        .collect();
    assert_eq!(
        cells,
        [
            "As rated: 138 °C, 131 °C",
            "Weakest when new (85 %): 135 °C, 128 °C",
            "Weakest at unknown age (70 %): 131 °C, 125 °C",
            "Cap off: 108 °C, 108 °C"
        ]
    );
    // It goes on the service record.
    let record = view::after(&page).record;
    let lines: Vec<&String> = record.iter().flat_map(|r| &r.1).collect();
    assert!(
        lines
            .iter()
            .any(|l| l.starts_with("Cap: ") && l.contains("instead of")),
        "{lines:?}"
    );
    assert!(view::card(&van()).margins.unwrap().caps.is_none());
}

#[test]
fn nothing_to_do_says_so() {
    let page = van()
        .types(Field::Percent, "50")
        .types(Field::Missing, "0")
        .picks(Pick::Dose(DoseBy::None));
    assert!(
        line(&page).starts_with("Already on target"),
        "{}",
        line(&page)
    );
}

#[test]
fn margins_never_flatter() {
    let page = van()
        .picks(Pick::Aim(AimBy::Percent))
        .types(Field::Coldest, "\u{2212}45");
    let margins = card(&page).margins.unwrap();
    assert!(
        margins.tiles[0].bad && margins.tiles[0].note.contains("above the lowest"),
        "{:?}",
        margins.tiles[0]
    );
    assert!(card(&page).cautions.iter().any(|c| c.code == "stop"));
}

/// A bare number on a cap is taken by its size: bar below 4, psi from 4 to 32, kPa above (common practice, no
/// source), and the page says which.
#[test]
fn a_cap_mark_is_taken_by_its_size() {
    use pourcard::app::{action::Action, field::Field, model::Spot, view};
    for (typed, unit) in [
        ("1.1", "bar"),
        ("0.9", "bar"),
        ("16", "psi"),
        ("4", "psi"),
        ("110", "kPa"),
        ("140", "kPa"),
    ] {
        let mut page = pourcard::app::page::Page::new(pourcard::app::model::Model::demo());
        page = page.act(Action::Typed(Spot::Loop(Field::Cap), typed.to_owned()));
        let field = view::field(&page, &Spot::Loop(Field::Cap));
        assert!(
            matches!(&field.unit, view::UnitView::Choice { code, .. } if code == unit),
            "{typed}: {:?}",
            field.unit
        );
        assert!(
            field.note.is_some_and(|note| note.contains(unit)),
            "{typed}: {:?}",
            field.note
        );
    }
}

/// What is folded away goes into the job: renewing, families, the additive on hand, a draw measured hot.
#[test]
fn the_rarer_fields_are_written() {
    use job::file::{Family, Share};
    let page = van()
        .types(Field::Renew, "50")
        .types(Field::DoseHave, "120")
        .picks(Pick::Family(Some(Family::Oat)))
        .does(Action::StockFamilyChosen(0, Some(Family::Iat)))
        .does(Action::StepTicked("1".into()))
        .does(Action::Typed(Spot::HappenedAt("1".into()), "90".into()));
    let job = &page.draft.job;
    let lp = &job.loops[0];
    assert_eq!(lp.renew, Some(Share { fraction: 0.5 }));
    assert_eq!(
        (lp.family, job.shelf[0].family),
        (Some(Family::Oat), Some(Family::Iat))
    );
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    assert!(near(
        lp.additive.as_ref().unwrap().have.unwrap().value,
        120.0
    ));
    assert!(near(lp.done[0].at.unwrap().value, 90.0));
    let words: Vec<_> = card(&page)
        .cautions
        .into_iter()
        .map(|c| plain(&c.text))
        .collect();
    assert!(
        words
            .iter()
            .any(|w| w.contains("Concentrate is of another coolant technology")),
        "{words:?}"
    );
    assert!(
        words.iter().any(|w| w.contains("120 mL is on hand")),
        "{words:?}"
    );
}

/// 1 °dH is 10 mg/L as CaO, so 17.85 mg/L as CaCO₃; 10 grains/US gal are 171 (trade tables: 17.9 and 170).
#[test]
fn the_mixing_water_is_judged_in_any_unit() {
    use pourcard::app::{
        choice::WaterLimits,
        unit::{HardnessUnit, Unit},
        water::WaterField,
    };
    let spot = Spot::Water(WaterField::Hardness);
    let water = |text: &str, unit| {
        van()
            .does(Action::UnitChosen(spot.clone(), Unit::Hardness(unit)))
            .does(Action::Typed(spot.clone(), text.into()))
    };
    let hard = |page: &pourcard::app::page::Page| {
        card(page)
            .cautions
            .iter()
            .any(|c| c.text.contains("hardness"))
    };
    for (text, unit, mg_per_l) in [
        ("10", HardnessUnit::German, 178.5),
        ("10", HardnessUnit::GrainsPerUsGal, 171.2),
        ("2", HardnessUnit::MmolPerL, 200.2),
        ("171", HardnessUnit::MgPerL, 171.0),
    ] {
        let page = water(text, unit);
        let written = page.draft.job.water.unwrap().hardness.unwrap();
        assert!((written - mg_per_l).abs() < 0.1, "{written}");
        assert!(hard(&page), "over the diesel maker's 170: {written}");
        assert!(!hard(
            &page.does(Action::WaterLimitsChosen(WaterLimits::European))
        ));
    }
    assert!(!hard(&water("9", HardnessUnit::German)));
    let broken = van().does(Action::Typed(Spot::Water(WaterField::Ph), "70".into()));
    assert!(
        view::field(&broken, &Spot::Water(WaterField::Ph))
            .error
            .is_some()
    );
}
