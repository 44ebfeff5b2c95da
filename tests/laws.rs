//! Laws every plan obeys, over random jobs. The cards are replayed by the independent mass balance of `common`; what
//! is refused, and what is drawn, is compared with a search of every amount on a grid.
//!
//! `PROPTEST_CASES` sets how many jobs; `cargo xtask test` runs 20 000 in release mode.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod common;

use common::{Balance, additive, engine_loop, job, litres, stock};
use pourcard::job::{self, answer::*, file, file::*, record::Field};
use proptest::prelude::*;

/// Two litres are the same within this.
const SLACK: f64 = 2e-6;

fn any_glycol() -> impl Strategy<Value = GlycolName> {
    prop_oneof![Just(GlycolName::Ethylene), Just(GlycolName::Propylene)]
}

/// Concentrate, a premix, water: each there or not, plenty of it or not.
fn any_shelf(glycol: GlycolName, short: bool) -> impl Strategy<Value = Vec<Stock>> {
    let have = move || {
        if short {
            prop_oneof![2 => Just(None), 1 => (0.0..6.0_f64).prop_map(Some)].boxed()
        } else {
            Just(None).boxed()
        }
    };
    (
        prop::option::weighted(0.8, have()),
        prop::option::weighted(0.6, (30.0..65.0_f64, have())),
        prop::option::weighted(0.8, have()),
    )
        .prop_map(move |(concentrate, premix, water)| {
            let mut shelf = Vec::new();
            let mut put = |name: &str, percent: f64, have: Option<f64>| {
                let mut s = stock(name, percent);
                s.glycol = s.glycol.map(|_| glycol);
                s.have = have.map(litres);
                shelf.push(s);
            };
            if let Some(have) = concentrate {
                put("Concentrate", 100.0, have);
            }
            if let Some((percent, have)) = premix {
                put("Premix", percent, have);
            }
            if let Some(have) = water {
                put("Water", 0.0, have);
            }
            shelf
        })
}

fn any_now(volume: f64) -> impl Strategy<Value = Now> {
    prop_oneof![
        6 => (0.0..65.0_f64).prop_map(|value| Now::Percent { value, plus_minus: None }),
        1 => Just(Now::Water {}),
        1 => Just(Now::Empty {}),
        2 => (0.0..0.5_f64, prop_oneof![Just(0.0), 10.0..50.0_f64]).prop_map(move |(share, percent)| Now::Flushed {
            left_behind: litres(volume * share),
            percent,
        }),
    ]
}

prop_compose! {
    fn any_loop(glycol: GlycolName)(volume in 1.0..60.0_f64)(
        volume in Just(volume),
        missing in prop_oneof![Just(0.0), 0.0..0.3_f64],
        now in any_now(volume),
        aim in 40.0..60.0_f64,
        limit in prop_oneof![
            Just((None, None)),
            (0.1..0.7_f64).prop_map(move |s| (Some(s * volume), None)),
            prop_oneof![Just(0.4), Just(0.8), Just(1.0)].prop_map(|f| (None, Some(f))),
        ],
        dose in prop::option::of((5.0..60.0_f64, prop::option::of(5.0..80.0_f64), prop::option::of(0.0..0.5_f64))),
    ) -> file::Loop {
        let mut lp = engine_loop(volume, 0.0, aim);
        lp.glycol = glycol;
        lp.missing = Some(litres(missing * volume));
        lp.now = now;
        lp.draw_limit = limit.0.map(litres);
        lp.drains = limit.1.map(|fraction| Share { fraction });
        lp.additive = dose.map(|(rate, most, already)| additive(rate, most, already.map(|a| a * volume * 0.05)));
        lp
    }
}

fn any_job(short: bool) -> impl Strategy<Value = Job> {
    any_glycol()
        .prop_flat_map(move |glycol| (any_shelf(glycol, short), any_loop(glycol)))
        .prop_map(|(shelf, lp)| job(shelf, vec![lp]))
}

fn aim_of(lp: &file::Loop) -> f64 {
    match lp.aim {
        Aim::Percent { value, .. } => value,
        Aim::FreezingPoint { .. } => unreachable!("these jobs aim at a percentage"),
    }
}

