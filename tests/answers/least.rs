//! The least plan: an outsider's files, each of which was once answered with more drawn, or not at all. Beside each value
//! stands a hand calculation, volumes taken to add.

use crate::file::*;
use serde_json::{Value, json};

fn loops(text: &str) -> Vec<Value> {
    let all = answer(&serde_json::from_str(text).unwrap());
    assert!(all["error"].is_null(), "{}", all["error"]);
    all["loops"].as_array().unwrap().clone()
}

macro_rules! case {
    ($name:literal) => {
        loops(include_str!(concat!("../cases/", $name, ".json"))).remove(0)
    };
}

fn proven(one: &Value) -> bool {
    one["least"]["proven"] == true
}

fn percent(one: &Value) -> f64 {
    one["after"]["percent"]
        .as_f64()
        .unwrap_or_else(|| panic!("{}", one["error"]))
}

/// Half of 10 L renewed, 4 L at a time: 6 L stay, and of those 6 (1 - d / 10) = 5 leaves d = 1.67; a step of 50 mL of old
/// coolant more may stay, so d = 1.58. Concentrate beside the premix changes nothing.
#[test]
fn one_more_stock_does_not_make_a_renewal_wasteful() {
    for one in [case!("W1_renew_waste"), case!("W1_premix_only")] {
        near(&one["dispose_litres"], 4.0 + 1.6, 0.08);
        assert!(proven(&one), "{}", one["least"]);
        near(&one["after"]["percent"], 48.0, 3.0);
    }
}

/// Three quarters of 10 L renewed, 4 L at a time: 6, 3.6, and 3.6 (1 - d / 10) = 2.55 leaves d = 2.92. Premix of 50 %
/// ends at 50 + 10 x 0.255 = 52.5 %, within the point allowed; water beside it does not take that away.
#[test]
fn one_more_stock_does_not_refuse_a_renewal() {
    for one in [case!("R1_renew_refused"), case!("R1_premix_only")] {
        near(&one["dispose_litres"], 8.0 + 2.95, 0.06);
        near(&one["after"]["percent"], 52.5, 0.1);
        assert!(proven(&one), "{}", one["least"]);
    }
}

/// 10.8 L at 44 %, 1.2 L missing: with 0.3 of water and 0.9 of premix (0.44 x 10.8 + 0.4 x 0.9) / 12 = 42.6 %, within the
/// three points allowed, and nothing is drawn.
#[test]
fn a_top_up_of_two_products_is_seen() {
    let one = case!("D1_topup_ignored");
    assert_eq!(one["way"], "top_up");
    near(&one["dispose_litres"], 0.0, 0.0);
    near(&one["after"]["percent"], 42.6, 0.1);
    assert!(proven(&one));
}

/// 200 mL at 51.3 %, 50 missing: of the 10 % product they make (51.3 x 0.2 + 0.5) / 0.25 = 43.0 %: nothing to draw.
#[test]
fn a_kart_is_measured_finely() {
    let one = case!("D2_kart");
    near(&one["dispose_litres"], 0.0, 0.0);
    near(&one["after"]["percent"], 43.0, 0.3);
}

/// Half of 49.2 L by a tap that gives half: 24.6 L in steps of 50 mL leave 5 mL more than half, and that is half.
#[test]
fn no_round_more_for_five_millilitres() {
    let one = case!("Q_renew2");
    assert_eq!(
        card(&one),
        "1 draw 24.6, 1 pour Premix 24.6, 1 run, 1 check"
    );
}

/// A larger draw limit never draws more: where landing on the aim does, the lesser way is an option, with what it saves.
#[test]
fn a_larger_draw_limit_never_draws_more() {
    let drawn = |one: &Value| {
        let others = one["runners_up"].as_array().unwrap().iter();
        let there = |r: &&Value| (r["percent"].as_f64().unwrap() - 58.0).abs() <= 2.0 + 1e-6;
        let others = others.filter(there).map(|r| &r["drawn_litres"]);
        others
            .chain([&one["dispose_litres"]])
            .map(|l| l.as_f64().unwrap())
            .fold(f64::INFINITY, f64::min)
    };
    let (small, large) = (case!("N1_limit_small"), case!("N1_limit_large"));
    assert!(
        drawn(&large) <= drawn(&small) + 0.05,
        "{} {}",
        drawn(&large),
        drawn(&small)
    );
    near(&large["after"]["percent"], 58.0, 0.5);
    assert!(percent(&small) >= 56.0);
}

/// A dose of 0.25 L, and 0.1 L that comes out at a time: shared over the last three rounds, no more of it than that.
#[test]
fn a_dose_goes_in_over_rounds() {
    let l = |v: f64| json!({"value": v, "unit": "L"});
    let one = loop_answer(&[
        ("/loops/0/now/value", json!(52)),
        ("/loops/0/missing", Value::Null),
        ("/loops/0/draw_limit", l(0.1)),
        ("/loops/0/aim/within", json!(3)),
    ]);
    assert_eq!(one["way"], "rounds", "{}", one["error"]);
    let steps = one["steps"].as_array().unwrap();
    let doses = steps.iter().filter(|s| s["do"] == "dose");
    let doses: Vec<f64> = doses.map(|s| s["litres"].as_f64().unwrap()).collect();
    assert!(
        doses.len() == 3 && doses.iter().all(|&d| d <= 0.1 + 1e-9),
        "{doses:?}"
    );
    // 30 mL/L of 8.4 L; of what goes in early a hundredth is drawn off again.
    near(&one["after"]["additive_litres"], 0.25, 0.006);
    near(&one["dose"]["litres"], doses.iter().sum(), 1e-9);
}

/// A refusal says whether there is no plan whatever: water alone makes nothing stronger.
#[test]
fn a_refusal_is_proven() {
    let one = loop_answer(&[("/shelf", json!([{"name": "Distilled water", "percent": 0}]))]);
    assert_eq!(one["error"]["code"], "aim_unreachable");
    assert_eq!(one["error"]["proven"], true);
}

/// One shelf with 4.56 L of concentrate. The second loop: draw d so that 0.43 (2.9 - d) + 0.3 + d = 0.55 x 3.2, d = 0.37, and
/// 0.67 L go in. The first, however often renewed with 28.9 %, needs x in its last round: 0.289 (13.4 - x) + x = 0.489 x
/// 13.4, x = 3.77. Together 4.44: there is a split that serves both (volumes taken to add).
#[test]
fn a_short_shelf_is_split_where_it_can_be() {
    let all = loops(include_str!("../cases/SH1_split.json"));
    for (one, aim) in all.iter().zip([49.0, 55.0]) {
        near(&json!(percent(one)), aim, 0.1 + 1e-6);
    }
    let used = |one: &Value| one["used"]["s0_100"].as_f64().unwrap();
    assert!(used(&all[0]) + used(&all[1]) <= 4.56 + 1e-9);
    near(&all[0]["used"]["s0_100"], 3.77, 0.15);
    near(&all[1]["used"]["s0_100"], 0.67, 0.06);
}
