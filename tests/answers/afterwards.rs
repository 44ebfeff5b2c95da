//! What is found once the job is done. True volumes by an independent balance in kilograms; the survey by SciPy.

use crate::{common::Balance, file::*, support};
use pourcard::job::{self, file::GlycolName};
use serde_json::{Value, json};

fn l(value: f64) -> Value {
    json!({"value": value, "unit": "L"})
}

/// The van with plain water in it and at the mark, drained by 4.2 L; amounts by hand: 4.2 of 8.4 L replaced is 50 %.
fn watered(edits: &[(&str, Value)]) -> Vec<(&'static str, Value)> {
    let mut all = vec![
        ("/loops/0/now", json!({"by": "water"})),
        ("/loops/0/missing", Value::Null),
        (
            "/shelf",
            json!([{"name": "Concentrate", "glycol": "ethylene", "percent": 100}, {"name": "Distilled water", "percent": 0}]),
        ),
    ];
    for (path, value) in edits {
        let path: &'static str = Box::leak((*path).to_owned().into_boxed_str());
        all.push((path, value.clone()));
    }
    all
}

fn back(percent: f64) -> (&'static str, Value) {
    (
        "/loops/0/check_back",
        json!({"reading": {"by": "percent", "value": percent, "plus_minus": 1}}),
    )
}

/// What the van's mix comes to where the loop really holds `litres`, by the balance.
fn really(litres: f64) -> f64 {
    let mut balance = Balance::empty(GlycolName::Ethylene);
    balance.pour(litres, 0.0);
    let one = loop_answer(&watered(&[]));
    for step in one["steps"].as_array().unwrap() {
        let amount = step["litres"].as_f64().unwrap_or(0.0);
        match step["do"].as_str().unwrap() {
            "draw" => balance.draw(amount),
            "dose" => balance.additive_l += amount,
            "pour" => balance.pour(amount, 100.0),
            _ => {}
        }
    }
    balance.percent()
}

#[test]
fn a_job_that_came_out_right() {
    let one = loop_answer(&watered(&[back(really(8.4))]));
    let found = &one["check_back"];
    assert_eq!(found["finding"], "as_planned", "{found}");
    near(
        &found["expected_percent"],
        one["after"]["percent"].as_f64().unwrap(),
        1e-9,
    );
    // The spread is the card's own: the same inputs, replayed apart.
    near(
        &found["expected_plus_minus"],
        one["after"]["plus_minus"].as_f64().unwrap(),
        0.02,
    );
    near(&found["volume"]["litres"], 8.4, 0.01);
    assert_eq!(found["causes"], json!([]));
    assert!(found["correction"].is_null());
    // The plan is the same with and without it.
    let without = loop_answer(&watered(&[]));
    assert_eq!(one["steps"], without["steps"]);
    assert!(without.get("check_back").is_none() && without.get("levels").is_none());
}

