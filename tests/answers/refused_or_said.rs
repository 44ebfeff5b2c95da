//! What is refused, what is only left blank, and what is said instead: each file in `tests/cases/`, from outside.
//!
//! Densities beside expected volumes are the handbook's (ASHRAE, `data/ethylene_properties.csv`, columns 40 and 60 vol%,
//! the 50 vol% between them), worked by hand; a level is good to a hundredth of a litre against them.

use crate::file::*;
use crate::refusals::fault;
use pourcard::job;
use serde_json::{Value, json};
use std::path::Path;

/// The one loop's answer to a file in `tests/cases/`, with values replaced.
#[track_caller]
fn case(name: &str, edits: &[(&str, Value)]) -> Value {
    let all = whole(name, edits);
    assert!(all["error"].is_null(), "{}", all["error"]);
    all["loops"][0].clone()
}

#[track_caller]
fn whole(name: &str, edits: &[(&str, Value)]) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/cases/{name}.json"));
    let mut file: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    for (path, value) in edits {
        set(&mut file, path, value.clone());
    }
    answer(&file)
}

fn l(v: f64) -> Value {
    json!({"value": v, "unit": "L"})
}

fn c(v: f64) -> Value {
    json!({"value": v, "unit": "degC"})
}

#[track_caller]
fn says(one: &Value, code: &str) -> Value {
    let list = one["cautions"].as_array().unwrap();
    list.iter()
        .find(|c| c["code"] == code)
        .unwrap_or_else(|| panic!("no {code} among {list:?}, error {}", one["error"]))
        .clone()
}

#[track_caller]
fn says_not(one: &Value, code: &str) {
    assert!(codes(one).iter().all(|c| c != code), "{:?}", codes(one));
}

fn litres(one: &Value, what: &str) -> f64 {
    let steps = one["steps"].as_array().unwrap();
    let of = steps.iter().filter(|s| s["do"] == what);
    of.filter_map(|s| s["litres"].as_f64()).sum()
}

// Mixed families are serviced as the shorter-lived (trade press); nothing is mixed with what is no longer there.
#[test]
fn two_families_poured_into_one_loop() {
    let one = case("N_two_families", &[]);
    assert_eq!(says(&one, "different_family")["weight"], "mind");
    // The same family, or a family of one alone: nothing to say.
    says_not(
        &case("N_two_families", &[("/shelf/1/family", json!("iat"))]),
        "different_family",
    );
    says_not(
        &case("N_two_families", &[("/shelf/1/family", Value::Null)]),
        "different_family",
    );
    // What an emptied loop held before is gone; what a flush left behind, or a part of the charge, is not.
    let other = |now: Value| {
        let edits = [
            ("/shelf/0/family", json!("oat")),
            ("/loops/0/family", json!("iat")),
            ("/loops/0/now", now),
        ];
        case("N_two_families", &edits)
    };
    says_not(&other(json!({"by": "empty"})), "different_family");
    says_not(&other(json!({"by": "unknown"})), "different_family");
    says(
        &other(json!({"by": "flushed", "left_behind": l(0.8)})),
        "different_family",
    );
    says(
        &other(json!({"by": "percent", "value": 50})),
        "different_family",
    );
}

/// A number outside is seen to be outside, whatever it takes.
#[test]
fn a_bound_and_what_is_beyond_it_are_told_apart() {
    let refused = |aim: f64| case("C_aim604", &[("/loops/0/aim/value", json!(aim))]);
    let words = |aim: f64, words: &[&str]| {
        fault(
            &refused(aim)["error"],
            "aim_outside_limits",
            "loops[0].aim",
            words,
        );
    };
    words(60.4, &["60.4 %", "40 to 60 %"]);
    words(60.0004, &["60.0004 %", "40 to 60 %"]);
    words(39.96, &["39.96 %", "40 to 60 %"]);
    words(30.0, &["30 %", "40 to 60 %"]);
    let missing = case("C_aim604", &[("/loops/0/missing", l(10.001))]);
    fault(
        &missing["error"],
        "more_than_volume",
        "loops[0].missing",
        &["10.001 L", "the 10 L"],
    );
}

