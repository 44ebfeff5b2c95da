//! Every refusal: its code, its key, and the words that help.

use crate::file::*;
use pourcard::job;
use serde_json::{Value, json};

#[track_caller]
fn refused(file: &Value, code: &str, key: &str, words: &[&str]) {
    let (text, refused) = job::answer_text(&file.to_string());
    let answer: Value = serde_json::from_str(&text).unwrap();
    assert!(refused, "{text}");
    assert_eq!(answer["loops"], json!([]));
    fault(&answer["error"], code, key, words);
}

#[track_caller]
pub fn fault(error: &Value, code: &str, key: &str, words: &[&str]) {
    assert_eq!(
        (error["code"].as_str(), error["key"].as_str()),
        (Some(code), Some(key)),
        "{error}"
    );
    let message = error["message"].as_str().unwrap();
    for word in words {
        assert!(message.contains(word), "{message:?} does not say {word:?}");
    }
}

/// Lists have an end: what stands in them costs time, and a short link can hold a thousand entries. How many is ours.
#[test]
fn a_list_too_long_is_refused_by_name() {
    let done = json!({"id": "1", "step": "draw", "amount": {"value": 0.1, "unit": "L"}});
    let look = json!({"date": "2026-03-31", "missing": {"value": 0.1, "unit": "L"}});
    let spot = |i: usize| json!({"name": i.to_string()});
    let many = |n: usize, of: &Value| Value::Array(vec![of.clone(); n]);
    let spots = |n: usize| Value::Array((0..n).map(spot).collect());
    let survey = |spots: Value, runs: Value| json!({"spots": spots, "runs": runs});
    let file = van(&[]);
    let one = &file["loops"][0];
    let run = json!({"when": "before", "ambient": {"value": 20, "unit": "degC"}, "shown": []});
    let cases = [
        ("/loops", many(401, one), "loops", "401", "0 to 400"),
        (
            "/shelf",
            many(51, &file["shelf"][0]),
            "shelf",
            "51",
            "0 to 50",
        ),
        (
            "/loops/0/done",
            many(101, &done),
            "loops[0].done",
            "101",
            "0 to 100",
        ),
        (
            "/loops/0/levels",
            many(401, &look),
            "loops[0].levels",
            "401",
            "0 to 400",
        ),
        (
            "/survey",
            survey(spots(101), json!([])),
            "survey.spots",
            "101",
            "0 to 100",
        ),
        (
            "/survey",
            survey(spots(1), many(101, &run)),
            "survey.runs",
            "101",
            "0 to 100",
        ),
    ];
    for (path, value, key, found, limit) in cases {
        let file = van(&[(path, value)]);
        refused(&file, "out_of_range", key, &[key, found, limit]);
        // A link or a file is opened over what is in sight only where it is taken.
        assert_eq!(job::read(&file.to_string()).unwrap_err().key, key);
    }
    assert!(job::read(&van(&[("/loops/0/done", many(100, &done))]).to_string()).is_ok());
}

/// JSON knows no whole numbers: 1.0 is 1. A key of nothing is named all the same.
#[test]
fn numbers_and_names_as_json_has_them() {
    assert!(job::read(&van(&[("/pourcard", json!(1.0))]).to_string()).is_ok());
    for version in [json!(1.5), json!(-1), json!("1")] {
        let file = van(&[("/pourcard", version)]);
        refused(&file, "newer_format", "pourcard", &["version 1"]);
    }
    let empty = van(&[("/", json!(1))]);
    refused(&empty, "unknown_key", "", &["unknown key \"\"", "shelf"]);
}

