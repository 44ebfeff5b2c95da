//! Fleets: a table of vehicles in, plans, sums and a report out.
//!
//! What a plan should be comes from three sides: three rows worked by hand, an independent mass balance that replays
//! every card (`tests/common`), and the project's own answer to one job of all the loops. Tables are written and read
//! back with the csv crate.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)] // a test may panic

mod common;

use common::Balance;
use pourcard::job::{self, answer::Way, file::*, fleet::*};

const JOB: &str = include_str!("../data/demo/orchard_fleet.json");
const FLEET: &str = include_str!("../data/demo/orchard_fleet.csv");

fn job() -> Job {
    job::read(JOB).unwrap()
}

fn planned(job: &Job, table: &str) -> Fleet {
    Fleet::planned(job, table.to_owned()).unwrap()
}

fn report(fleet: &Fleet) -> Vec<String> {
    fleet.report().collect()
}

/// The rows of a table out, by the csv crate.
fn rows_of(text: &str, separator: u8) -> Vec<Vec<String>> {
    let text = text.strip_prefix('\u{feff}').expect("a byte order mark");
    assert!(
        text.replace("\r\n", "")
            .bytes()
            .all(|b| b != b'\n' && b != b'\r'),
        "CRLF only"
    );
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let rows = reader
        .records()
        .map(|r| r.unwrap().iter().map(str::to_owned).collect());
    rows.collect()
}

fn plan(row: &Row) -> &Plan {
    row.outcome
        .as_ref()
        .unwrap_or_else(|wrong| panic!("line {}: {wrong:?}", row.line))
}

/// The orchard's job with nothing for sale, so that what is there is all there is.
fn unsold() -> Job {
    let mut job = job();
    job.shelf.iter_mut().for_each(|stock| stock.packs.clear());
    job.loops[0].additive.as_mut().unwrap().packs.clear();
    job
}

/// The same without an additive or a draw limit; it aims at 50 ± 2 % and measures in 0.1 L.
fn plain_job() -> Job {
    let mut job = unsold();
    job.loops[0].additive = None;
    job.loops[0].drains = None;
    job
}

/// Three rows by hand, with ρ(20 °C) of ethylene mixes from the handbook's table: 30 % 1045.25, 50 % 1073.6 kg/m³,
/// concentrate 1131.8 (by extrapolation), water 998.2. A litre of mix holds ρ/(φ·1131.8 + (1−φ)·998.2) litres measured
/// apart: 1.00671 at 30 %, 1.00806 at 50 %.
///
/// * Water, 10 L, to 50 %: 10 L of 50 % hold 10.0806/2 = 5.0403 L of water, so 10 − 5.0403 = 4.96 L must come out and
///   5.04 L of concentrate go in: to the tenth and never over the mark, 5.0 and 5.0, half and half.
/// * 30 %, 10 L, to 50 %: it holds 0.7·10.0671 = 7.0470 L of water and may keep 5.0403/7.0470 = 71.5 %, so 2.85 L come
///   out, about as much goes in: 2.8 and 2.8. Then it holds 0.72·0.3·10.0671 + 2.8 = 4.975 L of concentrate and
///   0.72·7.0470 = 5.074 L of water: 49.5 %.
/// * 50 %, 8 L at the mark and 0.8 missing: filled up with the 50 % premix.
#[test]
fn three_rows_by_hand() {
    let fleet = planned(
        &plain_job(),
        "vehicle,volume [L],missing [L],now [%]\nA,10,,0\nB,10,0,30\nC,8,0.8,50\n",
    );
    let cases = [
        (Way::DrawAndPour, 5.0, [5.0, 0.0, 0.0, 0.0], 50.0),
        (Way::DrawAndPour, 2.8, [2.8, 0.0, 0.0, 0.0], 49.5),
        (Way::TopUp, 0.0, [0.0, 0.8, 0.0, 0.0], 50.0),
    ];
    for (row, (way, drawn, poured, percent)) in fleet.rows.iter().zip(cases) {
        let plan = plan(row);
        assert_eq!(plan.way, Some(way), "{}", row.vehicle);
        assert!((plan.drawn - drawn).abs() < 1e-9, "{plan:?}");
        for (amount, expected) in plan.poured.iter().zip(poured) {
            assert!((amount - expected).abs() < 1e-9, "{plan:?}");
        }
        assert!((plan.percent.unwrap() - percent).abs() < 0.06, "{plan:?}");
    }
    assert!((fleet.sums.drawn - 7.8).abs() < 1e-9);
    assert!((fleet.sums.poured[0] - 7.8).abs() < 1e-9 && (fleet.sums.poured[1] - 0.8).abs() < 1e-9);
}