/// None of what surrounds a loop is needed for a plan: out of its range it blanks what depends on it, and says so.
#[test]
fn what_is_left_out_refuses_no_plan() {
    let whole = case(
        "O_peak130",
        &[
            ("/loops/0/peak_temperature", c(105.0)),
            ("/loops/0/tank_room", l(1.2)),
        ],
    );
    // The density table ends at 125 °C: no hot level, but the boiling table goes on.
    let one = case("O_peak130", &[("/loops/0/tank_room", l(1.2))]);
    assert!(one["error"].is_null(), "{}", one["error"]);
    assert_eq!(
        (&one["way"], &one["steps"]),
        (&whole["way"], &whole["steps"])
    );
    assert!(one["after"]["hot_litres"].is_null() && one["after"]["tank_room_litres"].is_null());
    says(&one, "no_figure");
    fault(
        &one["left_out"][0],
        "no_figure",
        "loops[0].peak_temperature",
        &["hot level", "130 degC", "125"],
    );
    near(
        &one["after"]["boil_room_k"],
        whole["after"]["boil_room_k"].as_f64().unwrap() - 25.0,
        1e-9,
    );
    // The rest: one row a key, the figures it blanks, and the words, in the units typed.
    let bar = |v: f64| json!({"value": v, "unit": "bar"});
    let f = |v: f64| json!({"value": v, "unit": "degF"});
    for (key, value, path, blank, words) in [
        (
            "peak_temperature",
            f(500.0),
            "peak_temperature",
            &["hot_litres", "tank_room_litres", "boil_room_k"][..],
            ["500 degF", "86 to 302 degF"],
        ),
        (
            "cap",
            bar(14.0),
            "cap",
            &["boiling_point_c", "boiling_point_weakest_c", "boil_room_k"],
            ["14 bar", "0 to 2.5 bar"],
        ),
        (
            "cap_low",
            json!({"fraction": 0.1}),
            "cap_low.fraction",
            &["boiling_point_weakest_c"],
            ["0.1", "0.3 to 1"],
        ),
        (
            "altitude",
            json!({"value": 30000, "unit": "ft"}),
            "altitude",
            &[
                "boiling_point_c",
                "boiling_point_weakest_c",
                "boiling_point_open_c",
            ],
            ["30000 ft", "18044 ft"],
        ),
        (
            "fill_temperature",
            c(130.0),
            "fill_temperature",
            &["hot_litres", "tank_room_litres"],
            ["130 degC", "-30 to 100"],
        ),
        (
            "running_temperature",
            c(300.0),
            "running_temperature",
            &["film_vs_water", "heat_carried_vs_water"],
            ["300 degC", "125"],
        ),
        (
            "coldest",
            c(-95.0),
            "coldest",
            &["freeze_room_k"],
            ["-95 degC", "-80 to 30"],
        ),
        (
            "coldest_margin",
            json!({"value": 80, "unit": "degF"}),
            "coldest_margin",
            &[],
            ["80 degF", "0 to 54 degF"],
        ),
        (
            "tank_room",
            l(-1.0),
            "tank_room",
            &["tank_room_litres"],
            ["-1 L", "0 to 500"],
        ),
        (
            "minimum",
            l(-1.0),
            "minimum",
            &["above_minimum_litres"],
            ["-1 L", "0 to 500"],
        ),
    ] {
        let edits = [
            ("/loops/0/peak_temperature", c(105.0)),
            ("/loops/0/tank_room", l(1.2)),
            (&*format!("/loops/0/{key}"), value.clone()),
        ];
        let one = case("O_peak130", &edits);
        assert_eq!(
            (&one["way"], &one["steps"]),
            (&whole["way"], &whole["steps"]),
            "{key}"
        );
        assert_eq!(says(&one, "left_out")["weight"], "mind");
        fault(
            &one["left_out"][0],
            "out_of_range",
            &format!("loops[0].{path}"),
            &words,
        );
        for (figure, was) in whole["after"].as_object().unwrap() {
            let is_blank = blank.contains(&figure.as_str());
            if is_blank {
                assert!(one["after"][figure].is_null(), "{key}: {figure}");
            } else if figure.ends_with("_c") || figure.ends_with("litres") {
                assert_eq!(
                    one["after"][figure].is_null(),
                    was.is_null(),
                    "{key}: {figure}"
                );
            }
        }
    }
    // The mixing water is judged, and never refuses a job.
    let file = van(&[(
        "/water",
        json!({"limits": "diesel", "hardness": 300, "ph": 15}),
    )]);
    let all = answer(&file);
    assert!(all["error"].is_null() && all["loops"][0]["error"].is_null());
    fault(
        &all["left_out"][0],
        "out_of_range",
        "water.ph",
        &["15", "0 to 14"],
    );
    let mut said = codes(&all);
    said.sort();
    assert_eq!(said, ["hard_water", "left_out"]);
}

