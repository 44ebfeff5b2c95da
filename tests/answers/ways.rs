//! Each way a plan can go.

use crate::file::*;
use serde_json::{Value, json};

#[track_caller]
fn way(edits: &[(&str, Value)], expected: &str, steps: &str) {
    let mut edits = edits.to_vec();
    edits.push(("/loops/0/additive", Value::Null));
    let one = loop_answer(&edits);
    assert_eq!(one["way"].as_str(), Some(expected), "{one}");
    assert_eq!(card(&one), steps);
}

/// Amounts are regression pins; `laws.rs` replays such cards.
#[test]
fn ways() {
    let now = |v: f64| ("/loops/0/now/value", json!(v));
    let l = |v: f64| json!({"value": v, "unit": "L"});
    let missing = |v: f64| ("/loops/0/missing", l(v));
    way(&[now(50.5), missing(0.02)], "nothing", "");
    way(&[now(49.5)], "top_up", "1 pour Premix 0.6, 1 run, 1 check");
    way(
        &[now(48.0)],
        "top_up",
        "1 pour Concentrate 0.3, 1 pour Premix 0.3, 1 run, 1 check",
    );
    way(
        &[now(58.0)],
        "draw_and_pour",
        "1 draw 0.55, 1 pour Distilled water 1.15, 1 run, 1 check",
    );
    way(
        &[now(20.0), ("/loops/0/draw_limit", l(2.0))],
        "rounds",
        "1 draw 2, 1 pour Concentrate 2.6, 1 run, 2 draw 0.75, 2 pour Concentrate 0.75, 2 run, 2 check",
    );
    way(
        &[(
            "/loops/0/now",
            json!({"by": "flushed", "left_behind": l(1.9)}),
        )],
        "refill",
        "1 pour Concentrate 1.9, 1 pour Premix 4.6, 1 run, 1 check",
    );
    way(
        &[("/loops/0/now", json!({"by": "empty"}))],
        "refill",
        "1 pour Concentrate 4.25, 1 pour Distilled water 4.2, 1 run, 1 check",
    );
    way(
        &[
            ("/loops/0/now", json!({"by": "unknown"})),
            ("/loops/0/draw_limit", Value::Null),
        ],
        "refill",
        "1 draw 7.8, 1 pour Concentrate 4.25, 1 pour Distilled water 4.2, 1 run, 1 check",
    );
    way(
        &[
            ("/loops/0/aim", json!({"by": "percent", "value": 0})),
            ("/loops/0/limits", json!({"low": 0, "high": 60})),
            ("/loops/0/draw_limit", Value::Null),
        ],
        "draw_and_pour",
        "1 draw 7.8, 1 pour Distilled water 8.4, 1 run, 1 check",
    );
}

/// A frost aim is the least percentage that reaches it, and anything up to the loop's highest will do.
#[test]
fn a_frost_aim() {
    let frost = |c: f64| {
        (
            "/loops/0/aim",
            json!({"by": "freezing_point", "value": c, "unit": "degC"}),
        )
    };
    let one = loop_answer(&[frost(-37.0), ("/loops/0/additive", Value::Null)]);
    assert!(one["after"]["freezing_point_c"].as_f64().unwrap() <= -37.0);
    near(&one["after"]["percent"], 50.0, 0.6); // handbook: -36.4 at 49.6 %, -37.9 at 50.6 %
    let there = loop_answer(&[
        frost(-25.0),
        ("/loops/0/now/value", json!(55)),
        ("/loops/0/missing", Value::Null),
        ("/loops/0/additive", Value::Null),
    ]);
    assert_eq!(there["way"], "nothing");
}

/// Rounds to renew 95 % of a charge by the share that drains at a time: ln(0.05) / ln(1 - d), so six at 0.4, four at
/// 0.6, two at 0.8 (arithmetic; the shares themselves: service manuals and common practice).
#[test]
fn rounds_to_renew_a_charge() {
    for (share, rounds) in [(0.4, 6), (0.6, 4), (0.8, 2)] {
        let one = loop_answer(&[
            ("/loops/0/now/value", json!(50)),
            ("/loops/0/missing", Value::Null),
            ("/loops/0/draw_limit", Value::Null),
            ("/loops/0/drains", json!({"fraction": share})),
            ("/loops/0/renew", json!({"fraction": 0.95})),
            ("/loops/0/additive", Value::Null),
            ("/loops/0/measure_step", json!({"value": 1, "unit": "mL"})),
        ]);
        assert_eq!(
            one["steps"].as_array().unwrap().last().unwrap()["round"],
            rounds,
            "at {share}"
        );
        near(&one["after"]["percent"], 50.0, 1.0);
    }
}