/// A table of many rows, every way of knowing what is in a loop.
fn many(rows: usize) -> String {
    let mut table = "vehicle;loop;glycol;volume [L];missing [L];now;sample [degC];aim [%];drains [%];left_behind [L]\r\n".to_owned();
    for i in 0..rows {
        let volume = 3.0 + (i * 37 % 230) as f64 / 10.0;
        let missing = volume * (i % 5) as f64 / 40.0;
        let reading = i * 7 % 60;
        let now = match i % 9 {
            0 => "water".to_owned(),
            1 => "unknown".to_owned(),
            2 => "flushed".to_owned(),
            3 => format!("{} degC", -3 - (reading as i32) / 2),
            4 => format!("1,0{:02} SG", 10 + reading / 2),
            5 => "empty".to_owned(),
            _ => format!("{reading} %"),
        };
        let line = format!(
            "Truck {i};Engine;ethylene;{volume:.1};{missing:.2};{now};20;{};{};{:.1}\r\n",
            42 + i % 14,
            if i % 4 == 0 { "" } else { "80" },
            volume * 0.2,
        );
        let (head, tail) = line.split_at(line.rfind("ethylene").unwrap());
        table += head;
        table += &tail.replace('.', ",");
    }
    table
}

/// Every plan is the answer's to one job of all the loops, and the answer's cards hold by an independent balance.
#[test]
fn plans_are_the_answer_s() {
    let mut few = plain_job();
    few.shelf[0].have = Some(common::litres(9.0));
    let short = "vehicle,volume [L],now [%],aim [%]\nA,10,0,50\nB,10,10,45\nC,10,20,48\n";
    let mut short_order = plain_job();
    short_order.shelf[0].have = Some(common::litres(300.0));
    for (job, table) in [
        (unsold(), FLEET.to_owned()),
        (unsold(), many(400)),
        (short_order, many(200)),
        (few, short.to_owned()),
    ] {
        let fleet = planned(&job, &table);
        let answer = job::answer(&fleet.job);
        assert!(answer.error.is_none());
        let mut met = 0;
        for row in &fleet.rows {
            let Some(place) = row.place else { continue };
            let told = &answer.loops[place];
            match (&row.outcome, &told.error) {
                (Err(wrong), Some(fault)) => {
                    assert!(
                        fault.message.ends_with(&wrong[0].words),
                        "{wrong:?} {fault:?}"
                    );
                }
                (Ok(plan), None) => {
                    assert_eq!(plan.way, told.way, "line {}", row.line);
                    assert_eq!(plan.cautions, told.cautions, "line {}", row.line);
                    let dose = told.dose.map_or(0.0, |d| d.litres);
                    let same = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "line {}", row.line);
                    same(plan.drawn, told.dispose_litres);
                    same(plan.dose, dose);
                    for (stock, amount) in fleet.job.shelf.iter().zip(&plan.poured) {
                        let used = told.used.0.iter().find(|(name, _)| *name == stock.name);
                        same(*amount, used.map_or(0.0, |(_, litres)| *litres));
                    }
                    let lp = &fleet.job.loops[place];
                    let known = matches!(
                        lp.now,
                        Now::Percent { .. } | Now::Water {} | Now::Flushed { .. } | Now::Empty {}
                    );
                    if known && plan.way.is_some() {
                        let mut balance = Balance::before(lp);
                        told.steps
                            .iter()
                            .for_each(|step| balance.step(step, &fleet.job.shelf));
                        assert!(
                            (balance.percent() - plan.percent.unwrap()).abs() < 0.05,
                            "line {}",
                            row.line
                        );
                        met += 1;
                    }
                }
                odd => panic!("line {}: {odd:?}", row.line),
            }
        }
        assert!(met >= 3, "only {met} cards replayed");
    }
}