// 250 kPa over an air of 101.3 kPa are 351.3, and the boiling table ends at 350 kPa.
#[test]
fn a_figure_no_table_covers_is_said() {
    let one = case("L_cap250", &[]);
    assert!(
        one["after"]["boiling_point_c"].is_null()
            && one["after"]["boiling_point_weakest_c"].is_f64()
    );
    assert_eq!(says(&one, "no_figure")["weight"], "note");
    fault(
        &one["left_out"][0],
        "no_figure",
        "loops[0].cap",
        &["boiling at the cap's rating", "3.513 bar", "3.5 bar"],
    );
    let psi = json!({"value": 36.25, "unit": "psi"});
    let one = case("L_cap250", &[("/loops/0/cap", psi)]);
    fault(
        &one["left_out"][0],
        "no_figure",
        "loops[0].cap",
        &["psi", "50.7 psi"],
    );
    // Propylene's boiling data end at 70 %: one sentence for all three points.
    let one = case(
        "L_cap250",
        &[
            ("/loops/0/glycol", json!("propylene")),
            ("/shelf/0/glycol", json!("propylene")),
            ("/loops/0/now/value", json!(69.5)),
            ("/loops/0/limits", json!({"low": 0, "high": 71})),
            (
                "/loops/0/aim",
                json!({"by": "percent", "value": 70, "within": 1}),
            ),
            ("/loops/0/cap/value", json!(1)),
        ],
    );
    assert!(
        one["left_out"].as_array().is_none_or(|l| l.len() <= 1),
        "{}",
        one["left_out"]
    );
    // Nothing is said of a figure nobody asked for.
    says_not(
        &case("L_cap250", &[("/loops/0/cap", Value::Null)]),
        "no_figure",
    );
}

/// Refused in the units it was asked in, with a way out.
#[test]
fn a_refusal_speaks_the_users_units() {
    let one = case("C_frost60F", &[]);
    let frost = &["-60 degF", "-55.3 degF or milder", "in percent"];
    fault(&one["error"], "frost_out_of_reach", "loops[0].aim", frost);
    let message = one["error"]["message"].as_str().unwrap();
    assert!(!message.contains("degC"), "{message}");
    let f = |v: f64| json!({"value": v, "unit": "degF"});
    let qt = |v: f64| json!({"value": v, "unit": "US_qt"});
    let loops = |key: &str, value: Value, code: &str, words: &[&str]| {
        let one = case("C_frost60F", &[(&*format!("/loops/0/{key}"), value)]);
        let message = one["error"]["message"].as_str().unwrap_or_default();
        let key = one["error"]["key"].as_str().unwrap_or_default();
        fault(&one["error"], code, key, words);
        assert!(
            !message.contains("degC") && !message.contains(" L"),
            "{message}"
        );
    };
    loops(
        "aim",
        json!({"by": "freezing_point", "value": -90, "unit": "degF"}),
        "out_of_range",
        &["-90 degF", "-76 to 31.82 degF"],
    );
    loops(
        "volume",
        qt(0.1),
        "out_of_range",
        &["0.1 US_qt", "0.2114 to 2113 US_qt"],
    );
    loops(
        "missing",
        qt(11.0),
        "more_than_volume",
        &["11 US_qt", "10.57 US_qt"],
    );
    loops(
        "now",
        json!({"by": "refractive_index", "value": 1.37, "at": f(200.0)}),
        "reading_out_of_range",
        &["200 degF", "140 degF"],
    );
    let step = [
        ("/loops/0/aim", json!({"by": "percent", "value": 50})),
        (
            "/loops/0/measure_step",
            json!({"value": 0, "unit": "US_fl_oz"}),
        ),
    ];
    let words = ["0 US_fl_oz", "0.03382 to 169 US_fl_oz"];
    fault(
        &case("C_frost60F", &step)["error"],
        "out_of_range",
        "loops[0].measure_step",
        &words,
    );
    // What a plan would need, in the unit of the system's volume.
    let short = case(
        "C_frost60F",
        &[
            ("/loops/0/aim", json!({"by": "percent", "value": 50})),
            ("/loops/0/volume", json!({"value": 10, "unit": "US_qt"})),
            ("/loops/0/draw_limit", qt(0.0)),
        ],
    );
    fault(
        &short["error"],
        "aim_unreachable",
        "loops[0].aim",
        &["drain 1.", "US_qt before pouring"],
    );
}

