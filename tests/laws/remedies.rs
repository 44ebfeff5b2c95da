//! What is said to help does: the job changed as a refusal says, and nothing else, has a plan, and that plan keeps every law.

use crate::{
    card::check_card,
    common::{litres, stock},
    jobs::any_job,
};
use pourcard::engine::{
    plan::{PlanError, Remedy},
    quantity::in_litres,
};
use pourcard::job::{self, file::*, message::Refusal};
use proptest::prelude::*;

fn buys(job: &mut Job, name: &str, percent: f64) {
    let mut bought = stock(name, percent);
    bought.glycol = (percent > 0.0).then_some(job.loops[0].glycol);
    job.shelf.push(bought);
}

/// The job once it was done as said; `None` for what a file cannot say.
fn helped(job: &Job, remedy: &Remedy) -> Option<Job> {
    let mut job = job.clone();
    let mut drain = |amount: f64| {
        let lp = &mut job.loops[0];
        match &mut lp.now {
            // So much of what stayed behind comes out as well, and of the additive in it.
            Now::Flushed { left_behind, .. } => {
                let stays = (1.0 - amount / left_behind.value).max(0.0);
                left_behind.value *= stays;
                if let Some(already) = lp.additive.as_mut().and_then(|a| a.already.as_mut()) {
                    already.value *= stays;
                }
            }
            _ => {
                lp.draw_limit = Some(litres(amount));
                lp.drains = None;
            }
        }
    };
    match remedy {
        Remedy::DrainMore(volume) => drain(in_litres(*volume)),
        Remedy::BothStocks { drain: first } => {
            if let Some(volume) = first {
                drain(in_litres(*volume));
            }
            buys(&mut job, "Bought concentrate", 100.0);
            buys(&mut job, "Bought water", 0.0);
        }
        Remedy::StandAboveMark(_) => {
            let additive = job.loops[0].additive.as_mut();
            additive.unwrap().above_mark = true;
        }
        Remedy::MoreOfAStock => job.shelf.iter_mut().for_each(|s| s.have = None),
        Remedy::StrongerStock => buys(&mut job, "Bought concentrate", 100.0),
        Remedy::WeakerStock => buys(&mut job, "Bought water", 0.0),
        // What a stock brings is on its label, not in a file that does not say.
        Remedy::SayWhatIsBrought => return None,
        Remedy::MoreRounds(rounds) => {
            assert!(
                *rounds > 12,
                "{rounds} rounds are a plan\n{}",
                job::write(&job)
            );
            return None;
        }
    }
    Some(job)
}

/// What a job's refusal says would help is done, and replayed.
pub fn check_job(job: &Job) {
    let answer = job::answer(job);
    let refused = answer.loops[0]
        .error
        .as_ref()
        .and_then(|e| e.refusal.clone());
    let Some(Refusal::Plan(
        PlanError::Unreachable { remedies, .. } | PlanError::Unrenewed { remedies, .. },
    )) = refused.as_deref()
    else {
        return;
    };
    for remedy in remedies {
        let Some(job) = helped(job, remedy) else {
            continue;
        };
        let answer = job::answer(&job).loops.remove(0);
        assert!(
            answer.way.is_some(),
            "{remedy:?}: {:?}\n{}",
            answer.error,
            job::write(&job)
        );
        if let Remedy::StandAboveMark(volume) = remedy {
            let over = answer.after.unwrap().litres - job.loops[0].volume.value;
            assert!(
                (over - in_litres(*volume)).abs() < 1e-6,
                "{over}: {remedy:?}"
            );
            continue;
        }
        check_card(&job, &answer);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_would_help_helps(job in any_job(true)) {
        check_job(&job);
    }
}
