//! Jobs that once broke a law, replayed for ever; and that the laws' jobs are the same in every run.

use crate::{card, remedies, shared};
use pourcard::job;
use proptest::{
    prelude::*,
    strategy::ValueTree,
    test_runner::{RngSeed, TestRunner},
};

/// To keep another: its file goes to `tests/laws/broken/`, and the law it broke must be among these.
#[test]
fn jobs_that_once_broke_a_law_keep_them_all() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/laws/broken");
    let mut found = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        let job = job::read(&text).unwrap_or_else(|e| panic!("{}: {e:?}", path.display()));
        println!("{}", path.display());
        if job.loops.len() == 1 {
            card::check_job(&job);
            remedies::check_job(&job);
        }
        shared::check_job(&job);
        found += 1;
    }
    assert!(found > 0, "{folder} is empty");
}

#[test]
fn the_seed_is_fixed() {
    let config = ProptestConfig::default();
    assert!(
        matches!(config.rng_seed, RngSeed::Fixed(_)),
        "run by cargo, `.cargo/config.toml` fixes PROPTEST_RNG_SEED"
    );
    let draw = || {
        let mut runner = TestRunner::new(config.clone());
        let job = crate::jobs::any_job(true).new_tree(&mut runner).unwrap();
        job::write(&job.current())
    };
    assert_eq!(draw(), draw());
}