// By hand: 10.3 L of 42 % (ASHRAE at 20 °C 1062.3 kg/m³), concentrate 1131.8, water 998.2, to 10 L of 50 %
// (1073.0): draw 1.67, pour 1.39.
#[test]
fn what_stands_above_the_mark_is_drawn_down_first() {
    let one = case("O_overmark", &[]);
    assert_eq!(one["way"], "draw_and_pour");
    near(&json!(litres(&one, "draw")), 1.67, 0.051);
    near(&json!(litres(&one, "pour")), 1.39, 0.051);
    near(&one["after"]["percent"], 50.0, 0.5);
    let after = one["after"]["litres"].as_f64().unwrap();
    assert!(after <= 10.0 + 1e-6 && after > 9.94, "{after}");
    near(&one["before"]["litres"], 10.3, 1e-9);
    // Right as it is but for the height: what stands above comes off, and nothing goes in.
    let right = case("O_overmark", &[("/loops/0/now/value", json!(50))]);
    near(&json!(litres(&right, "draw")), 0.3, 1e-9);
    near(&json!(litres(&right, "pour")), 0.0, 1e-9);
    // Less than can be measured is none, and a litre that cannot come out is said to be what has to.
    let little = case(
        "O_overmark",
        &[
            ("/loops/0/now/value", json!(50)),
            ("/loops/0/missing", l(-0.04)),
        ],
    );
    assert_eq!(little["way"], "nothing");
    let shut = [
        ("/loops/0/now/value", json!(50)),
        ("/loops/0/draw_limit", l(0.0)),
    ];
    let words = ["drain 0.30 L"];
    fault(
        &case("O_overmark", &shut)["error"],
        "aim_unreachable",
        "loops[0].aim",
        &words,
    );
    // More above the mark than below it there is room for is a slip.
    let slip = case("O_overmark", &[("/loops/0/missing", l(-10.5))]);
    fault(
        &slip["error"],
        "more_than_volume",
        "loops[0].missing",
        &["above the mark", "10.5 L", "10 L"],
    );
}

// An open bottle is topped up about once a year: common practice, no source. The share is ours.
#[test]
fn what_a_vented_bottle_gives_off_is_no_leak() {
    let level = |edits: &[(&str, Value)]| case("LV_year", edits);
    let judged = |edits: &[(&str, Value)]| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/LV_year.json");
        let mut file: Value =
            serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        for (path, value) in edits {
            set(&mut file, path, value.clone());
        }
        let job = job::read(&file.to_string()).unwrap();
        job::after::levels::judge(&job, 0).level
    };
    assert!(level(&[])["error"].is_null());
    assert_eq!(judged(&[]), Some("evaporating"));
    assert_eq!(
        judged(&[("/loops/0/tank", json!("pressurised"))]),
        Some("leak")
    );
    assert_eq!(
        judged(&[("/loops/0/levels/1/missing", l(0.6))]),
        Some("leak")
    );
    assert_eq!(
        judged(&[
            ("/loops/0/levels/1/date", json!("2026-02-15")),
            ("/loops/0/levels/1/missing", l(0.2))
        ]),
        Some("leak")
    );
}