#[test]
fn the_file_is_refused() {
    let e = |edits: &[(&str, Value)]| van(edits);
    refused(
        &e(&[("/pourcard", json!(2))]),
        "newer_format",
        "pourcard",
        &["2", "version 1"],
    );
    refused(
        &e(&[("/pourcard", Value::Null)]),
        "missing_key",
        "pourcard",
        &["pourcard", "1"],
    );
    refused(
        &e(&[("/colour", json!(1))]),
        "unknown_key",
        "colour",
        &["colour", "shelf"],
    );
    refused(
        &e(&[("/loops/0/volme", json!(1))]),
        "unknown_key",
        "loops[0].volme",
        &["volme", "volume"],
    );
    refused(
        &e(&[("/loops/0/now/valu", json!(1))]),
        "unknown_key",
        "loops[0].now.valu",
        &["valu"],
    );
    refused(
        &e(&[("/loops/0/volume", Value::Null)]),
        "missing_key",
        "loops[0].volume",
        &["volume"],
    );
    refused(
        &e(&[("/loops/0/glycol", Value::Null)]),
        "missing_key",
        "loops[0].glycol",
        &["glycol"],
    );
    refused(
        &e(&[("/loops/0/volume/unit", json!("gal"))]),
        "wrong_unit",
        "loops[0].volume.unit",
        &["gal", "US_gal", "imp_gal"],
    );
    refused(
        &e(&[("/loops/0/cap/unit", json!("L"))]),
        "wrong_unit",
        "loops[0].cap.unit",
        &["\"L\"", "bar", "psi"],
    );
    refused(
        &e(&[("/loops/0/volume/value", json!("8.4"))]),
        "wrong_type",
        "loops[0].volume.value",
        &["8.4", "a number"],
    );
    refused(
        &e(&[("/loops/0/glycol", json!("glycerine"))]),
        "wrong_value",
        "loops[0].glycol",
        &["glycerine", "ethylene"],
    );
    refused(
        &e(&[("/shelf/0/percent", json!(120))]),
        "out_of_range",
        "shelf[0].percent",
        &["120", "0 to 100"],
    );
    refused(
        &e(&[("/shelf/0/glycol", Value::Null)]),
        "glycol_missing",
        "shelf[0].glycol",
        &["Concentrate"],
    );
    refused(
        &e(&[("/shelf/1/name", json!("Concentrate"))]),
        "name_taken",
        "shelf[1].name",
        &["Concentrate"],
    );
    refused(
        &e(&[("/shelf/1/name", json!(" "))]),
        "name_missing",
        "shelf[1].name",
        &["name"],
    );
}

#[test]
fn text_that_is_no_job_is_refused() {
    for (text, code) in [
        ("", "syntax"),
        ("{", "syntax"),
        ("[NaN]", "syntax"),
        ("[]", "wrong_type"),
        ("7", "wrong_type"),
    ] {
        let (out, refused) = job::answer_text(text);
        let out: Value = serde_json::from_str(&out).unwrap();
        assert!(refused, "{text:?}");
        assert_eq!(out["error"]["code"], code, "{text:?}: {out}");
    }
    let nan = van(&[]).to_string().replacen("8.4", "NaN", 1);
    assert!(job::answer_text(&nan).1);
}

#[test]
fn one_loop_is_refused_and_the_other_answered() {
    let mut file = van(&[]);
    let mut second = file["loops"][0].clone();
    second["volume"]["value"] = json!(-8.4);
    file["loops"].as_array_mut().unwrap().push(second);
    let (text, refused) = job::answer_text(&file.to_string());
    let answer: Value = serde_json::from_str(&text).unwrap();
    assert!(!refused);
    assert_eq!(answer["loops"][0]["way"], "draw_and_pour");
    assert!(answer["loops"][1]["way"].is_null());
    fault(
        &answer["loops"][1]["error"],
        "out_of_range",
        "loops[1].volume",
        &["-8.4 L", "0.2 to 2000"],
    );
}

#[track_caller]
fn loop_refused(edits: &[(&str, Value)], code: &str, key: &str, words: &[&str]) {
    let one = loop_answer(edits);
    assert!(one["way"].is_null() && one["steps"] == json!([]), "{one}");
    fault(&one["error"], code, &format!("loops[0].{key}"), words);
}