#[test]
fn slices_come_to_the_same() {
    let (job, table) = (job(), many(120));
    let whole = planned(&job, &table);
    let mut fleet = Fleet::new(&job, table).unwrap();
    let mut last = 0.0;
    while fleet.step(7) {
        assert!(fleet.progress() > last && fleet.progress() <= 1.0);
        last = fleet.progress();
    }
    assert_eq!((fleet.rows, fleet.sums), (whole.rows, whole.sums));
}

#[test]
fn stopped_it_keeps_what_it_has() {
    let mut fleet = Fleet::new(&job(), many(120)).unwrap();
    fleet.step(30);
    fleet.stop();
    assert!(!fleet.step(30));
    assert_eq!(fleet.rows.len(), 30);
    assert!(
        report(&fleet)[0].contains("stopped"),
        "{:?}",
        report(&fleet)
    );
}

#[test]
fn the_orchard_s_fleet() {
    let fleet = planned(&job(), FLEET);
    assert_eq!(fleet.rows.len(), 18);
    let refused: Vec<(u32, &str)> = fleet
        .rows
        .iter()
        .filter_map(|row| {
            row.outcome
                .as_ref()
                .err()
                .map(|wrong| (row.line, wrong[0].column))
        })
        .collect();
    assert_eq!(
        refused,
        [(16, "volume"), (17, "volume"), (18, "now"), (19, "missing")],
        "{:#?}",
        report(&fleet)
    );
    let battery = plan(&fleet.rows[11]);
    assert_eq!(battery.way, None);
    assert_eq!(battery.cautions[0].0.code(), "low_conductivity_loop");
    let sums = &fleet.sums;
    assert_eq!((sums.no_plan, sums.refused), (1, 4));
    assert_eq!(sums.to_do + sums.nothing, 13);
    // The sums, added up from the table out.
    let table = rows_of(&fleet.csv(), b',');
    let heading = &table[0];
    let all = &table[19];
    for (place, name) in heading.iter().enumerate() {
        if name.ends_with("[L]") || name.ends_with("[mL]") {
            let number = |row: &Vec<String>| row[place].parse::<f64>().unwrap_or(0.0);
            let sum: f64 = table[1..19].iter().map(number).sum();
            assert!((sum - number(all)).abs() < 1e-6, "{name}");
        }
    }
    assert_eq!(all[1], "All");
    // A name that begins like a formula does not stay one.
    assert_eq!(table[18][1], "'=Trailer 9");
}

/// Whole packs for the sums, each stock by itself: every count tried up to what one kind alone would take.
#[test]
fn packs_for_all() {
    let fleet = planned(&job(), FLEET);
    let (taken, total) = fleet.to_buy();
    let mut together = 0.0;
    for taken in &taken {
        let sold = match fleet
            .job
            .shelf
            .iter()
            .find(|stock| stock.name == taken.name)
        {
            Some(stock) => stock.packs.clone(),
            None => job().loops[0].additive.clone().unwrap().packs,
        };
        let litres = |p: &Pack| p.size.value * p.size.unit.litres();
        let most = |p: &Pack| (taken.needed / litres(p)).ceil() as u32;
        let mut best = (f64::INFINITY, 0.0);
        let [one, two] = [sold.first(), sold.get(1)];
        for a in 0..=one.map_or(0, most) {
            for b in 0..=two.map_or(0, most) {
                let both = [(a, one), (b, two)]
                    .into_iter()
                    .filter_map(|(n, p)| Some((f64::from(n), p?)));
                let (held, price) = both.fold((0.0, 0.0), |(v, c), (n, p)| {
                    (v + n * litres(p), c + n * p.price)
                });
                if held >= taken.needed - 1e-6 && (price, held) < best {
                    best = (price, held);
                }
            }
        }
        assert!(
            (taken.left.unwrap() - (best.1 - taken.needed)).abs() < 1e-3,
            "{taken:?} {best:?}"
        );
        together += best.0;
    }
    assert_eq!(taken.len(), 5);
    assert_eq!(total.text(), format!("{together:.2}"));
    // Nothing for sale, nothing to buy; of what is for sale, any amount can be had.
    let unsold = planned(&unsold(), FLEET);
    assert!(unsold.to_buy().0.iter().all(|taken| taken.packs.is_empty()));
    // (Prices decide between blends, so only what is drawn is the same.)
    for (a, b) in unsold.rows.iter().zip(&fleet.rows) {
        let drawn = |row: &Row| row.outcome.as_ref().map(|plan| (plan.way, plan.drawn)).ok();
        assert_eq!(drawn(a), drawn(b), "line {}", a.line);
    }
    let mut short = job();
    short.shelf[0].have = Some(common::litres(1.0));
    let short = planned(&short, FLEET);
    assert_eq!(short.rows, fleet.rows);
    assert_eq!(short.to_buy().0[0].have, Some(1.0));
    // In the table out as well.
    let bought = rows_of(&fleet.csv(), b',')
        .into_iter()
        .filter(|row| row[1] == "Buy");
    assert_eq!(bought.count(), 5);
}