#[test]
fn a_loop_that_holds_more_than_the_book_says() {
    let done: Value = (1..=4).map(|id| json!({"id": id.to_string()})).collect();
    let edits = watered(&[back(really(9.6)), ("/loops/0/done", done)]);
    let one = loop_answer(&edits);
    let found = &one["check_back"];
    assert_eq!(found["finding"], "weaker", "{found}");
    assert_eq!(found["causes"][0], "volume", "{found}");
    near(&found["volume"]["litres"], 9.6, 0.01);
    // Up to where the additive, 250 mL in 8.4 L, reads as glycol: 3 points.
    let (low, high) = (
        &found["volume"]["low_litres"],
        &found["volume"]["high_litres"],
    );
    assert!(
        low.as_f64().unwrap() > 8.4 && high.as_f64().unwrap() < 10.5,
        "{found}"
    );
    assert_eq!(found["correction"]["way"], "draw_and_pour");
    near(&found["correction"]["percent"], 50.0, 0.5);

    // Taken into the loop: the old figure is kept, what went is kept, the reading is what is in it now.
    let file = job::read(&van(&edits).to_string()).unwrap();
    let answer = job::answer(&file);
    let next = job::after::corrected(&file, 0, &answer.loops[0], true).unwrap();
    assert_eq!((next.volume.value, next.volume.was), (9.6, Some(8.4)));
    assert!(next.done.is_empty() && next.check_back.is_none());
    assert_eq!(next.past.len(), 1);
    assert_eq!(next.past[0].steps.len(), 3);
    let taken = job::file::Job {
        loops: vec![next],
        ..file
    };
    let after = job::answer(&taken).loops.remove(0);
    assert_eq!(after.error, None);
    let state = after.after.unwrap();
    assert!((state.percent.unwrap() - 50.0).abs() < 0.5);
    // The dose is judged anew: more is wanted for the larger loop, and the label’s limit is that of 9.6 L less 0.8.
    let dose = after.dose.unwrap();
    assert!(dose.limit_litres.unwrap() > 0.04 * 8.7 && dose.litres > 0.0);
    let carried = dose.carried_over_litres.unwrap();
    assert!(
        carried + dose.litres <= dose.limit_litres.unwrap(),
        "{dose:?}"
    );
}

/// Too small a loop for its dose: at the true volume it is over the label's limit, no more is dosed, and what the
/// correction draws off takes it below.
#[test]
fn a_dose_that_turns_out_too_much() {
    let edits = watered(&[back(really(6.0))]);
    let one = loop_answer(&edits);
    let found = &one["check_back"];
    assert_eq!(found["finding"], "stronger");
    assert_eq!(found["dose"]["over"], true, "{found}");
    // 40 mL in each litre that it holds at least.
    let least = found["volume"]["low_litres"].as_f64().unwrap();
    near(&found["dose"]["limit_litres"], 0.04 * least, 0.002);
    let file = job::read(&van(&edits).to_string()).unwrap();
    let next = job::after::corrected(&file, 0, &job::answer(&file).loops[0], true).unwrap();
    let taken = job::file::Job {
        loops: vec![next],
        ..file
    };
    let dose = job::answer(&taken).loops.remove(0).dose.unwrap();
    assert!(
        dose.litres < 1e-9 && dose.carried_over_litres < dose.limit_litres,
        "{dose:?}"
    );
    // Where nothing is drawn, the card stops at it.
    let mut right = taken.clone();
    right.loops[0].aim = job::file::Aim::Percent {
        value: 59.0,
        within: Some(12.0),
    };
    right.loops[0].now = job::file::Now::Percent {
        value: 59.0,
        plus_minus: None,
    };
    let told: Value = serde_json::from_str(&job::answer_text(&job::write(&right)).0).unwrap();
    assert!(
        codes(&told["loops"][0]).contains(&"over_limit".to_owned()),
        "{told}"
    );
}

#[test]
fn a_change_too_small_to_tell() {
    let reading = json!({"by": "percent", "value": 48, "plus_minus": 2});
    let one = loop_answer(&[("/loops/0/check_back", json!({"reading": reading}))]);
    let found = &one["check_back"];
    assert!(found["volume"].is_null(), "{found}");
    assert_eq!(found["no_volume"]["code"], "too_small");
    near(&found["no_volume"]["changed"], 6.0, 1e-9);
    assert!(found["no_volume"]["needed"].as_f64().unwrap() > 6.0);
}

