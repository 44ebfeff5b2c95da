//! Several loops, one shelf.

use crate::{SLACK, common::litres, jobs::any_job};
use pourcard::job::{self, answer::LoopAnswer, file::*};
use proptest::prelude::*;

/// Litres of a stock that a loop takes.
fn used(one: &LoopAnswer, stock: &Stock) -> f64 {
    let found = one.used.0.iter().find(|(name, _)| *name == stock.name);
    found.map_or(0.0, |(_, litres)| *litres)
}

/// Each loop as a job of its own, in order, from what those before it left.
fn in_order(job: &Job) -> Vec<LoopAnswer> {
    let mut shelf = job.shelf.clone();
    let mut list = Vec::new();
    for lp in &job.loops {
        let alone = Job {
            shelf: shelf.clone(),
            loops: vec![lp.clone()],
            ..job.clone()
        };
        let one = job::answer(&alone).loops.remove(0);
        for stock in &mut shelf {
            stock.have = stock
                .have
                .map(|q| litres((q.value - used(&one, stock)).max(0.0)));
        }
        list.push(one);
    }
    list
}

fn served(list: &[LoopAnswer]) -> usize {
    list.iter().filter(|one| one.way.is_some()).count()
}

/// No stock gives more than there is; where the order serves all, it stands; no fewer are served than by the order;
/// who shares says so; and the same job is split the same way.
pub fn check_job(job: &Job) {
    let list = job::answer(job).loops;
    for stock in &job.shelf {
        let sum: f64 = list.iter().map(|one| used(one, stock)).sum();
        assert!(
            stock.have.is_none_or(|have| sum <= have.value + SLACK),
            "{sum} of {:?}",
            stock.have
        );
    }
    let plain = in_order(job);
    let shared = |one: &LoopAnswer| one.cautions.iter().any(|c| c.0.code() == "stock_shared");
    if served(&plain) == plain.len() {
        assert!(list == plain);
    }
    assert!(served(&list) >= served(&plain));
    if served(&list) > served(&plain) {
        assert!(list.iter().any(shared));
    }
    assert!(job::answer(job).loops == list);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_shared_shelf_keeps_its_laws(jobs in prop::collection::vec(any_job(true), 2..4)) {
        let mut job = jobs[0].clone();
        for other in &jobs[1..] {
            let mut lp = other.loops[0].clone();
            lp.glycol = job.loops[0].glycol;
            job.loops.push(lp);
        }
        check_job(&job);
    }
}
