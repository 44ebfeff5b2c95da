//! Where there is no plan: why, how near one gets, what would help.

use crate::{file::*, refusals::fault};
use serde_json::{Value, json};

/// Premix alone into a fifth of flush water: 38.7 %, the source's simple sum being 50 % of four fifths.
#[test]
fn an_aim_out_of_reach_says_how_near_one_gets_and_what_would_help() {
    let one = loop_answer(&[
        (
            "/shelf",
            json!([{"name": "Premix", "glycol": "ethylene", "percent": 50}]),
        ),
        (
            "/loops/0/now",
            json!({"by": "flushed", "left_behind": {"value": 1.9, "unit": "L"}}),
        ),
        ("/loops/0/draw_limit", Value::Null),
        ("/loops/0/additive", Value::Null),
    ]);
    fault(
        &one["error"],
        "aim_unreachable",
        "loops[0].aim",
        &["38.", "drain 1.90 L", "stronger product"],
    );
    near(&one["error"]["best"]["percent"], 50.0 * 6.5 / 8.4, 0.5);
}

/// Found by `tests/laws/remedies.rs`: a plan there was, and the refusal's own advice ("10 rounds in all", "drain 0.00 L")
/// gave it away. Of a short stock too much early leaves too little to land with, too little early takes too long; and a
/// litre of loop lands at a coarser measure, though not at the finest, for the dose is measured in steps of its own.
#[test]
fn what_can_be_done_is_not_refused() {
    let concentrate = |have: f64| json!({"name": "Concentrate", "glycol": "ethylene", "percent": 100, "have": {"value": have, "unit": "L"}});
    let premix = |percent: f64| json!({"name": "Premix", "glycol": "ethylene", "percent": percent});
    let litres = |value: f64| json!({"value": value, "unit": "L"});
    let flushed = |left: f64| json!({"by": "flushed", "left_behind": {"value": left, "unit": "L"}, "percent": 0});
    let lands = |shelf: Value, volume: f64, now: Value, aim: f64, limit: Value, additive: Value| {
        let one = loop_answer(&[
            ("/shelf", shelf),
            ("/loops/0/volume", litres(volume)),
            ("/loops/0/missing", litres(0.0)),
            ("/loops/0/now", now),
            ("/loops/0/aim", json!({"by": "percent", "value": aim})),
            ("/loops/0/draw_limit", limit),
            ("/loops/0/additive", additive),
        ]);
        assert_eq!(one["error"], Value::Null);
        near(&one["after"]["percent"], aim, 1.0);
    };
    lands(
        json!([concentrate(4.918), premix(35.938)]),
        18.161,
        json!({"by": "percent", "value": 10}),
        44.763,
        litres(2.8067),
        Value::Null,
    );
    lands(
        json!([concentrate(3.6225760348907468), premix(48.71955991739588)]),
        26.27169953663709,
        flushed(3.590230527897748),
        56.29969005475543,
        litres(5.922449070025825),
        Value::Null,
    );
    let rate = json!({"by": "ratio", "value": 24.417810770912574, "unit": "mL/L"});
    lands(
        json!([concentrate(4.918), premix(35.93832052870928)]),
        1.0,
        flushed(0.402),
        59.88557419931214,
        Value::Null,
        json!({"name": "Wetting agent", "rate": rate}),
    );
}

/// What leaves the loop as it is, or only fills it, is nearer than any draw that goes the wrong way; by a mass balance in
/// litres (the handbook's shrinkage is under a tenth of a point here).
#[test]
fn the_nearest_is_the_nearest() {
    let stock = |percent: f64, have: Option<f64>| {
        let mut stock = json!({"name": "It", "glycol": "ethylene", "percent": percent});
        if let Some(have) = have {
            stock["have"] = json!({"value": have, "unit": "L"});
        }
        json!([stock])
    };
    let best = |shelf: Value, now: f64, limit: Value| {
        let one = loop_answer(&[
            ("/shelf", shelf),
            ("/loops/0/now/value", json!(now)),
            ("/loops/0/draw_limit", limit),
            ("/loops/0/additive", Value::Null),
        ]);
        assert_eq!(one["error"]["code"], "aim_unreachable", "{one}");
        one["error"]["best"].clone()
    };
    let is = |best: &Value, percent: f64, drawn: f64, rounds: u64| {
        near(&best["percent"], percent, 0.2);
        near(&best["drawn_litres"], drawn, 1e-9);
        assert_eq!(best["rounds"], rounds, "{best}");
    };
    let limit = json!({"value": 4.5, "unit": "L"});
    // Water alone only weakens, concentrate alone only strengthens it.
    is(&best(stock(0.0, None), 42.0, limit.clone()), 42.0, 0.0, 0);
    is(&best(stock(100.0, None), 53.0, limit.clone()), 53.0, 0.0, 0);
    // Filled, and no more.
    is(
        &best(stock(100.0, Some(0.6)), 38.0, limit.clone()),
        (38.0 * 7.8 + 60.0) / 8.4,
        0.0,
        1,
    );
    // A litre of premix: 0.6 L to fill, so 0.4 L out.
    is(
        &best(stock(70.0, Some(1.0)), 30.0, limit),
        (30.0 * 7.4 + 70.0) / 8.4,
        0.4,
        1,
    );
    // Nobody knows what is in it.
    let one = loop_answer(&[
        ("/shelf", stock(0.0, None)),
        ("/loops/0/now", json!({"by": "unknown"})),
    ]);
    assert_eq!(one["error"]["best"], Value::Null);
}

/// At the mark and on the aim, and nothing comes out: the dose is what does not fit.
#[test]
fn a_dose_without_room_is_said_to_be_it() {
    let litres = |value: f64| json!({"value": value, "unit": "L"});
    let edits = [
        ("/loops/0/now/value", json!(50)),
        ("/loops/0/missing", litres(0.0)),
        ("/loops/0/draw_limit", litres(0.0)),
    ];
    let one = loop_answer(&edits);
    fault(
        &one["error"],
        "aim_unreachable",
        "loops[0].aim",
        &["no room for the dose", "drain"],
    );
    let undosed = [&edits[..], &[("/loops/0/additive", Value::Null)]].concat();
    assert_eq!(loop_answer(&undosed)["error"], Value::Null);
}
