//! The counter sheet: what to take, what is left over, what it comes to. Amounts worked by hand, or held to laws.

use crate::common::{self, Balance};
use crate::file::*;
use pourcard::job::{self, answer::Answer, file, units::VolumeUnit};
use proptest::prelude::*;
use serde_json::{Value, json};

fn l(value: f64) -> Value {
    json!({"value": value, "unit": "L"})
}

fn packs(list: &[(f64, f64)]) -> Value {
    list.iter()
        .map(|(size, price)| json!({"size": l(*size), "price": price}))
        .collect()
}

/// The van emptied, without its additive: 8.4 L to be 50 %.
fn emptied(edits: &[(&str, Value)]) -> Value {
    let mut all = vec![
        ("/loops/0/now", json!({"by": "empty"})),
        ("/loops/0/missing", Value::Null),
        ("/loops/0/additive", Value::Null),
        ("/shelf/1/have", Value::Null),
    ];
    all.extend_from_slice(edits);
    van(&all)
}

fn counts(all: &Value, name: &str) -> Vec<(f64, u64)> {
    let take = all["sheet"]["take"].as_array().unwrap();
    let found = take.iter().find(|t| t["name"] == name);
    let of = |p: &Value| (p["litres"].as_f64().unwrap(), p["count"].as_u64().unwrap());
    found.map_or(Vec::new(), |t| {
        t["packs"].as_array().unwrap().iter().map(of).collect()
    })
}

#[test]
fn no_packs_no_sheet() {
    assert!(answer(&van(&[]))["sheet"].is_null());
}

/// 8.4 L at 50 % are 8.47 L apart: 4.23 of each. Five of concentrate at 5 and a water at 3 come to 28, two premixes
/// at 12 to 24: premix. At 15 for the premix: concentrate and water, and the card pours those.
#[test]
fn the_card_pours_what_is_cheapest() {
    let shelf = |premix: f64| {
        emptied(&[
            ("/shelf/0/packs", packs(&[(1.0, 5.0)])),
            ("/shelf/1/packs", packs(&[(5.0, premix)])),
            ("/shelf/2/packs", packs(&[(5.0, 3.0)])),
        ])
    };
    let premix = answer(&shelf(12.0));
    assert_eq!(counts(&premix, "Premix"), [(5.0, 2)]);
    assert_eq!(premix["sheet"]["bill"]["total"], "24.00");
    let steps = card(&premix["loops"][0]);
    assert!(steps.starts_with("1 pour Premix 8.4"), "{steps}");
    let mixed = answer(&shelf(15.0));
    assert_eq!(counts(&mixed, "Concentrate"), [(1.0, 5)]);
    assert_eq!(counts(&mixed, "Distilled water"), [(5.0, 1)]);
    assert_eq!(counts(&mixed, "Premix"), []);
    assert_eq!(mixed["sheet"]["bill"]["total"], "28.00");
    let steps = card(&mixed["loops"][0]);
    assert!(
        steps.starts_with("1 pour Concentrate 4.2") && !steps.contains("Premix"),
        "{steps}"
    );
    // The one with the fewest packs is the premix whatever it costs.
    let mut fewest = shelf(15.0);
    fewest["money"] = json!({"wish": "fewest"});
    assert_eq!(counts(&answer(&fewest), "Premix"), [(5.0, 2)]);
}

/// What is there is used before anything is bought; without packs there is only what is there.
#[test]
fn what_is_there_is_not_bought() {
    let all = answer(&emptied(&[
        ("/shelf/0/packs", packs(&[(1.0, 5.0), (4.0, 16.0)])),
        ("/shelf/0/have", l(0.4)),
        ("/shelf/1/percent", json!(49.9)),
        ("/shelf/1/have", l(0.0)),
    ]));
    assert_eq!(counts(&all, "Concentrate"), [(4.0, 1)]);
    let take = &all["sheet"]["take"][0];
    let needed = take["needed_litres"].as_f64().unwrap();
    near(&take["left_litres"], 4.4 - needed, 1e-9);
    near(&take["have_litres"], 0.4, 1e-9);
    // Distilled water has neither packs nor an amount: as much as is needed, and nothing to buy.
    let water = &all["sheet"]["take"][1];
    assert!(water["have_litres"].is_null() && water["left_litres"].is_null());
    assert_eq!(water["packs"], json!([]));
}