#[test]
fn what_is_wrong_is_said_by_line_and_column() {
    let head = "vehicle,glycol,volume [L],missing,now,sample,aim [%],side,cap,tank,additive";
    let good = "ok,ethylene,10,,40 %,,50,,,,";
    let cases = [
        ("a,ethylene,,,40 %,,50,,,,", "volume", "is blank"),
        ("a,ethylene,ten,,40 %,,50,,,,", "volume", "is not a number"),
        (
            "a,ethylene,10 gal,,40 %,,50,,,,",
            "volume",
            "US or imperial",
        ),
        ("a,ethylene,10 kg,,40 %,,50,,,,", "volume", "not known here"),
        ("a,ethylene,5000,,40 %,,50,,,,", "volume", "0.2 to 2000"),
        ("a,ethylene,10,1,40 %,,50,,,,", "missing", "has no unit"),
        (
            "a,ethylene,10,11 L,40 %,,50,,,,",
            "missing",
            "no more than the 10.00 L",
        ),
        ("a,ethylene,10,,,,50,,,,", "now", "is blank"),
        ("a,ethylene,10,,40,,50,,,,", "now", "has no unit"),
        ("a,ethylene,10,,milk,,50,,,,", "now", "is not a number"),
        ("a,ethylene,10,,1.06 SG,,50,,,,", "sample", "is blank"),
        ("a,ethylene,10,,1.06 SG,20,50,,,,", "sample", "has no unit"),
        ("a,ethylene,10,,flushed,,50,,,,", "left_behind", "is blank"),
        ("a,ethylene,10,,140 %,,50,,,,", "now", "0 to 100"),
        ("a,ethylene,10,,40 %,,30,,,,", "aim", "this loop's limits"),
        ("a,ethylene,10,,40 %,,50 bar,,,,", "aim", "not known here"),
        (
            "a,methanol,10,,40 %,,50,,,,",
            "glycol",
            "expected ethylene, propylene",
        ),
        ("a,,10,,40 %,,50,,,,", "glycol", "is blank"),
        ("a,ethylene,10,,40 %,,50,,1.1,,", "cap", "has no unit"),
        ("a,ethylene,10,,40 %,,50,,,bucket,", "tank", "pressurised"),
        (
            "a,ethylene,10,,40 %,,50,,,,perhaps",
            "additive",
            "yes or no",
        ),
        (
            "a,ethylene,\"8,4\",,40 %,,50,,,,",
            "volume",
            "decimal comma",
        ),
        ("a,ethylene,10,,40 %,,50,,,,,more", "", "more cells"),
        ("a,ethylene,\"10,,40 %,,50,,,,", "", "never closed"),
    ];
    for (bad, column, words) in cases {
        let table = [head, good, bad, good].join("\n");
        let fleet = planned(&job(), &table);
        assert_eq!(fleet.rows.len(), 3, "{bad}");
        assert!(
            fleet.rows[0].outcome.is_ok() && fleet.rows[2].outcome.is_ok(),
            "{bad}"
        );
        let row = &fleet.rows[1];
        assert_eq!(row.line, 3);
        let wrong = row
            .outcome
            .as_ref()
            .err()
            .unwrap_or_else(|| panic!("{bad} was planned"));
        assert!(
            wrong[0].column == column && wrong[0].words.contains(words),
            "{bad}: {wrong:?}"
        );
        let told = report(&fleet);
        assert!(
            told.len() == 1 && told[0].starts_with("line 3, a"),
            "{told:?}"
        );
    }
    // All that is wrong with a row, not only the first.
    let fleet = planned(&job(), &[head, "a,methanol,ten,,,,50,,,,"].join("\n"));
    assert_eq!(fleet.rows[0].outcome.as_ref().unwrap_err().len(), 3);
}