/// The same strength on each instrument, by the models that the readings are checked with.
#[test]
fn what_each_instrument_should_read() {
    let twenty = json!({"value": 20, "unit": "degC"});
    for (reading, key, within) in [
        (
            json!({"by": "freezing_point", "value": -36, "unit": "degC"}),
            "freezing_point_c",
            // A frost scale may be drawn for the pure glycol, which freezes up to 2.9 K colder (CRC Handbook).
            2.9,
        ),
        (
            json!({"by": "specific_gravity", "value": 1.07, "at": twenty}),
            "specific_gravity_20c",
            1e-6,
        ),
        (
            json!({"by": "refractive_index", "value": 1.385, "at": twenty}),
            "refractive_index_20c",
            1e-6,
        ),
    ] {
        let one = loop_answer(&watered(&[(
            "/loops/0/check_back",
            json!({"reading": reading}),
        )]));
        let shows = &one["check_back"]["expected"];
        near(&shows["value"], one["after"][key].as_f64().unwrap(), within);
        let (low, value, high) = (&shows["low"], &shows["value"], &shows["high"]);
        assert!(
            low.as_f64() < value.as_f64() && value.as_f64() < high.as_f64(),
            "{shows}"
        );
        assert_eq!(one["check_back"]["finding"], "as_planned");
    }
}

#[test]
fn levels_tell_a_leak_from_warmth() {
    let levels = json!([
        {"date": "2026-03-01", "missing": l(0.0), "at": {"value": 20, "unit": "degC"}, "reading": {"by": "percent", "value": 50}},
        {"date": "2026-03-31", "missing": l(0.6), "at": {"value": 20, "unit": "degC"}, "reading": {"by": "percent", "value": 49}},
    ]);
    let one = loop_answer(&[("/loops/0/levels", levels)]);
    let found = &one["levels"];
    assert_eq!(
        (found["level"].as_str(), found["strength"].as_str()),
        (Some("leak"), Some("steady")),
        "{found}"
    );
    near(&found["litres_per_day"], 0.6 / 30.0, 1e-9);
    near(&found["looks"][1][0], 30.0, 1e-9);
}

/// Every figure and every verdict of both surveys is SciPy's.
#[test]
fn the_surveys_are_scipys() {
    for name in ["survey_six_spots", "survey_apart"] {
        let path = format!("tests/reference/{name}");
        let text = std::fs::read_to_string(support::path(&(path.clone() + ".json"))).unwrap();
        let told: Value = serde_json::from_str(&job::answer_text(&text).0).unwrap();
        assert!(told["survey"]["error"].is_null(), "{told}");
        let rows = support::Table::read(&(path + ".csv"));
        let spots = told["survey"]["spots"].as_array().unwrap();
        assert_eq!(spots.len(), rows.rows().count());
        for (spot, row) in spots.iter().zip(rows.rows()) {
            assert_eq!(spot["name"], row.text("spot"));
            assert_eq!(spot["verdict"], row.text("verdict"), "{spot}");
            near(&spot["before_c"], row.number("before_C"), 1e-7);
            near(&spot["after_c"], row.number("after_C"), 1e-7);
            near(&spot["before_k"], row.number("before_K"), 1e-7);
            near(&spot["after_k"], row.number("after_K"), 1e-7);
            near(&spot["p"], row.number("p"), 1e-8);
            near(&spot["p_together"], row.number("p_holm"), 1e-8);
            let (low, high) = (row.number("low_K"), row.number("high_K"));
            near(&spot["difference_k"], (low + high) / 2.0, 1e-6);
            near(&spot["plus_minus_k"], (high - low) / 2.0, 1e-6);
        }
        // The order of the loops' lines is as written: a file read and written is itself.
        let file = job::read(&text).unwrap();
        assert_eq!(job::read(&job::write(&file)).unwrap(), file);
    }
}

#[track_caller]
fn part_refused(edits: &[(&str, Value)], part: &str, code: &str, key: &str, words: &str) {
    let told = answer(&van(edits));
    assert!(told["error"].is_null(), "{told}");
    // The card stands all the same.
    assert_eq!(told["loops"][0]["way"], "draw_and_pour");
    let error = &told.pointer(part).unwrap()["error"];
    assert_eq!(
        (error["code"].as_str(), error["key"].as_str()),
        (Some(code), Some(key)),
        "{error}"
    );
    assert!(
        error["message"].as_str().unwrap().contains(words),
        "{error}"
    );
}