#[test]
fn a_loop_is_refused() {
    let at = |key: &str, value: Value| {
        [(
            Box::leak(format!("/loops/0/{key}").into_boxed_str()) as &str,
            value,
        )]
    };
    let l = |v: f64| json!({"value": v, "unit": "L"});
    loop_refused(
        &at("volume/value", json!(1e9)),
        "out_of_range",
        "volume",
        &["1000000000", "2000"],
    );
    loop_refused(
        &at("volume/plus_minus", json!(-1)),
        "out_of_range",
        "volume.plus_minus",
        &["-1"],
    );
    loop_refused(
        &at("missing/plus_minus", json!(-0.1)),
        "out_of_range",
        "missing.plus_minus",
        &["-0.1", "2000"],
    );
    let degrees = json!({"value": 20, "unit": "degC"});
    for (now, limit) in [
        (
            json!({"by": "percent", "value": 42, "plus_minus": 51}),
            "50",
        ),
        (
            json!({"by": "freezing_point", "value": -21, "unit": "degC", "plus_minus": -51}),
            "30",
        ),
        (
            json!({"by": "specific_gravity", "value": 1.06, "at": degrees, "plus_minus": 51}),
            "0.1",
        ),
        (
            json!({"by": "refractive_index", "value": 1.38, "at": degrees, "plus_minus": 51}),
            "0.1",
        ),
        (
            json!({"by": "brix", "value": 26, "at": degrees, "plus_minus": 51}),
            "30",
        ),
    ] {
        let words = ["51", limit];
        loop_refused(&at("now", now), "out_of_range", "now.plus_minus", &words);
    }
    loop_refused(
        &at("missing", l(-600.0)),
        "out_of_range",
        "missing",
        &["-600", "-500"],
    );
    loop_refused(
        &at("missing", l(9.0)),
        "more_than_volume",
        "missing",
        &["9 L", "8.4 L"],
    );
    loop_refused(
        &at("now/value", json!(101)),
        "out_of_range",
        "now.value",
        &["101"],
    );
    loop_refused(
        &at("now", json!({"by": "flushed", "left_behind": l(9.0)})),
        "more_than_volume",
        "now.left_behind",
        &["9"],
    );
    loop_refused(
        &at(
            "now",
            json!({"by": "freezing_point", "value": -50, "unit": "degC"}),
        ),
        "reading_needs_side",
        "now",
        &["side"],
    );
    loop_refused(
        &at(
            "now",
            json!({"by": "freezing_point", "value": -50, "unit": "degC", "side": "thick"}),
        ),
        "reading_beyond_tables",
        "now",
        &["beyond"],
    );
    loop_refused(
        &at(
            "now",
            json!({"by": "refractive_index", "value": 1.45, "at": {"value": 20, "unit": "degC"}}),
        ),
        "reading_out_of_range",
        "now",
        &["refractive index 1.45 is outside 1.333 to 1.42"],
    );
    // The ends, which are a table's, are rounded inwards; a plain number has no unit.
    let one = loop_answer(&at(
        "now",
        json!({"by": "refractive_index", "value": 1.45, "at": {"value": 20, "unit": "degC"}}),
    ));
    let message = one["error"]["message"].as_str().unwrap();
    assert!(message.len() < 70, "{message}");
    // What no instrument shows, whatever is in the loop.
    let sample = json!({"value": 20, "unit": "degC"});
    for (now, key, shown) in [
        (
            json!({"by": "freezing_point", "value": 27, "unit": "degC"}),
            "now.value",
            "27 degC",
        ),
        (
            json!({"by": "specific_gravity", "value": 1062, "at": sample}),
            "now.value",
            "1062",
        ),
        (
            json!({"by": "refractive_index", "value": 1.6, "at": sample}),
            "now.value",
            "1.6",
        ),
        (
            json!({"by": "brix", "value": 137, "at": sample}),
            "now.value",
            "137 degrees Brix",
        ),
        (
            json!({"by": "brix", "value": 26, "at": {"value": 300, "unit": "degF"}}),
            "now.at",
            "300 degF",
        ),
    ] {
        loop_refused(&at("now", now), "out_of_range", key, &[shown, "expected"]);
    }
    loop_refused(
        &at("aim/value", json!(30)),
        "aim_outside_limits",
        "aim",
        &["30", "40 to 60"],
    );
    loop_refused(
        &at("aim/within", json!(0)),
        "out_of_range",
        "aim.within",
        &["0"],
    );
    loop_refused(
        &at(
            "aim",
            json!({"by": "freezing_point", "value": -59, "unit": "degC"}),
        ),
        "frost_out_of_reach",
        "aim",
        &["-5"],
    );
    loop_refused(
        &at("limits", json!({"low": 60, "high": 40})),
        "limits_crossed",
        "limits",
        &["60", "40"],
    );
    loop_refused(
        &at("drains", json!({"fraction": 0})),
        "out_of_range",
        "drains.fraction",
        &["0.05 to 1"],
    );
    loop_refused(
        &at("measure_step", json!({"value": 0, "unit": "mL"})),
        "out_of_range",
        "measure_step",
        &["0 mL"],
    );
    loop_refused(
        &at(
            "additive/rate",
            json!({"by": "parts", "one_in": 20, "one_to": 20}),
        ),
        "parts_unclear",
        "additive.rate",
        &["one_in"],
    );
    loop_refused(
        &at(
            "additive/rate",
            json!({"by": "bottle", "size": l(0.3), "treats_from": l(12.0), "treats_to": l(8.0)}),
        ),
        "treats_crossed",
        "additive.rate",
        &["treats_from"],
    );
    loop_refused(
        &at("additive/rate/value", json!(900)),
        "out_of_range",
        "additive.rate",
        &["900 mL/L"],
    );
    let ppm = |v: f64, unit: &str| json!({"value": v, "unit": unit});
    loop_refused(
        &at(
            "additive/rate",
            json!({"by": "reading", "now": ppm(1.0, "ppm"), "aim": ppm(2.0, "ppm"), "raises": ppm(1.0, "units/US_gal")}),
        ),
        "level_units_differ",
        "additive.rate",
        &["one unit"],
    );
    let by_test = |unit: &str, of: &str| json!({"by": "reading", "now": ppm(1.0, unit), "aim": ppm(2.0, unit), "raises": ppm(1.0, unit), "of": of});
    loop_refused(
        &at("additive/rate", by_test("mg/L", "nitrite")),
        "nitrite_unclear",
        "additive.rate",
        &["NO2", "NaNO2"],
    );
    loop_refused(
        &at("additive/rate", by_test("units/US_gal", "NaNO2")),
        "level_unit_unfit",
        "additive.rate",
        &["mg/L"],
    );
    let brings =
        |unit: &str, of: Value| json!({"by": "level", "value": 1.0, "unit": unit, "of": of});
    for (unit, of) in [("mg/L", "NO2"), ("mg/L", "molybdate")] {
        let own = if of == "NO2" { "molybdate" } else { "NaNO2" };
        loop_refused(
            &[
                ("/shelf/0/supplement", brings(unit, json!(of))),
                ("/loops/0/additive/rate", by_test("mg/L", own)),
            ],
            "tests_differ",
            "additive.rate",
            &["Concentrate"],
        );
    }
    loop_refused(
        &at("coolant_test", json!({"ph_low": 9.0, "ph_high": 8.0})),
        "ph_crossed",
        "coolant_test.ph_low",
        &["pH"],
    );
    let alkalinity = "coolant_test.reserve_alkalinity";
    for (key, value, path) in [
        ("coolant_test", json!({"ph": 15.0}), "coolant_test.ph"),
        (
            "coolant_test",
            json!({"reserve_alkalinity": -1.0}),
            alkalinity,
        ),
        (
            "foreign_limit",
            json!({"fraction": 1.5}),
            "foreign_limit.fraction",
        ),
    ] {
        loop_refused(&at(key, value), "out_of_range", path, &["expected"]);
    }
    loop_refused(
        &at("done", json!([{"id": "9"}])),
        "no_such_step",
        "done[0].id",
        &["\"9\""],
    );
    loop_refused(
        &at("done", json!([{"id": "4", "amount": l(1.0)}])),
        "amount_unfit",
        "done[0].amount",
        &["\"4\""],
    );
    loop_refused(
        &at("done", json!([{"id": "3", "amount": l(20.0)}])),
        "not_the_mark",
        "done[0].amount",
        &["above the mark of 8.4 L", "at_mark"],
    );
    loop_refused(
        &at("done", json!([{"id": "1", "amount": l(-1.0)}])),
        "out_of_range",
        "done[0].amount",
        &["-1 L"],
    );
    loop_refused(
        &[("/shelf", json!([]))],
        "nothing_to_pour",
        "aim",
        &["shelf"],
    );
}

