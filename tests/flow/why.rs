//! "How this is calculated", and how sure each is: the values that went in are those of the answer, in the page's words.

use super::hands::*;
use pourcard::app::{
    action::{Action, Pick},
    choice::{ReadingBy, System},
    field::Field,
    model::Spot,
    page::Page,
    view, words,
};
use pourcard::engine::datasheet::SHEETS;

/// What one figure says went into it.
fn went_in(page: &Page, name: &str) -> String {
    let margins = card(page).margins.unwrap();
    let why = margins
        .whys
        .iter()
        .find(|w| w.name == name)
        .unwrap_or_else(|| panic!("no {name}"));
    let (_, words) = why
        .lines
        .iter()
        .find(|(head, _)| *head == words::WHY_INPUTS)
        .unwrap();
    plain(words)
}

// The van (see tests/flow/main.rs): 97.2 kPa of air at 350 m (ICAO), a cap of 110 kPa judged at 70 %, so 174 kPa absolute;
// 7.8 L before, of which 42 % is concentrate (3.28 + 4.53 L measured apart, the mix being 0.016 denser). How sure the strength
// is, by hand: of 8.15 L without the additive, 7.0 L old at ± 1 is 0.86 points; missing ± 0.12 L of (100 − 42) is 0.85; the
// volume ± 0.3 L of (50 − 42) is 0.30; 1.15 L of a label good to 1 is 0.14; a draw and a level good to half a step (50 mL / √3)
// 0.20 and 0.18: 1.29 together.
#[test]
fn every_figure_shows_the_values_that_went_in() {
    let page = van();
    let boiling = went_in(&page, "boiling point, ethylene");
    assert_eq!(boiling, "strength φ 50.0 % ± 1.2, pressure p 174 kPa");
    let cap = went_in(&page, "pressure under a cap");
    assert_eq!(
        cap,
        "air pressure p_air 97 kPa, cap's rating 110 kPa, judged at 70 %"
    );
    assert_eq!(went_in(&page, "air pressure"), "altitude H 350 m");
    let amounts = went_in(&page, "amounts to draw and pour");
    assert_eq!(
        amounts,
        "volume at the mark V 8.40 ± 0.30 L, holds before h 7.80 L, strength before 42.0 % ± 1.0, aim φ* 50.0 %, \
         measuring step 50 mL"
    );
    let dose = went_in(&page, "dose");
    assert_eq!(
        dose,
        "label rate 30 mL/L, volume at the mark V 8.40 ± 0.30 L, carried over 0 mL, label limit 324 mL"
    );
    let hot = went_in(&page, "hot volume");
    assert!(
        hot.contains("filled at T_fill 20 °C, hottest T_hot 105 °C"),
        "{hot}"
    );
    assert!(hot.contains("room above the mark R 1.20 L"), "{hot}");
    assert!(went_in(&page, "heat carried against water").contains("temperature T 90 °C"));
    let volume = went_in(&page, "volume of a mix");
    assert!(volume.contains("additive V_a 0.25 L"), "{volume}");
}

#[test]
fn a_reading_is_explained_with_what_was_read() {
    let page = van()
        .picks(Pick::Reading(ReadingBy::Frost))
        .types(Field::Frost, "\u{2212}21");
    let reading = went_in(&page, "strength from a frost scale");
    assert_eq!(
        reading,
        "shown \u{2212}21 °C, side of the turning point thin"
    );
    let page = van()
        .picks(Pick::Reading(ReadingBy::Index))
        .types(Field::Index, "1.38")
        .types(Field::SampleAt, "25");
    let reading = went_in(&page, "strength from a refractive index");
    assert_eq!(reading, "shown 1.38, sample T 25 °C");
    assert!(went_in(&page, "refractive index, ethylene").contains("20 °C"));
}

/// A reading no mix can show is refused where it is typed, in figures that fit and the signs people read; water shows
/// 1.33299 at 20 °C (CRC Handbook), and the tables of refractive index begin at 0 °C.
#[test]
fn a_reading_out_of_range_is_refused_in_round_numbers() {
    let said = |index: &str, at: &str| {
        let page = van()
            .picks(Pick::Reading(ReadingBy::Index))
            .types(Field::Index, index)
            .types(Field::SampleAt, at);
        let fields = [Field::Index, Field::SampleAt].map(|f| view::field(&page, &Spot::Loop(f)));
        fields.into_iter().find_map(|f| f.error).unwrap()
    };
    let high = said("1.45", "20");
    assert!(
        high.starts_with("Refractive index 1.45 is outside 1.333 to 1.42") && high.len() < 55,
        "{high}"
    );
    let cold = said("1.38", "-5");
    assert!(
        cold.contains("\u{2212}5 °C is outside 0 to 60 °C"),
        "{cold}"
    );
}

/// Shares are typed in percent, and refused in percent.
#[test]
fn a_share_out_of_range_is_refused_in_percent() {
    let page = van().types(Field::Renew, "140");
    let field = view::field(&page, &Spot::Loop(Field::Renew));
    assert_eq!(
        field.error.as_deref(),
        Some("The share of the old coolant to renew is 140 %; expected 0 to 100 %")
    );
}