/// Of an additive no more is left than of the coolant it was in.
#[test]
fn more_additive_than_stayed_behind_is_refused() {
    let one = case("D5_already", &[]);
    fault(
        &one["error"],
        "more_than_held",
        "loops[0].additive.already",
        &["2.2 L", "0.8 L"],
    );
    let just = case("D5_already", &[("/loops/0/additive/already", l(0.8))]);
    assert!(just["error"].is_null(), "{}", just["error"]);
    let empty = [
        ("/loops/0/now", json!({"by": "empty"})),
        (
            "/loops/0/additive/already",
            json!({"value": 10, "unit": "mL"}),
        ),
    ];
    fault(
        &case("D5_already", &empty)["error"],
        "more_than_held",
        "loops[0].additive.already",
        &["10 mL", "0 mL"],
    );
    let low = [
        ("/loops/0/now", json!({"by": "percent", "value": 44})),
        ("/loops/0/missing", l(17.0)),
    ];
    fault(
        &case("D5_already", &low)["error"],
        "more_than_held",
        "loops[0].additive.already",
        &["2.2 L", "1 L"],
    );
}

// 1073.0 kg/m³ at 20 °C, 1051.7 at 60: 10 L at 60 °C are 9.80 L.
#[test]
fn filled_warm_it_holds_less() {
    let one = case("T_warmfill", &[]);
    assert_eq!(one["way"], "nothing");
    for state in ["before", "after"] {
        near(&one[state]["litres"], 9.80, 0.01);
        near(&one[state]["litres_filled"], 10.0, 1e-6);
    }
    let said = says(&one, "filled_warm");
    near(&said["stands_litres"], 10.0, 1e-6);
    near(&said["holds_litres"], 9.80, 0.01);
    // What it grows to is the same as ever: from 60 to 105 °C.
    near(&one["after"]["hot_litres"], 10.327, 0.01);
    // Emptied and filled warm, that much less is poured than fills it cold.
    let poured = |fill: f64| {
        let edits = [
            ("/loops/0/now", json!({"by": "empty"})),
            ("/loops/0/fill_temperature", c(fill)),
        ];
        let one = case("T_warmfill", &edits);
        near(&one["after"]["percent"], 50.0, 0.5);
        litres(&one, "pour")
    };
    near(&json!(poured(20.0)), 10.0, 0.11);
    near(&json!(poured(20.0) - poured(60.0)), 0.20, 0.051);
    says_not(
        &case("T_warmfill", &[("/loops/0/fill_temperature", c(20.0))]),
        "filled_warm",
    );
}

// 250 mL (25 mL/L of 10 L, by the label). The hot volume at 105 °C: 10.25 L times 1073.0/1018.6 are 10.80 L, and there
// is room for 11.2.
#[test]
fn a_dose_may_stand_above_the_mark_where_nothing_comes_out() {
    let allowed = ("/loops/0/additive/above_mark", json!(true));
    let peak = ("/loops/0/peak_temperature", c(105.0));
    let refused = case("MM_right_full_nodraw", &[]);
    fault(
        &refused["error"],
        "aim_unreachable",
        "loops[0].aim",
        &["let the additive stand 0.25 L above the mark"],
    );
    for edits in [vec![allowed.clone()], vec![allowed.clone(), peak.clone()]] {
        let one = case("MM_right_full_nodraw", &edits);
        assert!(one["error"].is_null(), "{}", one["error"]);
        near(&json!(litres(&one, "dose")), 0.25, 1e-9);
        near(
            &json!(litres(&one, "draw") + litres(&one, "pour")),
            0.0,
            1e-9,
        );
        near(&one["after"]["litres"], 10.25, 1e-6);
        // The additive counts as water: 5.04 L of concentrate in 10.08 L apart and 0.25 more.
        near(&one["after"]["percent"], 48.8, 0.1);
        let said = says(&one, "dose_above_mark");
        assert_eq!(said["weight"], "note");
        near(&said["over_litres"], 0.25, 1e-6);
    }
    // Not where it would not fit, where nobody said what room there is, or where something can be drained.
    for edit in [
        ("/loops/0/tank_room", l(0.7)),
        ("/loops/0/tank_room", Value::Null),
    ] {
        let one = case(
            "MM_right_full_nodraw",
            &[allowed.clone(), peak.clone(), edit],
        );
        assert_eq!(one["error"]["code"], "aim_unreachable", "{}", one["error"]);
        assert!(
            !one["error"]["message"]
                .as_str()
                .unwrap()
                .contains("above the mark")
        );
    }
    let one = case(
        "MM_right_full_nodraw",
        &[allowed, ("/loops/0/draw_limit", l(4.0))],
    );
    // Its room at least, and what the dose dilutes is made up for: the mark is not passed.
    assert!(
        litres(&one, "draw") >= 0.25 && one["after"]["litres"].as_f64().unwrap() <= 10.0 + 1e-6
    );
    says_not(&one, "dose_above_mark");
}