/// Replays the card and checks every law on the way.
fn check_card(job: &Job, answer: &LoopAnswer) {
    let lp = &job.loops[0];
    let volume = lp.volume.value;
    let step = 0.05;
    let mut balance = Balance::before(lp);
    let mut poured: Vec<f64> = vec![0.0; job.shelf.len()];
    let mut round = 0;
    for s in &answer.steps {
        if let Some(amount) = s.litres {
            assert!(amount > 0.0, "an amount of nothing: {s:?}");
        }
        if s.what == Do::Draw {
            let held = balance.litres();
            let amount = s.litres.unwrap();
            assert!(s.round > round, "two draws in one round");
            round = s.round;
            assert!(amount <= held + SLACK, "draws {amount} of {held}");
            if let Some(limit) = lp.draw_limit {
                assert!(
                    amount <= limit.value + SLACK,
                    "draws {amount} above {}",
                    limit.value
                );
            }
            if let Some(share) = lp.drains {
                let most = held - volume * (1.0 - share.fraction);
                assert!(
                    amount <= most + SLACK,
                    "draws {amount} of the {most} that come out"
                );
            }
        }
        balance.step(s, &job.shelf);
        if s.what == Do::Pour {
            let i = job
                .shelf
                .iter()
                .position(|x| Some(&x.name) == s.stock.as_ref())
                .unwrap();
            poured[i] += s.litres.unwrap();
        }
        assert!(
            balance.litres() <= volume + SLACK,
            "passes the mark: {} of {volume}",
            balance.litres()
        );
    }
    for (stock, amount) in job.shelf.iter().zip(&poured) {
        if let Some(have) = stock.have {
            assert!(
                *amount <= have.value + SLACK,
                "pours {amount} of {} there are",
                have.value
            );
        }
    }
    let after = answer.after.as_ref().unwrap();
    assert!(
        (balance.percent() - after.percent.unwrap()).abs() < 1e-6,
        "says {:?}, is {}",
        after.percent,
        balance.percent()
    );
    assert!(
        (balance.litres() - after.litres).abs() < 1e-6,
        "says {}, is {}",
        after.litres,
        balance.litres()
    );
    assert!(
        (balance.percent() - aim_of(lp)).abs() <= 1.0 + 1e-6,
        "lands at {}",
        balance.percent()
    );
    assert!(
        volume - balance.litres() < step + 1e-4,
        "ends {} below the mark",
        volume - balance.litres()
    );
    check_dose(lp, answer, &balance);
}

fn check_dose(lp: &file::Loop, answer: &LoopAnswer, balance: &Balance) {
    let Some(Rate::Ratio { value, .. }) = lp.additive.as_ref().and_then(|a| a.limit) else {
        return;
    };
    let unlucky = lp.volume.value * 0.95;
    let limit = value / 1000.0 * unlucky;
    let dosed: f64 = answer
        .steps
        .iter()
        .filter(|s| s.what == Do::Dose)
        .filter_map(|s| s.litres)
        .sum();
    if dosed > 0.0 {
        assert!(
            balance.additive_l <= limit + SLACK,
            "{} L of additive, label allows {limit}",
            balance.additive_l
        );
    }
}

/// How the grid search may end.
#[derive(Clone, Copy)]
enum Ending {
    /// Within so many points of the aim.
    Within(f64),
    /// At the aim or past it, seen from where the loop stood: a little less drawn then lands on it.
    Reaches,
}

/// The least draw, on a grid of `step`, after which some pour ends so, at the mark.
fn least_draw_on_grid(job: &Job, dose: f64, cap: f64, step: f64, ending: Ending) -> Option<f64> {
    let lp = &job.loops[0];
    let volume = lp.volume.value;
    let start = Balance::before(lp);
    let held = start.litres();
    let draws = (cap.min(held) / step + 1e-9).floor() as usize;
    for d in 0..=draws {
        let mut left = start;
        if d > 0 {
            left.draw(d as f64 * step);
        }
        left.additive_l += dose;
        if left.litres() > volume + 1e-9 {
            continue;
        }
        if lands_somehow(&left, job, volume, step, ending) {
            return Some(d as f64 * step);
        }
    }
    None
}