/// A draw is not made larger for a cheaper pack: the least drawn goes before money.
#[test]
fn the_draw_stays_the_plans() {
    let plain = answer(&van(&[]));
    let all = answer(&van(&[
        ("/shelf/0/packs", packs(&[(1.0, 100.0)])),
        ("/shelf/1/percent", json!(70)),
        ("/shelf/1/packs", packs(&[(1.0, 1.0)])),
    ]));
    let draw = |all: &Value| all["loops"][0]["dispose_litres"].as_f64().unwrap();
    assert!((draw(&all) - draw(&plain)).abs() < 1e-9);
    assert_eq!(counts(&all, "Concentrate"), [(1.0, 2)]);
}

/// Two loops share what is bought: 8.4 and 2.5 L flushed dry are one purchase. 5.45 L of each apart come to 5.49.
#[test]
fn two_loops_one_purchase() {
    let mut file = emptied(&[
        ("/shelf/0/packs", packs(&[(1.0, 6.0), (5.0, 24.0)])),
        ("/shelf/1/packs", packs(&[(5.0, 30.0)])),
    ]);
    let mut second = file["loops"][0].clone();
    second["volume"] = l(2.5);
    file["loops"].as_array_mut().unwrap().push(second);
    let all = answer(&file);
    // 5.49 L of concentrate: five and one, 30; the water is free.
    assert_eq!(counts(&all, "Concentrate"), [(1.0, 1), (5.0, 1)]);
    assert_eq!(all["sheet"]["bill"]["total"], "30.00");
}

/// Additives of one name are one: two doses of 250 and 75 mL from bottles of 200.
#[test]
fn bottles_are_shared() {
    let mut file = van(&[(
        "/loops/0/additive/packs",
        json!([{"size": {"value": 200, "unit": "mL"}, "price": 8.5}]),
    )]);
    let mut second = file["loops"][0].clone();
    second["additive"]["packs"] = json!([]);
    second["volume"] = l(2.5);
    file["loops"].as_array_mut().unwrap().push(second);
    let all = answer(&file);
    let dose = |i: usize| all["loops"][i]["dose"]["litres"].as_f64().unwrap();
    assert_eq!(counts(&all, "Wetting agent"), [(0.2, 2)]);
    let take = all["sheet"]["take"].as_array().unwrap();
    let bottle = take.iter().find(|t| t["additive"] == true).unwrap();
    near(&bottle["needed_litres"], dose(0) + dose(1), 1e-9);
    near(&bottle["left_litres"], 0.4 - dose(0) - dose(1), 1e-9);
    assert_eq!(all["sheet"]["bill"]["lines"][0]["amount"], "17.00");
}

