//! Cards replayed.

use crate::{
    SLACK,
    common::{Balance, additive, engine_loop, job, litres, stock},
    jobs::{aim_of, any_job},
};
use pourcard::job::{self, answer::*, file, file::*, record::Field};
use proptest::prelude::*;

/// Replays the card and checks every law on the way.
pub fn check_card(job: &Job, answer: &LoopAnswer) {
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
    if let Some(renew) = lp.renew {
        let before = Balance::before(lp).litres();
        // Flushed before: what was let out then counts.
        let flushed = matches!(lp.now, Now::Flushed { .. } | Now::Empty {});
        let of = if flushed { volume } else { before };
        let left = balance.old * before;
        let allowed = of * (1.0 - renew.fraction);
        assert!(
            // A renewal is met within one measuring step.
            left <= allowed + step + 1e-5,
            "{left} L of the old are left, {allowed} allowed"
        );
    }
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

/// A single loop's job, answered and replayed.
pub fn check_job(job: &Job) {
    let answer = job::answer(job);
    assert!(answer.error.is_none());
    let one = &answer.loops[0];
    assert!(one.error.is_some() != one.way.is_some());
    if one.way.is_some() {
        check_card(job, one);
    }
    let refused_as = |code| one.error.as_ref().filter(|e| e.code == code);
    if let Some(error) = refused_as("renewal_unreachable") {
        let lp = &job.loops[0];
        assert!(
            lp.renew.is_some_and(|share| share.fraction > 0.0),
            "{}",
            error.message
        );
        let mut job = job.clone();
        job.loops[0].renew = None;
        assert!(
            job::answer(&job).loops[0].way.is_some(),
            "{}",
            error.message
        );
    }
    if let Some(error) = refused_as("aim_unreachable") {
        assert!(
            error.message.contains("what would help"),
            "{}",
            error.message
        );
        let dry = Balance::before(&job.loops[0]).litres() <= 0.0;
        assert!(error.best.is_some() || dry, "{}", error.message);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Replaying the card lands on the aim and the mark, draws no more than comes out, pours no more than there is,
    /// never passes the mark, never doses above the label's limit.
    #[test]
    fn a_card_replayed_keeps_every_law(job in any_job(true)) {
        check_job(&job);
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
        let (mut balance, volume) = Balance::as_seen(&job.loops[0], one, &job.shelf);
        for s in one.so_far.iter().chain(&one.steps) {
            balance.step(s, &job.shelf);
        }
        prop_assert!((balance.percent() - after.percent.unwrap()).abs() < 1e-6);
        prop_assert!((balance.percent() - aim_of(&job.loops[0])).abs() <= 1.0 + 1e-6, "lands at {}", balance.percent());
        // What really went in may have left it above the mark; by less than can be measured it stays so.
        let short = volume - balance.litres();
        prop_assert!((-0.05..0.05 + 1e-4).contains(&short), "ends {short} below the mark");
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
                1 => lp.missing = Some(litres(q).into()),
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