#[test]
fn money_is_refused() {
    let money = |value: Value| van(&[("/money", value)]);
    for (file, code, key, words) in [
        (
            money(json!({"decimals": 4})),
            "out_of_range",
            "money.decimals",
            ["4", "0 to 3"],
        ),
        (
            money(json!({"tax": {"percent": 120}})),
            "out_of_range",
            "money.tax.percent",
            ["120 %", "0 to 100"],
        ),
        (
            money(json!({"tax": {"percent": 8.12345}})),
            "too_fine",
            "money.tax.percent",
            ["8.12345", "at most 4"],
        ),
        (
            money(json!({"rounding": {"to": 0.0}})),
            "out_of_range",
            "money.rounding.to",
            ["0", "0.001"],
        ),
        (
            money(json!({"rounding": {"to": 0.005}})),
            "too_fine",
            "money.rounding.to",
            ["0.005", "at most 2"],
        ),
        (
            money(json!({"charges": [{"amount": -1}]})),
            "out_of_range",
            "money.charges[0].amount",
            ["-1", "0 to"],
        ),
        (
            money(json!({"labour": {"hours": 1e5, "rate": 80}})),
            "out_of_range",
            "money.labour.hours",
            ["100000 h", "10000"],
        ),
        (
            money(json!({"labour": {"rate": 80.125}})),
            "too_fine",
            "money.labour.rate",
            ["80.125", "at most 2"],
        ),
        (
            money(json!({"wish": "best"})),
            "wrong_value",
            "money.wish",
            ["best", "cheapest"],
        ),
        (
            van(&[(
                "/shelf/0/packs",
                json!([{"size": {"value": 1, "unit": "L"}, "price": 9.999}]),
            )]),
            "too_fine",
            "shelf[0].packs[0].price",
            ["9.999", "at most 2"],
        ),
        (
            van(&[(
                "/shelf/0/packs",
                json!([{"size": {"value": 0, "unit": "L"}, "price": 9}]),
            )]),
            "out_of_range",
            "shelf[0].packs[0].size",
            ["0 L", "0.001"],
        ),
        (
            van(&[(
                "/loops/0/additive/packs",
                json!([{"size": {"value": 1, "unit": "L"}, "price": -9}]),
            )]),
            "out_of_range",
            "loops[0].additive.packs[0].price",
            ["-9", "0 to"],
        ),
        (
            van(&[(
                "/shelf/0/packs",
                json!(vec![
                    json!({"size": {"value": 1, "unit": "L"}, "price": 9});
                    13
                ]),
            )]),
            "out_of_range",
            "shelf[0].packs",
            ["13", "0 to 12"],
        ),
        (
            money(json!({"charges": vec![json!({"amount": 1}); 21]})),
            "out_of_range",
            "money.charges",
            ["21", "0 to 20"],
        ),
    ] {
        refused(&file, code, key, &words);
    }
    // Where the money has three decimals, so may a price.
    let mut file = van(&[(
        "/shelf/0/packs",
        json!([{"size": {"value": 1, "unit": "L"}, "price": 9.999}]),
    )]);
    file["money"] = json!({"decimals": 3});
    assert!(!job::answer_text(&file.to_string()).1);
}

/// More came out, or was dosed before, than the loop holds: the amount is wrong, or the volume.
#[test]
fn more_than_the_loop_holds_is_refused() {
    let drawn = loop_answer(&[(
        "/loops/0/done",
        json!([{"id": "1", "amount": {"value": 9, "unit": "L"}}]),
    )]);
    fault(
        &drawn["error"],
        "more_than_volume",
        "loops[0].done[0].amount",
        &["9 L", "8.4 L"],
    );
    let dosed = loop_answer(&[(
        "/loops/0/additive/already",
        json!({"value": 9, "unit": "L"}),
    )]);
    fault(
        &dosed["error"],
        "more_than_held",
        "loops[0].additive.already",
        &["9 L", "7.8 L"],
    );
}
