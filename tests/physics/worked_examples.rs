//! Published worked examples of mixing coolant, from textbooks, manuals and public answer pages: each row of
//! `tests/reference/worked_examples.csv` names its own source.
//!
//! The textbooks add volumes; mixing glycol and water shrinks by up to 2 %. So an amount may differ from theirs by
//! 1.5 % of the system's volume. Where a published answer is marked wrong, the row's recomputed one counts.

use crate::common::{self, engine_loop, job, litres, stock};
use pourcard::job::{self, answer::*, file, file::*};

struct Row {
    id: String,
    kind: String,
    volume: Option<f64>,
    now: Option<f64>,
    stock: Option<f64>,
    aim: Option<f64>,
    draw: Option<f64>,
    repeats: Option<u32>,
    end: Option<f64>,
    published: String,
    recomputed: String,
}

/// The cells of a CSV line; quotes protect commas.
fn cells(line: &str) -> Vec<String> {
    let (mut cells, mut cell, mut quoted) = (Vec::new(), String::new(), false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(std::mem::take(&mut cell)),
            c => cell.push(c),
        }
    }
    cells.push(cell);
    cells
}

fn rows() -> Vec<Row> {
    let text = include_str!("../reference/worked_examples.csv");
    let rows: Vec<Row> = text
        .lines()
        .filter(|l| !l.starts_with('#') && !l.starts_with("id,"))
        .map(cells)
        .map(|c| Row {
            id: c[0].clone(),
            kind: c[1].clone(),
            volume: c[2].parse().ok(),
            now: c[4].parse().ok(),
            stock: c[5].parse().ok(),
            aim: c[6].parse().ok(),
            draw: c[7].parse().ok(),
            repeats: c[9].parse().ok(),
            end: c[11].parse().ok(),
            published: c[12].clone(),
            recomputed: c[13].clone(),
        })
        .collect();
    assert_eq!(rows.len(), 28, "rows of the table");
    rows
}

/// A loop whose whole contents come out, with no limits of strength. The table's quarts and gallons stand for litres
/// here: the answer scales with them.
fn free_loop(volume: f64, now: f64, aim: f64) -> file::Loop {
    let mut lp = engine_loop(volume, now, aim);
    lp.limits = Some(Limits {
        low: 0.0,
        high: 100.0,
    });
    lp.measure_step = Some(litres((volume / 10_000.0).max(0.001)));
    lp
}

#[test]
fn drain_and_replace() {
    let mut tried = 0;
    for row in rows().iter().filter(|r| r.kind == "drain_replace") {
        let (volume, aim) = (row.volume.unwrap(), row.aim.unwrap());
        let lp = free_loop(volume, row.now.unwrap(), aim);
        let answer = job::answer(&job(vec![stock("Stock", row.stock.unwrap())], vec![lp]));
        let one = &answer.loops[0];
        assert!(one.error.is_none(), "{}: {:?}", row.id, one.error);
        let published = row.draw.unwrap();
        let off = (one.dispose_litres - published).abs();
        assert!(
            off <= 0.015 * volume,
            "{}: draws {}, published {published}",
            row.id,
            one.dispose_litres
        );
        assert!(
            (one.after.unwrap().percent.unwrap() - aim).abs() < 0.05,
            "{}",
            row.id
        );
        tried += 1;
    }
    assert_eq!(tried, 16);
}

#[test]
fn the_two_rows_marked_wrong_are_wrong() {
    for (id, wrong, right) in [("T28", 3.857, 6.0), ("T29", 5.0, 3.5)] {
        let rows = rows();
        let row = rows.iter().find(|r| r.id == id).unwrap();
        assert_eq!(row.draw, Some(right), "{id}");
        assert!(
            row.published.contains(&format!("{wrong}")),
            "{id}: {}",
            row.published
        );
        let volume = row.volume.unwrap();
        let lp = free_loop(volume, row.now.unwrap(), row.aim.unwrap());
        let answer = job::answer(&job(vec![stock("Stock", row.stock.unwrap())], vec![lp]));
        assert!(
            (answer.loops[0].dispose_litres - wrong).abs() > 0.05 * volume,
            "{id}"
        );
    }
}

/// T20: a 20-quart system of water, a quarter replaced by concentrate four times, keeps 81/256 of the water. The
/// test's own balance against the published share, so that the laws rest on something.
#[test]
fn four_rounds_of_a_quarter() {
    let rows = rows();
    let row = rows
        .iter()
        .find(|r| r.kind == "repeated_drain_fill")
        .unwrap();
    let volume = row.volume.unwrap();
    let mut balance = common::Balance::empty(GlycolName::Ethylene);
    balance.pour(volume, row.now.unwrap());
    for _ in 0..row.repeats.unwrap() {
        balance.draw(row.draw.unwrap());
        let room = volume - balance.litres();
        balance.pour(room, row.stock.unwrap());
    }
    assert!(
        (balance.percent() - row.end.unwrap()).abs() < 1.5,
        "{}",
        balance.percent()
    );
}

/// T27: premix of the aim's own strength: the whole charge must go, and where less comes out the card says so.
#[test]
fn premix_of_the_aims_own_strength() {
    let rows = rows();
    let row = rows.iter().find(|r| r.id == "T27").unwrap();
    let (volume, now, aim) = (row.volume.unwrap(), row.now.unwrap(), row.aim.unwrap());
    let premix = || vec![stock("Premix", row.stock.unwrap())];
    let all = job::answer(&job(premix(), vec![free_loop(volume, now, aim)]));
    assert!((all.loops[0].dispose_litres - volume).abs() < 1e-6);

    // At the tap only 0.4 comes out. Rounds to within a point: ln((s - 49)/(s - c0)) / ln(1 - 0.4) = 5.5, so six.
    let mut tap = free_loop(volume, now, aim);
    tap.drains = Some(Share { fraction: 0.4 });
    let tap = job::answer(&job(premix(), vec![tap]));
    assert_eq!(tap.loops[0].way, Some(Way::Rounds));
    assert_eq!(tap.loops[0].steps.last().unwrap().round, 6);
}