/// Does any pour of at most two stocks, filling to within two steps below the mark, land?
fn lands_somehow(left: &Balance, job: &Job, volume: f64, step: f64, ending: Ending) -> bool {
    let aim = aim_of(&job.loops[0]);
    let now = Balance::before(&job.loops[0]).percent();
    let near = |b: &Balance| {
        let ends = match ending {
            Ending::Within(off) => (b.percent() - aim).abs() <= off,
            Ending::Reaches => (b.percent() - aim) * (aim - now).signum() >= 0.0,
        };
        ends && volume - b.litres() < 1e-3
    };
    if near(left) {
        return true;
    }
    for a in 0..job.shelf.len() {
        for b in a..job.shelf.len() {
            let most = ((volume - left.litres()) / step).ceil() as usize;
            for k in 0..=most {
                let mut mix = *left;
                mix.pour(k as f64 * step, job.shelf[a].percent);
                let room = volume - mix.litres();
                if room < -1e-9 {
                    break;
                }
                // Shrinking leaves a little more room than the volume poured: two corrections close it.
                let mut filled = mix;
                filled.pour(room, job.shelf[b].percent);
                let again = volume - filled.litres();
                filled.pour(again.max(0.0), job.shelf[b].percent);
                if near(&filled) {
                    return true;
                }
            }
        }
    }
    false
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Replaying the card lands on the aim and the mark, draws no more than comes out, pours no more than there is,
    /// never passes the mark, never doses above the label's limit.
    #[test]
    fn a_card_replayed_keeps_every_law(job in any_job(true)) {
        let answer = job::answer(&job);
        prop_assert!(answer.error.is_none());
        let one = &answer.loops[0];
        prop_assert!(one.error.is_some() != one.way.is_some());
        if one.way.is_some() {
            check_card(&job, one);
        }
    }

    /// Whatever really happened, at any step, the rest lands on the aim and the mark, or says why it can't.
    #[test]
    fn the_rest_lands_whatever_happened(
        job in any_job(true),
        entries in prop::collection::vec((0..6_usize, 0.0..2.0_f64), 1..4),
    ) {
        let mut job = job;
        for (pick, share) in entries {
            let answer = job::answer(&job);
            let steps = &answer.loops[0].steps;
            if steps.is_empty() {
                break;
            }
            let step = &steps[pick % steps.len()];
            let amount = step.litres.map(|said| litres(said * share));
            job.loops[0].done.push(Done { id: step.id.clone(), amount, ..Done::blank() });
        }
        let answer = job::answer(&job);
        let one = &answer.loops[0];
        prop_assert!(one.error.is_some() != one.way.is_some(), "{one:?}");
        let Some(after) = one.after else { return Ok(()) };
        let volume = job.loops[0].volume.value;
        let mut balance = Balance::before(&job.loops[0]);
        for s in one.so_far.iter().chain(&one.steps) {
            balance.step(s, &job.shelf);
        }
        prop_assert!((balance.percent() - after.percent.unwrap()).abs() < 1e-6);
        prop_assert!((balance.percent() - aim_of(&job.loops[0])).abs() <= 1.0 + 1e-6, "lands at {}", balance.percent());
        let short = volume - balance.litres();
        prop_assert!((-SLACK..0.05 + 1e-4).contains(&short), "ends {short} below the mark");
    }

    /// No file of plain numbers makes the answer panic, or say something that is not a number.
    #[test]
    fn no_number_breaks_the_answer(
        volume in prop::num::f64::ANY, missing in prop::num::f64::ANY, now in prop::num::f64::ANY,
        aim in prop::num::f64::ANY, percent in prop::num::f64::ANY, limit in prop::num::f64::ANY,
        step in prop::num::f64::ANY, rate in prop::num::f64::ANY,
    ) {
        let mut lp = engine_loop(8.4, now, 50.0);
        lp.aim = Aim::Percent { value: aim, within: None };
        for (i, q) in [volume, missing, limit, step].into_iter().enumerate() {
            let mut lp = lp.clone();
            match i {
                0 => lp.volume.value = q,
                1 => lp.missing = Some(litres(q)),
                2 => lp.draw_limit = Some(litres(q)),
                _ => lp.measure_step = Some(litres(q)),
            }
            lp.additive = Some(additive(rate, None, Some(missing)));
            let mut premix = stock("Premix", 50.0);
            premix.percent = percent;
            let answer = job::answer(&job(vec![premix, stock("Concentrate", 100.0)], vec![lp]));
            let Some(after) = answer.loops.first().and_then(|l| l.after) else { continue };
            prop_assert!(after.percent.is_some_and(f64::is_finite) && after.litres.is_finite(), "{after:?}");
            prop_assert!(answer.loops[0].steps.iter().all(|s| s.litres.is_none_or(f64::is_finite)));
        }
    }
}

proptest! {
    // A grid search takes some milliseconds a job.
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    /// No plan of one draw takes more than the best on a fine grid that lands as near, and what is refused cannot be
    /// done on the grid at all.
    #[test]
    fn no_way_draws_less(job in any_job(false), small in 1.0..6.0_f64) {
        let mut job = job;
        let lp = &mut job.loops[0];
        let scale = small / lp.volume.value;
        lp.volume.value = small;
        lp.missing = lp.missing.map(|q| litres(q.value * scale));
        lp.draw_limit = lp.draw_limit.map(|q| litres(q.value * scale));
        lp.measure_step = Some(litres(0.01));
        lp.additive = None;
        lp.now = match lp.now {
            Now::Flushed { .. } | Now::Empty {} => Now::Percent { value: 30.0, plus_minus: None },
            now => now,
        };
        let held = small - lp.missing.map_or(0.0, |q| q.value);
        let cap = lp.draw_limit.map_or(held, |q| q.value)
            .min(lp.drains.map_or(held, |s| held - small * (1.0 - s.fraction)));
        let answer = job::answer(&job);
        let one = &answer.loops[0];
        match &one.error {
            None => {
                let drawn: f64 = one.dispose_litres;
                if one.way != Some(Way::Rounds)
                    && let Some(best) = least_draw_on_grid(&job, 0.0, cap, 0.02, Ending::Reaches)
                {
                    prop_assert!(drawn <= best + 0.02 + SLACK, "draws {drawn}, the grid finds {best}");
                }
            }
            Some(error) if error.code == "aim_unreachable" => {
                let found = least_draw_on_grid(&job, 0.0, cap, 0.05, Ending::Within(0.9));
                prop_assert!(found.is_none(), "refused, but drawing {found:?} lands");
            }
            Some(error) => prop_assert!(error.code == "nothing_to_pour", "{error:?}"),
        }
    }
}
