//! A row's plan: by hand, by the answer, by an independent balance.

use super::{
    FLEET,
    common::{self, Balance},
    many, orchard, plain_job, plan, planned, unsold,
};
use pourcard::job::{self, answer::Way, file::*};

/// Three rows by hand, with ρ(20 °C) of ethylene mixes from the handbook's table: 30 % 1045.25, 50 % 1073.3 kg/m³ (between 15 and 25 °C),
/// concentrate 1131.8 (by extrapolation), water 998.2. A litre of mix holds ρ/(φ·1131.8 + (1−φ)·998.2) litres measured
/// apart: 1.00671 at 30 %, 1.00779 at 50 %.
///
/// * Water, 10 L, to 50 %: 10 L of 50 % hold 10.0779/2 = 5.0390 L of water, so 10 − 5.0390 = 4.96 L must come out and
///   5.04 L of concentrate go in: to the tenth and never over the mark, 5.0 and 5.0, half and half.
/// * 30 %, 10 L, to 50 %: it holds 0.7·10.0671 = 7.0470 L of water and may keep 5.0390/7.0470 = 71.5 %, so 2.85 L come
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
    let mut job = orchard();
    let first = &mut job.loops[0];
    first.cap = Some(Quantity {
        value: 1.1,
        unit: pourcard::job::units::PressureUnit::Bar,
    });
    first.missing = Some(common::litres(1.0).into());
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

/// A row with an aim of its own is met within the job's tolerance, as one without: 47.5 % is within three points of 50.
#[test]
fn a_row_with_its_own_aim_keeps_the_tolerance() {
    let read = |name: &str| {
        let path = format!("{}/tests/cases/{name}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).unwrap()
    };
    let job = job::read(&read("F1_fleet_within.json")).unwrap();
    let fleet = planned(&job, &read("F1_fleet_within.csv"));
    for row in &fleet.rows {
        assert_eq!(plan(row).way, Some(Way::Nothing), "{}", row.vehicle);
    }
    // A tolerance of the row's own goes before.
    let own = "vehicle,volume [L],now,aim [%],within\na,10,47.5 %,50,1\n";
    let fleet = planned(&job, own);
    assert_eq!(plan(&fleet.rows[0]).way, Some(Way::DrawAndPour));
}
