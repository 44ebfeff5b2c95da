//! Every form of label, and what an earlier dose does.

use crate::file::*;
use serde_json::{Value, json};

/// What each label form comes to for 8 L at the mark, read exactly, none in there: litres asked for.
#[test]
fn label_forms() {
    let cases = [
        (
            json!({"by": "ratio", "value": 30, "unit": "mL/L"}),
            0.240,
            "arithmetic",
        ),
        (
            json!({"by": "ratio", "value": 1, "unit": "US_fl_oz/US_qt"}),
            0.250,
            "31.25 mL/L by definition of the units",
        ),
        (
            json!({"by": "ratio", "value": 1, "unit": "US_fl_oz/US_gal"}),
            0.0625,
            "7.8125 mL/L by definition of the units",
        ),
        (
            json!({"by": "ratio", "value": 1, "unit": "imp_fl_oz/imp_gal"}),
            0.050,
            "6.25 mL/L by definition of the units",
        ),
        (json!({"by": "percent", "value": 3}), 0.240, "arithmetic"),
        (
            json!({"by": "parts", "one_in": 20}),
            0.400,
            "one part in twenty",
        ),
        (
            json!({"by": "parts", "one_to": 19}),
            0.400,
            "one part to nineteen",
        ),
        (
            json!({"by": "bottle", "size": {"value": 300, "unit": "mL"}, "treats_from": {"value": 6, "unit": "L"}, "treats_to": {"value": 12, "unit": "L"}}),
            0.300,
            "8 L lie in 6 to 12: one bottle",
        ),
        (
            json!({"by": "bottle", "size": {"value": 300, "unit": "mL"}, "treats_to": {"value": 12, "unit": "L"}}),
            0.300,
            "8 L lie in 6 to 12: the whole bottle down to half of what it treats at most",
        ),
    ];
    for (rate, litres, why) in cases {
        let one = loop_answer(&[
            (
                "/loops/0/volume",
                json!({"value": 8, "unit": "L", "plus_minus": 0}),
            ),
            ("/loops/0/additive/rate", rate.clone()),
            ("/loops/0/additive/limit", Value::Null),
        ]);
        let given = one["dose"]["litres"].as_f64().unwrap();
        assert!(
            given <= litres + 1e-9 && given > litres - 0.005 - 1e-9,
            "{rate}: {given}, expected {litres} ({why})"
        );
    }
}

#[test]
fn bottles_to_open() {
    let one = loop_answer(&[(
        "/loops/0/additive/packs",
        json!([{"size": {"value": 100, "unit": "mL"}, "price": 9}]),
    )]);
    assert_eq!(one["dose"]["bottles"]["count"], 3);
    near(&one["dose"]["bottles"]["left_litres"], 0.05, 1e-9);
}

/// The earlier dose leaves with the draw, and counts: of 0.2 L in 7.8, drawing what is needed, the rest stays.
#[test]
fn an_earlier_dose_is_counted_after_the_draw() {
    let one = loop_answer(&[(
        "/loops/0/additive/already",
        json!({"value": 0.2, "unit": "L"}),
    )]);
    let drawn = one["steps"][0]["litres"].as_f64().unwrap();
    let carried = one["dose"]["carried_over_litres"].as_f64().unwrap();
    assert!((carried - 0.2 * (1.0 - drawn / 7.8)).abs() < 1e-6);
    assert!((one["dose"]["litres"].as_f64().unwrap() - (0.252 - carried)).abs() <= 0.005);
}

/// Unknown: only the renewed part is dosed, 30 mL/L of what is not old.
#[test]
fn an_unknown_earlier_dose() {
    let one = loop_answer(&[("/loops/0/additive/already", Value::Null)]);
    let drawn = one["steps"][0]["litres"].as_f64().unwrap();
    let renewed = 8.4 - (7.8 - drawn);
    assert!((one["dose"]["litres"].as_f64().unwrap() - 0.030 * renewed).abs() <= 0.005);
    assert!(one["dose"]["carried_over_litres"].is_null());
    assert!(codes(&one).contains(&"earlier_dose_unknown".to_owned()));
}

/// A dose of more than is missing makes room for itself, though the mix needs no draw: 51 % thinned by 0.25 L in 8.4 is
/// 49.5, within the point allowed.
#[test]
fn a_dose_draws_its_own_room() {
    let one = loop_answer(&[
        ("/loops/0/now/value", json!(51)),
        ("/loops/0/missing", Value::Null),
    ]);
    assert_eq!(card(&one), "1 draw 0.25, 1 dose 0.25, 1 run, 1 check");
}

/// A dose thins what was right, and concentrate makes up for it (by hand: of 4.234 L of concentrate in 8.4 at 50 % a draw
/// of 0.5 leaves 3.982, with 0.25 more 4.232 of 8.466 apart: 49.98 %).
#[test]
fn a_dose_that_thins_the_mix_is_made_up_for() {
    let one = loop_answer(&[
        ("/loops/0/now/value", json!(50)),
        ("/loops/0/missing", Value::Null),
    ]);
    assert_eq!(
        card(&one),
        "1 draw 0.5, 1 dose 0.25, 1 pour Concentrate 0.25, 1 run, 1 check"
    );
    near(&one["after"]["percent"], 49.98, 0.05);
}

/// A full loop that will be right, and nothing on the shelf but premix of about its strength: what the dose needs is drawn,
/// and no more (by hand: 30 mL/L of 8.4 L is 252 mL, 250 in steps of 5; drawing 250 makes its room and thins the mix by
/// 0.25 in 8.4, 1.5 points).
#[test]
fn a_dose_into_a_full_loop_draws_what_it_needs_and_no_more() {
    for now in [51.5, 51.0, 52.3] {
        for limit in [json!({"value": 4.5, "unit": "L"}), Value::Null] {
            let one = loop_answer(&[
                ("/loops/0/now/value", json!(now)),
                ("/loops/0/missing", Value::Null),
                ("/loops/0/draw_limit", limit),
                (
                    "/shelf",
                    json!([{"name": "Premix", "glycol": "ethylene", "percent": 50}]),
                ),
            ]);
            assert_eq!(
                card(&one),
                "1 draw 0.25, 1 dose 0.25, 1 run, 1 check",
                "{now}"
            );
        }
    }
}