/// Rounds that half-and-half premix needs to bring flush water within a point of 50 %:
/// ln(1 / 50) / ln(1 - d) = 7.7 at 0.4, 4.3 at 0.6, 2.4 at 0.8 (arithmetic, volumes taken to add).
#[test]
fn rounds_of_premix_after_a_flush() {
    for (share, rounds) in [(0.4, 8), (0.6, 5), (0.8, 3)] {
        let one = loop_answer(&[
            (
                "/shelf",
                json!([{"name": "Premix", "glycol": "ethylene", "percent": 50}]),
            ),
            ("/loops/0/now", json!({"by": "water"})),
            ("/loops/0/missing", Value::Null),
            ("/loops/0/draw_limit", Value::Null),
            ("/loops/0/drains", json!({"fraction": share})),
            ("/loops/0/additive", Value::Null),
        ]);
        assert_eq!(one["way"], "rounds");
        assert_eq!(
            one["steps"].as_array().unwrap().last().unwrap()["round"],
            rounds,
            "at {share}"
        );
    }
}

/// A bottle on the shelf that holds too little is used to the last drop, and the rest is found elsewhere.
#[test]
fn a_short_shelf() {
    let one = loop_answer(&[
        ("/shelf/0/have", json!({"value": 0.3, "unit": "L"})),
        ("/loops/0/additive", Value::Null),
        ("/loops/0/now/value", json!(47)),
    ]);
    assert!(
        one["used"]["Concentrate"].as_f64().unwrap() <= 0.3 + 1e-9,
        "{}",
        one["used"]
    );
    near(&one["after"]["percent"], 50.0, 1.0);
}

/// Renewing with a stock of the loop's own strength: nothing to solve for, the share alone says how much is drawn. At
/// the tap 3.36 of 8.4 L come out, 5.04 stay; to have 4.2 stay, d goes: 5.04 (1 - d / 8.4) = 4.2, so d = 1.4.
#[test]
fn a_charge_renewed_by_its_like() {
    let renewed = |percent: f64, drains: f64, share: f64| {
        loop_answer(&[
            (
                "/shelf",
                json!([{"name": "Premix", "glycol": "ethylene", "percent": percent}]),
            ),
            ("/loops/0/now/value", json!(50)),
            ("/loops/0/missing", Value::Null),
            ("/loops/0/draw_limit", Value::Null),
            ("/loops/0/drains", json!({"fraction": drains})),
            ("/loops/0/renew", json!({"fraction": share})),
            ("/loops/0/additive", Value::Null),
        ])
    };
    for percent in [50.0, 49.0] {
        let one = renewed(percent, 0.4, 0.5);
        assert_eq!(one["way"], "rounds");
        near(&one["dispose_litres"], 3.35 + 1.4, 0.06);
        assert_eq!(one["steps"].as_array().unwrap().len(), 7);
        assert_eq!(
            card(&renewed(percent, 1.0, 0.5)),
            "1 draw 4.2, 1 pour Premix 4.2, 1 run, 1 check"
        );
    }
    assert_eq!(
        card(&renewed(50.0, 1.0, 1.0)),
        "1 draw 8.4, 1 pour Premix 8.4, 1 run, 1 check"
    );
}

/// A share that drains, from plain water: 3.36 of 8.4 L at the tap make 40 %, then 0.4 (8.4 - d) + d = 4.2 asks for 1.4
/// (volumes taken to add).
#[test]
fn rounds_by_a_share() {
    let one = loop_answer(&[
        ("/loops/0/now", json!({"by": "water"})),
        ("/loops/0/missing", Value::Null),
        ("/loops/0/draw_limit", Value::Null),
        ("/loops/0/drains", json!({"fraction": 0.4})),
        ("/loops/0/additive", Value::Null),
    ]);
    assert_eq!(one["way"], "rounds");
    near(&one["dispose_litres"], 3.36 + 1.4, 0.15);
    near(&one["used"]["Concentrate"], 3.36 + 1.4, 0.15);
}

/// For the track: plain water with an inhibitor, and the Stop for an overnight frost. 60 mL in each of 8.4 L.
#[test]
fn water_only_with_an_inhibitor() {
    let one = loop_answer(&[
        ("/loops/0/now", json!({"by": "water"})),
        ("/loops/0/aim", json!({"by": "percent", "value": 0})),
        ("/loops/0/limits", json!({"low": 0, "high": 60})),
        ("/loops/0/additive/rate/value", json!(60)),
        ("/loops/0/additive/limit", Value::Null),
    ]);
    assert_eq!(
        card(&one),
        "1 dose 0.5, 1 pour Distilled water 0.1, 1 run, 1 check"
    );
    let stop = |code: &str| {
        let list = one["cautions"].as_array().unwrap();
        list.iter()
            .any(|c| c["code"] == code && c["weight"] == "stop")
    };
    assert!(
        stop("water_only") && stop("freeze_room_negative"),
        "{}",
        one["cautions"]
    );
}