// A US gallon is four US quarts by definition: 29 against 40.
#[test]
fn of_equal_volumes_the_cheaper_wins_in_any_units() {
    let taken = |edits: &[(&str, Value)]| {
        let all = whole("D4_tie", edits);
        all["sheet"]["bill"]["total"].as_str().unwrap().to_owned()
    };
    assert_eq!(taken(&[]), "29.00");
    let packs = |list: &[(f64, &str, f64)]| {
        let pack = |(size, unit, price): &(f64, &str, f64)| json!({"size": {"value": size, "unit": unit}, "price": price});
        [(
            "/shelf/0/packs",
            Value::from(list.iter().map(pack).collect::<Vec<_>>()),
        )]
    };
    for (list, price) in [
        // 3.3 L are poured: 112 US fl oz, 7 imperial pints of 20 fl oz, 4 L.
        (
            vec![(32.0, "US_fl_oz", 9.0), (1.0, "US_gal", 40.0)],
            "36.00",
        ),
        (
            vec![
                (128.0, "US_fl_oz", 35.0),
                (1.0, "US_qt", 8.0),
                (4.0, "US_gal", 1.0),
            ],
            "32.00",
        ),
        (
            vec![(1.0, "imp_pt", 3.0), (20.0, "imp_fl_oz", 2.0)],
            "12.00",
        ),
        (vec![(1.0, "imp_gal", 20.0), (4546.09, "mL", 19.0)], "19.00"),
        (
            vec![(1.0, "L", 4.0), (4000.0, "mL", 15.0), (1.0, "imp_gal", 1.0)],
            "15.00",
        ),
        // A litre pack on the shelf beside ounces and quarts spoils no tie.
        (
            vec![
                (5.0, "L", 1.0),
                (1.0, "US_gal", 29.0),
                (16.0, "US_fl_oz", 3.0),
                (32.0, "US_fl_oz", 9.0),
            ],
            "21.00",
        ),
    ] {
        assert_eq!(taken(&packs(&list)), price, "{list:?}");
    }
    // Drums: 112 L of 25 % come to 49 %, which counts as 50, with 24/75 of them of concentrate, 35.84 L, and what mixing
    // shrinks by: more than 38 quarts (35.96 L).
    let mut edits = packs(&[(10.0, "US_gal", 100.0), (1.0, "US_qt", 2.0)]).to_vec();
    edits.push(("/loops/0/volume", l(112.0)));
    assert_eq!(taken(&edits), "78.00");
}

// Water is legitimate where no frost comes: nothing could ever clear a Stop there.
#[test]
fn a_stop_can_be_cleared() {
    let stops = |one: &Value| {
        one["cautions"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|c| c["weight"] == "stop")
            .count()
    };
    let one = case("M_track", &[]);
    assert_eq!(stops(&one), 0, "{:?}", codes(&one));
    assert_eq!(says(&one, "water_uninhibited")["weight"], "note");
    for coldest in [Value::Null, c(-1.0), c(-20.0)] {
        let one = case("M_track", &[("/loops/0/coldest", coldest)]);
        says(&one, "water_only");
        assert!(stops(&one) > 0);
    }
    // Between the freezing point and the margin wanted it is thin, as with any mix.
    says(
        &case("M_track", &[("/loops/0/coldest", c(2.0))]),
        "freeze_room_thin",
    );
}