/// T23: five of eight quarts drained, three of flush water left: three quarts of concentrate balance them, the rest
/// half and half. (The premix alone would give 31.25 %.)
#[test]
fn residual_water_after_a_flush() {
    let mut lp = free_loop(8.0, 0.0, 50.0);
    lp.now = Now::Flushed {
        left_behind: litres(3.0),
        percent: 0.0,
    };
    let answer = job::answer(&job(
        vec![stock("Concentrate", 100.0), stock("Water", 0.0)],
        vec![lp.clone()],
    ));
    let one = &answer.loops[0];
    assert_eq!(one.way, Some(Way::Refill));
    let poured: Vec<f64> = one
        .steps
        .iter()
        .filter(|s| s.what == Do::Pour)
        .filter_map(|s| s.litres)
        .collect();
    assert!(
        (poured[0] - 4.0).abs() <= 0.12,
        "concentrate first: {poured:?}"
    );
    assert!((poured[1] - 1.0).abs() <= 0.12, "then water: {poured:?}");

    let premix = job::answer(&job(vec![stock("Premix", 50.0)], vec![lp]));
    let best = premix.loops[0].error.as_ref().unwrap().best.unwrap();
    assert!(
        (best.percent - 31.25).abs() < 0.6,
        "premix alone: {}",
        best.percent
    );
}

/// T31: 65 L of 30 % from 18 % and 38 %: the source swaps the two; 39 L of the stronger is right.
#[test]
fn two_stocks_blended() {
    let mut lp = free_loop(65.0, 0.0, 30.0);
    lp.now = Now::Empty {};
    let answer = job::answer(&job(
        vec![stock("Weak", 18.0), stock("Strong", 38.0)],
        vec![lp],
    ));
    let used = &answer.loops[0].used.0;
    let of = |name: &str| used.iter().find(|(n, _)| n == name).unwrap().1;
    assert!((of("Strong") - 39.0).abs() < 0.015 * 65.0, "{used:?}");
    assert!((of("Weak") - 26.0).abs() < 0.015 * 65.0, "{used:?}");
}

/// T24: 13 US gal at 1.5 units/gal, wanted 2.3: 10.4 units, eleven whole ones, which give 2.346; at most 3.0.
#[test]
fn units_of_a_supplemental_additive() {
    use pourcard::engine::{
        dose::{Dosing, Drawn, LabelRate},
        levels::AtEnds,
        quantity::{Measured, in_litres, litres},
    };
    let rows = rows();
    let row = rows.iter().find(|r| r.id == "T24").unwrap();
    assert!(
        row.recomputed.contains("10.4") && row.recomputed.contains("11 units"),
        "{}",
        row.recomputed
    );
    let gallon = 3.785_411_784;
    let unit = 0.25; // litres in a unit: any will do
    let level = |aim: f64| LabelRate::Level {
        now: 1.5,
        aim,
        raises: gallon / unit,
        unit: Some(litres(unit)),
    };
    let dosing = Dosing {
        rate: level(2.3),
        limit: Some(level(3.0)),
        carrier: pourcard::engine::mix::Carrier::Water,
        already: None,
        have: None,
        step: litres(0.005),
        supplement: true,
    };
    let volume = Measured {
        value: litres(13.0 * gallon),
        plus_minus: litres(0.0),
    };
    let dose = dosing.amount(&Drawn {
        volume,
        additive: litres(0.0),
        old: volume.value,
        tested: AtEnds::of(1.5 * 13.0 * gallon),
        brought: false,
        step: litres(0.05),
    });
    assert!(
        (in_litres(dose.amount) / unit - 11.0).abs() < 1e-9,
        "{} units",
        in_litres(dose.amount) / unit
    );
    let level_after = 1.5 + in_litres(dose.amount) / unit / 13.0;
    assert!((level_after - 2.346).abs() < 5e-4);
}

/// The tables of frost protection: quarts in a system of so many, and the manual's check of a hydrometer.
#[test]
fn frost_tables() {
    use pourcard::engine::{
        fluid::Glycol,
        property::{Freezing, freezing_point},
        quantity::{LabelFraction, in_celsius},
    };
    let mut tried = 0;
    for row in rows()
        .iter()
        .filter(|r| r.kind == "freeze_table_EG" || r.kind == "hydrometer_check_EG")
    {
        let published: f64 = match row.id.as_str() {
            "T40" => -17.8,
            _ => row
                .recomputed
                .split("-> ")
                .nth(1)
                .unwrap()
                .trim_end_matches(" C")
                .parse()
                .unwrap(),
        };
        let strength = LabelFraction::from_percent(row.end.unwrap()).unwrap();
        let Freezing::At(t) = freezing_point(Glycol::Ethylene, strength).unwrap() else {
            panic!("{}", row.id)
        };
        // Sources of frost tables differ by 2 to 4 K.
        assert!(
            (in_celsius(t) - published).abs() <= 2.5,
            "{}: {} against {published}",
            row.id,
            in_celsius(t)
        );
        tried += 1;
    }
    assert_eq!(tried, 6);
}