#[test]
fn a_heading_that_will_not_do() {
    for (table, words) in [
        ("", "empty"),
        ("a,b\n1,2", "no column volume"),
        ("volume [L],aim [%]\n10,50", "no column now"),
    ] {
        let why = Fleet::planned(&job(), table.to_owned()).unwrap_err();
        assert!(why.contains(words), "{why}");
    }
    let mut broken = job();
    broken.shelf[0].percent = 120.0;
    assert!(
        Fleet::planned(&broken, FLEET.to_owned())
            .unwrap_err()
            .contains("percent")
    );
    let fleet = planned(
        &job(),
        "Vehicle, VOLUME (litres) ,Now [%],plate,Peak-Temperature [°F],volume [L],\nx,10,40,P 1,220,99,\n",
    );
    assert!(fleet.rows[0].outcome.is_ok(), "{:?}", report(&fleet));
    let told = report(&fleet);
    assert!(
        told.len() == 2 && told[0].contains("plate") && told[1].contains("twice"),
        "{told:?}"
    );
    let lp = &fleet.job.loops[0];
    assert!((lp.volume.value - 10.0).abs() < 1e-12);
    assert!((lp.peak_temperature.unwrap().value - 220.0).abs() < 1e-12);
}

/// One table three ways: commas and points, semicolons and decimal commas, tabs.
#[test]
fn separators_and_decimal_marks() {
    let with = |rows: &[[&str; 4]], separator: &str, end: &str| {
        rows.iter()
            .map(|row| row.join(separator))
            .collect::<Vec<_>>()
            .join(end)
    };
    let points = [
        ["vehicle", "volume [L]", "missing [L]", "now"],
        ["A", "8.4", "0.6", "42.5 %"],
        ["B", "3.25 US_gal", "1 US_qt", "water"],
    ];
    let commas = points.map(|row| {
        row.map(|cell| {
            if cell == "vehicle" {
                cell.to_owned()
            } else {
                cell.replace('.', ",")
            }
        })
    });
    let commas: Vec<[&str; 4]> = commas
        .iter()
        .map(|row| row.each_ref().map(String::as_str))
        .collect();
    let plain = planned(&job(), &with(&points, ",", "\n"));
    assert!(
        plain.rows.iter().all(|row| row.outcome.is_ok()),
        "{:?}",
        report(&plain)
    );
    for (table, separator) in [
        (with(&commas, ";", "\r\n"), b';'),
        (with(&commas, "\t", "\r\n"), b'\t'),
        (with(&points, "\t", "\r"), b'\t'),
        (
            ["sep=;\n\u{feff}", &with(&commas, ";", "\n")].concat(),
            b';',
        ),
        (["\u{feff}", &with(&points, ",", "\r\n")].concat(), b','),
    ] {
        let fleet = planned(&job(), &table);
        let outcomes = |fleet: &Fleet| {
            fleet
                .rows
                .iter()
                .map(|row| row.outcome.clone())
                .collect::<Vec<_>>()
        };
        assert_eq!(outcomes(&fleet), outcomes(&plain), "{table:?}");
        let out = rows_of(&fleet.csv(), separator);
        let draw = if separator == b';' { "," } else { "." };
        assert!(out[1][5].contains(draw), "{:?}", out[1]);
    }
}