// 10 L of 50 %: 1073.0 kg/m³ at 20 °C, 1088.0 at -25 °C: 9.86 L.
#[test]
fn the_column_on_the_coldest_night() {
    let right = ("/loops/0/missing", l(0.0));
    let at = |coldest: Value, minimum: Value| {
        let edits = [
            right.clone(),
            ("/loops/0/now/value", json!(50)),
            ("/loops/0/coldest", coldest),
            ("/loops/0/minimum", minimum),
        ];
        case(
            "C_aim604",
            &[&edits[..], &[("/loops/0/aim/value", json!(50))]].concat(),
        )
    };
    let one = at(c(-25.0), l(0.1));
    near(&one["after"]["coldest_litres"], 9.862, 0.01);
    near(&one["after"]["above_minimum_litres"], -0.038, 0.01);
    assert!(
        one["after"]["above_minimum_litres_plus_minus"]
            .as_f64()
            .unwrap()
            > 0.02
    );
    near(
        &says(&one, "below_minimum_cold")["short_litres"],
        0.038,
        0.01,
    );
    let one = at(c(-25.0), l(0.5));
    near(&one["after"]["above_minimum_litres"], 0.362, 0.01);
    says_not(&one, "below_minimum_cold");
    // Nothing is judged by a mark nobody told of, nor said of a night nobody told of.
    assert!(at(c(-25.0), Value::Null)["after"]["above_minimum_litres"].is_null());
    assert!(at(Value::Null, l(0.1))["after"]["coldest_litres"].is_null());
    // Colder than the table, which ends at -35 °C: said.
    let one = at(c(-36.0), l(0.1));
    fault(
        &one["left_out"][0],
        "no_figure",
        "loops[0].coldest",
        &["coldest night", "-36 degC"],
    );
}

// By hand, as above, with 1030.4 kg/m³ for the 20 %: together 48.3 %; for 50 % the loop must come to 51.8.
#[test]
fn the_overflow_bottle_is_drawn_back() {
    let with = |bottle: Value, now: f64| {
        let edits = [
            ("/loops/0/now/value", json!(now)),
            ("/loops/0/aim/value", json!(50)),
            ("/loops/0/tank", json!("recovery_bottle")),
            ("/loops/0/bottle", bottle),
        ];
        case("C_aim604", &edits)
    };
    let weak = json!({"value": 0.6, "unit": "L", "percent": 20});
    let one = with(weak.clone(), 50.0);
    assert_eq!(one["way"], "draw_and_pour");
    near(&one["after"]["percent"], 51.8, 0.3);
    near(&one["after"]["together_percent"], 50.0, 0.3);
    let said = says(&one, "bottle_drawn_in");
    near(&said["percent"], 20.0, 1e-6);
    near(&said["litres"], 0.6, 1e-6);
    // As strong as the loop, it changes nothing.
    let same = with(json!({"value": 0.6, "unit": "L"}), 50.0);
    assert_eq!(same["way"], "nothing");
    near(&same["after"]["together_percent"], 50.0, 1e-6);
    says_not(&same, "bottle_unknown");
    // Not said: a Note. Nothing in it: nothing to say.
    let unsaid = with(Value::Null, 50.0);
    assert_eq!(says(&unsaid, "bottle_unknown")["weight"], "note");
    assert_eq!(unsaid["way"], "nothing");
    let empty = with(json!({"value": 0, "unit": "L", "percent": 0}), 50.0);
    says_not(&empty, "bottle_unknown");
    says_not(&empty, "bottle_drawn_in");
    // The system stays within its limits all the same.
    let strong = with(json!({"value": 5, "unit": "L", "percent": 0}), 50.0);
    near(&strong["after"]["percent"], 60.0, 1.0);
    assert!(strong["after"]["percent"].as_f64().unwrap() <= 60.0 + 1e-6);
}
