//! The same once a level was seen, and of the true volume that a re-reading implies: every draw is a loop of its own whose
//! owner enters what really happened, and each gets an answer of its own.

use super::*;

/// What the last pour to the mark is entered as.
#[derive(Clone, Copy, PartialEq)]
enum Entry {
    /// Measured, and seen to stand at the mark.
    AtTheMark,
    /// Measured; it stood on air, and after the run it is so much low.
    LowMeasured,
    /// Ticked only; the same.
    LowTicked,
}

/// The job done in the first round as the card says, to the mark whatever that takes, and entered.
fn entered(
    job: &Job,
    card: &LoopAnswer,
    world: &mut World,
    entry: Entry,
    chance: &mut Chance,
) -> Job {
    let mut told = job.clone();
    let air = match entry {
        Entry::AtTheMark => 0.0,
        _ => 0.15 * (1.0 + 2.0 * chance.0.uniform()),
    };
    for step in &card.steps {
        let mut done = Done {
            id: step.id.clone(),
            step: Some(step.what),
            stock: step.stock.clone(),
            ..Done::blank()
        };
        if step.to_the_mark {
            let took = world.filled(world.label(job, step), air, chance);
            if entry != Entry::LowTicked {
                done.amount = Some(litres(took + chance.anywhere(world.half_step)));
                done.at_mark = Some(true);
            }
        } else if step.what == Do::Check && entry != Entry::AtTheMark {
            let low = world.mark - world.balance.litres();
            done.amount = Some(litres(low + chance.anywhere(world.half_eye)));
        } else {
            world.follow(job, card, step, false, chance);
        }
        told.loops[0].done.push(done);
        if entry == Entry::AtTheMark && step.to_the_mark {
            break;
        }
    }
    told
}

fn seen(name: &str, job: &Job, entry: Entry, strength: Covers, level: Covers) {
    let card = job::answer(job).loops.remove(0);
    let rounds = card.steps.iter().filter(|s| s.to_the_mark).count();
    assert_eq!(rounds, 1, "{name}");
    let mut chance = Chance(Normals::from(11));
    let (mut covered, mut stands, mut tried, mut wide) = (0, 0, 0, 0.0);
    for _ in 0..DRAWS {
        let mut world = World::drawn(job, &card, &mut chance);
        let told = entered(job, &card, &mut world, entry, &mut chance);
        let next = job::answer(&told).loops.remove(0);
        assert!(next.error.is_none(), "{name}: {:?}", next.error);
        for step in &next.steps {
            world.follow(job, &next, step, false, &mut chance);
        }
        let after = next.after.unwrap();
        let off = world.balance.percent() - after.percent.unwrap();
        covered += usize::from(off.abs() <= after.plus_minus.unwrap());
        let off = world.balance.litres() - after.litres;
        stands += usize::from(off.abs() <= after.litres_plus_minus.unwrap());
        wide += after.plus_minus.unwrap();
        tried += 1;
    }
    println!("{name}: \u{b1} {:.3}", wide / tried as f64);
    judge(name, "percent", covered as f64 / tried as f64, strength);
    judge(name, "litres", stands as f64 / tried as f64, level);
}

#[test]
fn what_a_level_corrected_is_as_sure_as_it_says() {
    let van = common::van();
    let mut full = van.clone();
    full.loops[0].missing = None;
    let guessed = case(include_str!("../../cases/Z_missing0.json"));
    let empty = case(include_str!("../../cases/D3_empty_spread.json"));
    for (name, job, strength, level) in [
        ("the van", &van, AsSaid, AsSaid),
        ("nothing missing", &full, AsSaid, AsSaid),
        ("missing by eye", &guessed, StepDominated, StepDominated),
        // The capacity is reckoned from amounts that count by themselves as well: wider than it need be, by a fifth.
        ("empty", &empty, SafeSided, AsSaid),
        ("flushed", &flushed(0.0), AsSaid, AsSaid),
    ] {
        seen(
            &format!("{name}, at the mark"),
            job,
            Entry::AtTheMark,
            strength,
            level,
        );
    }
    seen("the van, low", &van, Entry::LowMeasured, AsSaid, AsSaid);
    seen(
        "nothing missing, low",
        &full,
        Entry::LowMeasured,
        AsSaid,
        AsSaid,
    );
    // Between two explanations: what the card said was poured, or what filled it on air.
    seen(
        "the van, ticked and low",
        &van,
        Entry::LowTicked,
        SafeSided,
        AsSaid,
    );
}

/// The card followed to its end and read again: does the range told hold the loop's true volume?
fn re_read(name: &str, job: &Job, covers: Covers) {
    let card = job::answer(job).loops.remove(0);
    let mut chance = Chance(Normals::from(13));
    let (mut covered, mut told, mut wide) = (0, 0, 0.0);
    for _ in 0..DRAWS {
        let mut world = World::drawn(job, &card, &mut chance);
        for step in &card.steps {
            world.follow(job, &card, step, false, &mut chance);
        }
        let value = world.balance.percent() + chance.normal(0.5);
        let reading = Now::Percent {
            value,
            plus_minus: Some(0.5),
        };
        let back = job::after::back::judge(job, 0, &card, reading);
        if let Some(volume) = back.volume {
            told += 1;
            covered +=
                usize::from(volume.low_litres <= world.mark && world.mark <= volume.high_litres);
            wide += volume.high_litres - volume.low_litres;
        }
    }
    assert!(
        told as f64 > 0.99 * DRAWS as f64,
        "{name}: told of {told} only"
    );
    println!("{name}: {:.2} L wide", wide / told as f64);
    judge(name, "true volume", covered as f64 / told as f64, covers);
}

#[test]
fn the_true_volume_is_as_sure_as_it_says() {
    let mut thin = thin();
    thin.loops[0].additive = None;
    re_read("a thin mix", &thin, AsSaid);
    let mut low = thin.clone();
    low.loops[0].missing = Some(litres(2.0).into());
    re_read("two litres missing by eye", &low, AsSaid);
    let mut vague = low.clone();
    vague.shelf[0].plus_minus = Some(4.0);
    re_read("and a vague label", &vague, AsSaid);
    let mut rounds = case(include_str!("../../cases/G_premix_rounds.json"));
    rounds.shelf = vec![stock("Concentrate", 100.0), stock("Water", 0.0)];
    rounds.loops[0].now = Now::Percent {
        value: 10.0,
        plus_minus: Some(0.5),
    };
    re_read("in rounds", &rounds, AsSaid);
}