#[test]
fn no_cell_of_the_table_out_becomes_a_formula() {
    let mut job = plain_job();
    job.shelf[0].name = "=HYPERLINK(\"x\")".to_owned();
    job.shelf[1].name = "@premix;=1+1".to_owned();
    let table = "vehicle,loop,volume [L],now [%]\n\
        =cmd|'/C calc'!A0,+1+1,10,30\n-2+3,@x,10,30\n\"\t=1\",\"a\r\n=1\",10,30\n-7,+5.5,10,30\n\
        \"x;=1\",\"=1\",ten,30\n\"=\"\"q\"\"\",-,-1,30\n";
    let fleet = planned(&job, table);
    let text = fleet.csv();
    for separator in [b',', b';', b'\t'] {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator)
            .flexible(true)
            .has_headers(false)
            .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
        for record in reader.records() {
            for cell in record.unwrap().iter() {
                let number = cell.replace(',', ".").parse::<f64>().is_ok();
                let danger = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
                assert!(number || !danger, "{cell:?}");
            }
        }
    }
    let rows = rows_of(&text.replace("a\r\n'=1", "a '=1"), b',');
    assert_eq!(rows[1][1], "'=cmd|''/C calc'!A0".replace("''/C", "'/C"));
    assert_eq!(rows[4][1..3], ["-7", "+5.5"], "plain numbers stay");
}

#[test]
fn a_row_opens_as_a_job_with_the_same_plan() {
    let mut job = plain_job();
    job.shelf[0].have = Some(common::litres(40.0));
    let fleet = planned(&job, &many(60));
    let mut opened = 0;
    for (i, row) in fleet.rows.iter().enumerate() {
        let alone = fleet.alone(i).unwrap();
        assert_eq!(
            job::read(&job::write(&alone)).unwrap(),
            alone,
            "line {}",
            row.line
        );
        let told = &job::answer(&alone).loops[0];
        if let Ok(plan) = &row.outcome {
            assert_eq!(told.way, plan.way, "line {}", row.line);
            assert!(
                (told.dispose_litres - plan.drawn).abs() < 1e-9,
                "line {}",
                row.line
            );
            opened += 1;
        } else {
            assert!(told.error.is_some(), "line {}", row.line);
        }
    }
    assert!(opened > 10 && opened < 60, "{opened}");
}

#[test]
fn settings_come_from_the_job_and_a_loop_s_own_does_not() {
    let mut job = job();
    let first = &mut job.loops[0];
    first.cap = Some(Quantity {
        value: 1.1,
        unit: pourcard::job::units::PressureUnit::Bar,
    });
    first.missing = Some(common::litres(1.0));
    first.tank = Some(Tank::Pressurised);
    first.additive.as_mut().unwrap().already = Some(common::litres(0.1));
    let fleet = planned(
        &job,
        "vehicle,volume [L],now [%],aim,additive\nA,10,40,,\nB,10,40,-30 degC,no\n",
    );
    let [a, b] = &fleet.job.loops[..] else {
        panic!()
    };
    assert_eq!(
        (a.aim, a.drains, a.coldest, a.measure_step),
        (
            job.loops[0].aim,
            job.loops[0].drains,
            job.loops[0].coldest,
            job.loops[0].measure_step
        )
    );
    assert!(a.cap.is_none() && a.missing.is_none() && a.tank.is_none());
    assert_eq!(
        a.additive.as_ref().unwrap().already,
        None,
        "unknown, not the first loop's"
    );
    assert!(b.additive.is_none() && matches!(b.aim, Aim::FreezingPoint { .. }));
    let nothing = Job {
        loops: Vec::new(),
        ..job
    };
    let fleet = planned(&nothing, "vehicle,volume [L],now [%]\nA,10,40\n");
    let wrong = fleet.rows[0].outcome.as_ref().unwrap_err();
    assert_eq!(
        wrong.iter().map(|w| w.column).collect::<Vec<_>>(),
        ["glycol", "aim"]
    );
}
