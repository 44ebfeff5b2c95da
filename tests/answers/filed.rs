//! Jobs that were once answered wrongly, as they were filed. What is expected is worked by hand beside each.

use crate::file::*;
use serde_json::{Value, json};

macro_rules! case {
    ($name:literal) => {
        serde_json::from_str::<Value>(include_str!(concat!("../cases/", $name, ".json"))).unwrap()
    };
}

fn one(file: &Value) -> Value {
    let one = answer(file)["loops"][0].clone();
    assert!(one["error"].is_null(), "{}", one["error"]);
    one
}

fn has(one: &Value, code: &str) -> bool {
    codes(one).iter().any(|c| c == code)
}

/// 0.6 L was guessed missing of 10, and what went in before it stood at the mark is what was missing: nothing to draw.
#[test]
fn what_went_in_to_the_mark_was_missing() {
    for (file, took) in [(case!("I_topup_more"), 0.9), (case!("I_topup_less"), 0.45)] {
        let one = one(&file);
        near(&one["corrected"]["missing_litres"], took, 1e-9);
        near(&one["after"]["litres"], 10.0, 1e-9);
        near(&one["dispose_litres"], 0.0, 0.0);
        assert_eq!(card(&one), "1 run, 1 check");
        assert!(!has(&one, "overfill_cold"), "{:?}", codes(&one));
        // A quarter less than guessed may be air, among other causes; a half more is none.
        assert_eq!(has(&one, "took_less"), took < 0.6);
    }
    // 1.9 L for the 0.8 drawn: 1.1 was missing, less what mixing shrinks. (0.42 x 8.1 + 1.9) / 10 = 53 %, so 0.6 L of
    // that goes for water, and it ends at the mark.
    let more = one(&case!("I_more"));
    near(&more["corrected"]["missing_litres"], 1.1, 0.03);
    near(&more["dispose_litres"], 0.8 + 0.58, 0.05);
    near(&more["after"]["percent"], 50.0, 0.5);
    near(&more["after"]["litres"], 10.0, 0.05);
}

/// Low by 0.4 L after the run and the bleed: 0.4 L more of the same.
#[test]
fn a_level_after_the_run_plans_the_top_up_again() {
    let one = one(&case!("X_check_amount"));
    assert_eq!(card(&one), "2 pour Premix 0.4, 2 run, 2 check");
    near(&one["after"]["litres"], 10.0, 1e-9);
}

/// 2.9 and 2.5 units are under 3.0, whatever the loop holds; of 13 gal, 38 mL a unit, that is 1.4326 and 1.235 L of
/// 1.482. At 2.0, to be 2.7: 9.1 units and what the room for them takes along, ten whole ones.
#[test]
fn a_level_is_a_concentration() {
    for (file, there) in [(case!("D_sca29"), 1.4326), (case!("D_sca25_pm20"), 1.235)] {
        let one = one(&file);
        assert!(!has(&one, "over_limit"), "{:?}", codes(&one));
        near(&one["dose"]["litres"], 0.0, 0.0);
        near(&one["dose"]["carried_over_litres"], there, 1e-4);
        near(&one["dose"]["limit_litres"], 1.482, 1e-4);
    }
    let cut = one(&case!("D_sca28_aim29"));
    near(&cut["dose"]["litres"], 0.38, 1e-6);
    assert!(!has(&cut, "dose_cut"), "{:?}", codes(&cut));
}

/// The file does not say what the premix brings, so that 2.3 units a gallon are missing: 1.14 L of 49.2, which dilutes
/// 50 % to 48.8, a point below the aim. What would help is a stronger stock, or to say what the premix brings; said, it
/// gets no dose.
#[test]
fn a_premix_that_brings_its_supplement_gets_none() {
    let mut file = case!("E_sca_ff");
    let error = answer(&file)["loops"][0]["error"].clone();
    assert_eq!(error["code"], "aim_unreachable");
    let message = error["message"].as_str().unwrap();
    assert!(message.contains("what supplement it brings"), "{message}");
    file["shelf"][0]["supplement"] = json!({"by": "none"});
    let told = answer(&file)["loops"][0]["error"]["message"].clone();
    assert!(!told.as_str().unwrap().contains("brings"), "{told}");
    file["shelf"][0]["supplement"] = json!({"by": "level", "value": 2.3, "unit": "units/US_gal"});
    let full = one(&file);
    near(&full["dose"]["litres"], 0.0, 0.0);
    near(&full["dose"]["level"]["after"], 2.3, 1e-9);
    assert!(has(&full, "supplement_brought"), "{:?}", codes(&full));
    near(&full["used"]["Premix"], 49.21, 0.05);
}

/// 200 mL for two loops that want 200 mL each.
#[test]
fn one_bottle_for_two_loops() {
    let both = answer(&case!("F_shared_additive"));
    for one in both["loops"].as_array().unwrap() {
        near(&one["dose"]["litres"], 0.1, 1e-9);
        assert!(has(one, "additive_shared"));
    }
}

/// "Treats up to 12 L" is the whole bottle for 8 and for 10; a limit of "up to 10" is one bottle for 10.
#[test]
fn a_bottle_up_to() {
    near(&one(&case!("R_bottle_upto"))["dose"]["litres"], 0.3, 1e-9);
    let limited = one(&case!("R_bottle_limit_upto"));
    near(&limited["dose"]["litres"], 0.3, 1e-9);
    near(&limited["dose"]["limit_litres"], 0.3, 1e-9);
    assert!(!has(&limited, "dose_cut") && !has(&limited, "over_limit"));
}

/// A label's percentage is off by 0 to so many points, and by a number.
#[test]
fn a_labels_range_out_of_range_is_refused() {
    for wrong in [json!(-1), json!(60)] {
        let mut file = case!("H_premix");
        file["shelf"][0]["plus_minus"] = wrong;
        let all = answer(&file);
        assert_eq!(all["error"]["code"], "out_of_range", "{all}");
        assert_eq!(all["error"]["key"], "shelf[0].plus_minus");
    }
}

/// 0.4 L of an additive nobody knows in 10 L reads as anything from water to glycol, 49.7 to 53.7 %: a reading in between
/// is as planned, and the dose that kept its limit (0.4 of 0.475 L) is not over it because of a smaller loop that the
/// reading, taken for glycol alone, would mean.
#[test]
fn a_reading_as_planned_judges_no_dose() {
    let mut file = case!("CB_add");
    for percent in [49.7, 51.5, 53.7] {
        file["loops"][0]["check_back"]["reading"]["value"] = json!(percent);
        let back = one(&file)["check_back"].clone();
        assert_eq!(back["finding"], "as_planned");
        assert!(back["dose"].is_null(), "{}", back["dose"]);
    }
}

/// A tap that gives 4 of 10 L: after 3.95 drawn in a round and 4.1 of premix poured, no more than 0.05 comes out before it
/// has run, and what is left of the work is as much as without the entry.
#[test]
fn what_was_just_poured_is_not_drained_again() {
    let mut file = case!("G_premix_rounds");
    file["loops"][0]["done"] = json!([{"id": "5", "amount": {"value": 4.1, "unit": "L"}}]);
    let one = one(&file);
    let steps = one["steps"].as_array().unwrap();
    let before = steps.iter().take_while(|s| s["do"] != "run");
    let drawn: f64 = before
        .filter(|s| s["do"] == "draw")
        .filter_map(|s| s["litres"].as_f64())
        .sum();
    assert!(drawn < 0.051, "{}", card(&one));
    near(&one["after"]["percent"], 49.0, 0.1);
}