/// Worked by hand: two packs at 9.90 with 0.50 of deposit each; 0.55 L of waste at 1.20; half an hour at 96; 8.1 %;
/// to 0.05. 19.80 + 1.00 + 0.66 + 48.00 = 69.46; tax 5.62626; 75.09; 75.10.
#[test]
fn the_bill() {
    let mut file = van(&[
        ("/loops/0/additive", Value::Null),
        ("/shelf/0/packs", packs(&[(1.0, 9.9)])),
    ]);
    file["money"] = json!({
        "currency": "Fr.", "tax": {"percent": 8.1}, "rounding": {"to": 0.05},
        "charges": [{"name": "Deposit", "amount": 0.5, "per": "pack"},
                    {"name": "Disposal", "amount": 1.2, "per": "waste_L"}],
        "labour": {"hours": 0.5, "rate": 96}
    });
    let all = answer(&file);
    near(&all["sheet"]["waste_litres"], 0.55, 1e-9);
    let bill = &all["sheet"]["bill"];
    let amounts: Vec<&str> = bill["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| l["amount"].as_str().unwrap())
        .collect();
    assert_eq!(amounts, ["19.80", "1.00", "0.66", "48.00"]);
    assert_eq!(
        [
            &bill["net"],
            &bill["tax"],
            &bill["rounding"],
            &bill["total"]
        ],
        ["69.46", "5.63", "0.01", "75.10"]
    );
}

/// A loop without a plan is left out, by its place, and the other is served.
#[test]
fn a_loop_without_a_plan_is_left_out() {
    let mut file = emptied(&[
        ("/shelf/0/packs", packs(&[(5.0, 20.0)])),
        ("/shelf/1/have", l(0.0)),
    ]);
    let mut second = file["loops"][0].clone();
    second["kind"] = json!("battery");
    file["loops"].as_array_mut().unwrap().push(second);
    let all = answer(&file);
    assert_eq!(all["sheet"]["left_out"], json!([1]));
    assert_eq!(counts(&all, "Concentrate"), [(5.0, 1)]);
}

/// Poured is bought: once the concentrate went in, the set still holds it, and the rest of the card.
#[test]
fn what_happened_is_still_held() {
    let mut file = emptied(&[
        ("/shelf/0/packs", packs(&[(1.0, 5.0)])),
        ("/shelf/1/packs", packs(&[(5.0, 15.0)])),
        ("/shelf/2/packs", packs(&[(5.0, 3.0)])),
    ]);
    file["loops"][0]["done"] =
        json!([{"id": "1", "step": "pour", "stock": "Concentrate", "amount": l(4.6)}]);
    let all = answer(&file);
    held_by_packs(&all);
    assert_eq!(counts(&all, "Concentrate"), [(1.0, 5)]);
}

#[track_caller]
fn held_by_packs(all: &Value) {
    for take in all["sheet"]["take"].as_array().unwrap() {
        let name = take["name"].as_str().unwrap();
        let poured: f64 = all["loops"]
            .as_array()
            .unwrap()
            .iter()
            .flat_map(|lp| [&lp["so_far"], &lp["steps"]])
            .flat_map(|steps| steps.as_array().unwrap())
            .filter(|s| s["stock"] == name)
            .filter_map(|s| s["litres"].as_f64())
            .sum();
        if take["additive"] == false {
            near(&take["needed_litres"], poured, 1e-9);
        }
        let bought: f64 = counts(all, name)
            .iter()
            .map(|(size, n)| size * *n as f64)
            .sum();
        if let Some(have) = take["have_litres"].as_f64() {
            assert!(
                take["needed_litres"].as_f64().unwrap() <= have + bought + 1e-6,
                "{take}"
            );
        }
    }
}

fn pack(size: f64, price: f64) -> file::Pack {
    file::Pack {
        size: common::litres(size),
        price,
    }
}

fn a_job() -> impl Strategy<Value = file::Job> {
    let sizes = || {
        prop::collection::vec(
            (
                prop::sample::select(vec![0.5, 1.0, 2.0, 5.0]),
                100..4000_i32,
            ),
            1..3,
        )
    };
    let now = prop::sample::select(vec![0, 1, 2]);
    let a_loop = (1.5..14.0, now, 40.0..60.0, 25.0..45.0);
    (
        sizes(),
        sizes(),
        sizes(),
        prop::collection::vec(a_loop, 1..4),
        prop::sample::select(file::Wish::ALL.to_vec()),
        prop::option::of(0.0..3.0),
    )
        .prop_map(|(concentrate, premix, water, loops, wish, have)| {
            let mut shelf = vec![
                common::stock("Concentrate", 100.0),
                common::stock("Premix", 50.0),
                common::stock("Water", 0.0),
            ];
            for (stock, sizes) in shelf.iter_mut().zip([concentrate, premix, water]) {
                stock.packs = sizes
                    .iter()
                    .map(|(s, p)| pack(*s, f64::from(*p) / 100.0))
                    .collect();
            }
            shelf[1].have = have.map(|h: f64| common::litres((h * 10.0).round() / 10.0));
            let loops =
                loops
                    .into_iter()
                    .map(|(volume, now, aim, reading): (f64, i32, f64, f64)| {
                        let volume = (volume * 10.0).round() / 10.0;
                        let mut lp = common::engine_loop(volume, reading.round(), aim.round());
                        lp.now = match now {
                            0 => file::Now::Empty {},
                            1 => file::Now::Flushed {
                                left_behind: common::litres(1.0),
                                percent: 0.0,
                            },
                            _ => lp.now,
                        };
                        lp
                    });
            let mut job = common::job(shelf, loops.collect());
            job.money = Some(file::Money {
                wish: Some(wish),
                ..file::Money::default()
            });
            job
        })
}

/// What each stock's packs and what is there come to.
fn there(all: &Answer, name: &str) -> f64 {
    let sheet = all.sheet.as_ref().unwrap();
    sheet
        .take
        .iter()
        .filter(|t| t.name == name)
        .fold(0.0, |sum, t| {
            sum + t.have_litres.unwrap()
                + t.packs
                    .iter()
                    .map(|p| p.litres * f64::from(p.count))
                    .sum::<f64>()
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// The packs hold what the cards pour; the cards land as well as without packs, and draw no more; and no set that
    /// only holds the cards as they were is better.
    #[test]
    fn what_is_bought_is_what_is_poured(job in a_job()) {
        let all = job::answer(&job);
        let mut without = job.clone();
        for stock in &mut without.shelf {
            (stock.packs, stock.have) = (Vec::new(), None);
        }
        let plain = job::answer(&without);
        let sheet = all.sheet.as_ref().unwrap();
        for stock in &job.shelf {
            let used: f64 = all.loops.iter().flat_map(|lp| &lp.used.0).filter(|(n, _)| *n == stock.name).map(|(_, l)| l).sum();
            prop_assert!(used <= there(&all, &stock.name) + 1e-6, "{}: {used}", stock.name);
        }
        for ((lp, one), plain) in job.loops.iter().zip(&all.loops).zip(&plain.loops) {
            prop_assert_eq!(one.error.is_some(), plain.error.is_some());
            if one.error.is_some() { continue }
            prop_assert!(one.dispose_litres <= plain.dispose_litres + 0.05 + 1e-9);
            let mut balance = Balance::before(lp);
            one.steps.iter().for_each(|s| balance.step(s, &job.shelf));
            let file::Aim::Percent { value, .. } = lp.aim else { unreachable!() };
            prop_assert!((balance.percent() - value).abs() < 1.05, "{} %, aimed at {value}", balance.percent());
            prop_assert!(balance.litres() <= lp.volume.value + 1e-3);
        }
        // The same cards, each stock bought by itself, the cheapest of its packs by trying all counts.
        if job.money.as_ref().unwrap().wish == Some(file::Wish::Cheapest) {
            let apart: f64 = job.shelf.iter().map(|s| {
                let used: f64 = plain.loops.iter().flat_map(|lp| &lp.used.0).filter(|(n, _)| *n == s.name).map(|(_, l)| l).sum();
                let need = used - s.have.map_or(0.0, |q| q.value);
                cheapest_by_trying(&s.packs, need - 1e-6)
            }).sum();
            // With a step to spare where rounding would not have it otherwise.
            let total: f64 = sheet.bill.total.text().parse().unwrap();
            let dearest: f64 = job.shelf.iter().flat_map(|s| &s.packs).map(|p| p.price).fold(0.0, f64::max);
            prop_assert!(total <= apart + 1e-6 || total <= apart + dearest, "{total}, apart {apart}");
        }
    }

    /// The page and the file hold the same money.
    #[test]
    fn a_file_with_packs_is_itself(job in a_job()) {
        prop_assert_eq!(job::read(&job::write(&job)).unwrap(), job);
    }
}

fn cheapest_by_trying(packs: &[file::Pack], need: f64) -> f64 {
    let Some((first, rest)) = packs.split_first() else {
        return if need <= 0.0 { 0.0 } else { f64::INFINITY };
    };
    assert_eq!(first.size.unit, VolumeUnit::L);
    let most = (need / first.size.value).ceil().max(0.0) as u32;
    (0..=most)
        .map(|n| {
            let n = f64::from(n);
            n * first.price + cheapest_by_trying(rest, need - n * first.size.value)
        })
        .fold(f64::INFINITY, f64::min)
}