#[test]
fn a_slip_in_a_note_made_afterwards_leaves_the_card() {
    let back = |reading: Value| [("/loops/0/check_back", json!({"reading": reading}))];
    let at = "/loops/0/check_back";
    part_refused(
        &back(json!({"by": "unknown"})),
        at,
        "not_a_reading",
        "loops[0].check_back.reading.by",
        "instrument",
    );
    part_refused(
        &back(json!({"by": "percent", "value": 130})),
        at,
        "out_of_range",
        "loops[0].check_back.reading.value",
        "0 to 100",
    );
    part_refused(
        &back(json!({"by": "percent", "value": 50, "plus_minus": 90})),
        at,
        "out_of_range",
        "loops[0].check_back.reading.plus_minus",
        "90",
    );
    part_refused(
        &back(json!({"by": "freezing_point", "value": -50, "unit": "degC"})),
        at,
        "reading_needs_side",
        "loops[0].check_back.reading.value",
        "side",
    );
    let level = |date: &str, missing: f64| {
        [(
            "/loops/0/levels",
            json!([{"date": date, "missing": l(missing)}]),
        )]
    };
    let at = "/loops/0/levels";
    part_refused(
        &level("31.3.2026", 0.0),
        at,
        "date_unclear",
        "loops[0].levels[0].date",
        "31.3.2026",
    );
    part_refused(
        &level("2026-03-31", 9000.0),
        at,
        "out_of_range",
        "loops[0].levels[0].missing",
        "9000",
    );
    let deg = |t: f64| json!({"value": t, "unit": "degC"});
    let survey = |spots: Value, ambient: f64, spot: &str, t: f64, emissivity: f64| {
        let run = json!({"when": "before", "ambient": deg(ambient), "emissivity": emissivity, "shown": [{"spot": spot, "value": t, "unit": "degC"}]});
        [("/survey", json!({"spots": spots, "runs": [run]}))]
    };
    let one = json!([{"name": "Hose"}]);
    let at = "/survey";
    part_refused(
        &survey(
            json!([{"name": "Hose"}, {"name": "Hose"}]),
            20.0,
            "Hose",
            80.0,
            0.9,
        ),
        at,
        "spot_taken",
        "survey.spots[1].name",
        "Hose",
    );
    part_refused(
        &survey(one.clone(), 20.0, "Tank", 80.0, 0.9),
        at,
        "spot_unknown",
        "survey.runs[0].shown[0].spot",
        "Tank",
    );
    part_refused(
        &survey(one.clone(), 2000.0, "Hose", 80.0, 0.9),
        at,
        "out_of_range",
        "survey.runs[0].ambient",
        "2000",
    );
    part_refused(
        &survey(one.clone(), 20.0, "Hose", 8000.0, 0.9),
        at,
        "out_of_range",
        "survey.runs[0].shown[0].value",
        "8000",
    );
    part_refused(
        &survey(one.clone(), 20.0, "Hose", 80.0, 1.4),
        at,
        "out_of_range",
        "survey.runs[0].emissivity",
        "1.4",
    );
    part_refused(
        &survey(
            json!([{"name": "Hose", "emissivity": 0}]),
            20.0,
            "Hose",
            80.0,
            0.9,
        ),
        at,
        "out_of_range",
        "survey.spots[0].emissivity",
        "0",
    );
    let mut bad = survey(one, 20.0, "Hose", 80.0, 0.9);
    bad[0].1["accuracy"] = json!({"value": -1, "unit": "K"});
    part_refused(&bad, at, "out_of_range", "survey.accuracy", "-1");
    bad[0].1["runs"][0]["minutes"] = json!(-5);
    bad[0].1["accuracy"] = json!({"value": 1, "unit": "K"});
    part_refused(&bad, at, "out_of_range", "survey.runs[0].minutes", "-5");
}