#[test]
fn the_explanations_are_the_engine_s_sheets() {
    for why in card(&van()).margins.unwrap().whys {
        let sheet = SHEETS.iter().find(|s| s.name == why.name).unwrap();
        let said: Vec<&str> = why.lines.iter().map(|(_, words)| words.as_str()).collect();
        assert!(said.contains(&sheet.formula) && said.contains(&sheet.source.citation));
        assert!(said.contains(&sheet.source.stated_error));
        let inputs = went_in(&van(), why.name);
        assert!(
            sheet.inputs.iter().all(|i| inputs.contains(i.name())),
            "{inputs}"
        );
        assert!(!inputs.contains(words::NOT_GIVEN), "{inputs}");
    }
}

// Half-widths: tests/answers/how_sure.rs. The room's figure and its spread round to the unlucky side.
#[test]
fn every_level_says_how_sure_it_is() {
    let margins = card(&van()).margins.unwrap();
    let tile = &margins.tiles[2];
    assert_eq!(plain(&tile.figure), "0.7 L");
    assert!(plain(&tile.note).ends_with("± 0.1 L"), "{}", tile.note);
    for (row, text) in [
        (words::ROW_HOLDS, "8.39 ± 0.30 L"),
        (words::ROW_HOT, "8.84 ± 0.32 L"),
        (words::ROW_ROOM, "0.76 ± 0.08 L"),
    ] {
        let row = margins.rows.iter().find(|r| r.name == row).unwrap();
        assert_eq!(plain(&row.after), text);
    }
    let page = van().types(Field::TankRoom, "");
    let tile = &card(&page).margins.unwrap().tiles[2];
    assert!(tile.note.contains("±"), "{}", tile.note);
    let us = van().does(Action::UnitsChosen(System::Us));
    assert!(card(&us).margins.unwrap().tiles[2].note.contains("qt"));
}

/// A strip reads 44 ± 10 %: the worst end freezes at −19 °C (the handbook: −18.6 °C at 33.5 vol%, −19.4 at 34.5), and the
/// card says so, in the tile, in the table and as a caution, and asks for a re-test.
#[test]
fn the_worst_end_of_the_range_stands_on_the_card() {
    let strip = pourcard::job::read(include_str!("../cases/STRIP.json")).unwrap();
    let page = Page::new(pourcard::app::import::model(&strip));
    assert_eq!(
        line(&page),
        "Nothing to pour, but re-test before relying on it"
    );
    let shown = card(&page);
    let margins = shown.margins.unwrap();
    let tile = &margins.tiles[0];
    assert_eq!(plain(&tile.figure), "\u{2212}29 °C");
    assert!(
        plain(&tile.note).ends_with("; worst end \u{2212}19 °C"),
        "{}",
        tile.note
    );
    let row = margins
        .rows
        .iter()
        .find(|r| r.name == words::ROW_FREEZES_WORST)
        .unwrap();
    assert_eq!(plain(&row.after), "\u{2212}19 °C");
    assert!(
        shown
            .cautions
            .iter()
            .any(|c| c.code == "mind" && plain(&c.text).contains("freezes at \u{2212}19 °C"))
    );
    let sure = page.types(Field::PercentSpread, "2");
    assert!(
        line(&sure).starts_with("Already on target"),
        "{}",
        line(&sure)
    );
}

/// The job file of what stands on the page.
fn written(page: &Page) -> pourcard::job::file::Job {
    let draft = pourcard::app::draft::draft(&page.model);
    pourcard::job::read(&pourcard::app::draft::file(&draft).unwrap()).unwrap()
}

/// How sure what is missing is, and what a label says: typed, defaulted beside the field, in the file and back.
#[test]
fn two_half_widths_of_their_own() {
    let page = van();
    let shown = |page: &Page, spot: Spot| view::field(page, &spot);
    // A fifth of 0.6 L; 1 point.
    assert_eq!(
        shown(&page, Spot::Loop(Field::MissingSpread)).placeholder,
        "0.12"
    );
    assert_eq!(shown(&page, Spot::StockSpread(0)).placeholder, "1");
    let page = page
        .types(Field::MissingSpread, "0.4")
        .does(Action::Typed(Spot::StockSpread(0), "3".into()));
    let job = written(&page);
    assert_eq!(job.loops[0].missing.unwrap().plus_minus, Some(0.4));
    assert_eq!(job.shelf[0].plus_minus, Some(3.0));
    let again = Page::new(pourcard::app::import::model(&job));
    assert_eq!(shown(&again, Spot::Loop(Field::MissingSpread)).text, "0.4");
    assert_eq!(shown(&again, Spot::StockSpread(0)).text, "3");
    // At the mark, by eye: it needs no figure of what is missing.
    let full = page.types(Field::Missing, "");
    let job = written(&full);
    let missing = job.loops[0].missing.unwrap();
    assert_eq!((missing.value, missing.plus_minus), (0.0, Some(0.4)));
    let none = full.types(Field::MissingSpread, "");
    assert!(written(&none).loops[0].missing.is_none());
}
