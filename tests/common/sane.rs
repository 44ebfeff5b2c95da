//! What holds for every answer, whatever was asked: every number is a number, and no plan breaks a law.

use super::common::Balance;
use pourcard::engine::{
    fluid::Glycol,
    property,
    quantity::{LabelFraction, celsius},
};
use pourcard::job::{answer::*, file::*};
use serde_json::Value;

/// Two litres are the same within this.
const SLACK: f64 = 2e-6;

/// No NaN and no infinity anywhere in it. (JSON would hide both as null.) A refusal may speak of the number it refuses.
pub fn finite(answer: &Answer) {
    let mut answer = answer.clone();
    answer.left_out.clear();
    answer.loops.iter_mut().for_each(|one| one.left_out.clear());
    let faults = answer.loops.iter_mut().map(|one| &mut one.error);
    for error in faults.chain([&mut answer.error]) {
        let best = error.take().and_then(|fault| fault.best);
        assert!(
            best.is_none_or(|b| b.percent.is_finite() && b.drawn_litres.is_finite()),
            "{best:?}"
        );
    }
    let shown = format!("{answer:?}");
    let mut quoted = false;
    let mut escaped = false;
    let mut bare = String::new();
    for c in shown.chars() {
        match (quoted, c) {
            (true, '\\') if !escaped => escaped = true,
            (_, '"') if !escaped => quoted = !quoted,
            (true, _) => escaped = false,
            (false, c) => bare.push(c),
        }
    }
    let word = |w: &str| {
        bare.split(|c: char| !c.is_ascii_alphanumeric())
            .any(|token| token == w)
    };
    assert!(!word("NaN") && !word("inf"), "not a number: {shown}");
}

/// The same job file: the JSON parser may read the last digit of a long number one off.
pub fn same_file(a: &str, b: &str) {
    let tree = |text: &str| serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"));
    assert!(same_tree(&tree(a), &tree(b)), "{a}\n{b}");
}

fn same_tree(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap_or(0.0), b.as_f64().unwrap_or(0.0));
            (a - b).abs() <= 1e-13 * a.abs().max(1e-4)
        }
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same_tree(a, b))
        }
        (Value::Object(a), Value::Object(b)) => {
            let paired = a.iter().zip(b);
            a.len() == b.len()
                && paired
                    .into_iter()
                    .all(|((k, a), (l, b))| k == l && same_tree(a, b))
        }
        (a, b) => a == b,
    }
}

/// The same record of the page, to the letter of everything typed; the job file in its second line as [`same_file`].
pub fn same_record(a: &str, b: &str) {
    let parts = |text: &str| -> (String, Vec<String>) {
        let mut lines: Vec<String> = text.split('\n').map(str::to_owned).collect();
        let job = lines.remove(1);
        let mut letters = job.trim_start_matches("job ").chars();
        let mut job = String::new();
        while let Some(c) = letters.next() {
            job.push(match c {
                '\\' if letters.next() == Some('n') => '\n',
                c => c,
            });
        }
        (job, lines)
    };
    let ((job_a, a), (job_b, b)) = (parts(a), parts(b));
    same_file(&job_a, &job_b);
    assert_eq!(a, b);
}

/// The laws of every planned loop, by the independent balance; of loops it cannot start from, the amounts alone.
pub fn lawful(job: &Job, answer: &Answer) {
    if answer.error.is_some() {
        assert!(answer.loops.is_empty(), "a refused file has no loops");
        return;
    }
    assert_eq!(answer.loops.len(), job.loops.len(), "one answer a loop");
    for (lp, one) in job.loops.iter().zip(&answer.loops) {
        one_loop(job, lp, one);
    }
    // What really happened may have overdrawn it.
    if job.loops.len() < 2 || job.loops.iter().all(|lp| lp.done.is_empty()) {
        stays_on_the_shelf(job, answer);
    }
}

fn one_loop(job: &Job, lp: &Loop, one: &LoopAnswer) {
    let planned = one.way.is_some();
    assert!(
        !(planned && one.error.is_some()),
        "a plan and a refusal: {one:?}"
    );
    for step in &one.steps {
        if let Some(amount) = step.litres {
            assert!(amount > 0.0, "an amount of nothing: {step:?}");
        }
    }
    let (true, Some(after)) = (planned, one.after) else {
        return;
    };
    for spread in [
        after.plus_minus,
        after.litres_plus_minus,
        after.hot_litres_plus_minus,
        after.tank_room_litres_plus_minus,
    ] {
        assert!(spread.is_none_or(|s| s >= 0.0), "{after:?}");
    }
    // The balance knows an earlier dose only where it was said, not where it was measured.
    let measured = matches!(&lp.additive, Some(a) if matches!(a.rate, Rate::Reading { .. }));
    if !measured
        && matches!(
            lp.now,
            Now::Percent { .. } | Now::Water {} | Now::Flushed { .. } | Now::Empty {}
        )
    {
        follows(job, lp, one, &after);
    }
}

/// The card followed: no draw takes more than there is or may come out, no pour passes the mark, and it ends as said.
fn follows(job: &Job, lp: &Loop, one: &LoopAnswer, after: &State) {
    // Filled warm or cold, less or more stands at the mark as of 20 °C: before, by what is in it; after, by the aim, which
    // is between water and 70 %.
    let warm = match lp.now {
        Now::Percent { value, .. } => shrunk(lp, filled(lp, value)),
        Now::Water {} => shrunk(lp, filled(lp, 0.0)),
        _ => lp.clone(),
    };
    let (mut balance, mut mark) = Balance::as_seen(&warm, one, &job.shelf);
    if one.corrected.is_none() {
        let most = filled(lp, 0.0).max(filled(lp, 70.0));
        mark = lp.volume.value * lp.volume.unit.litres() * most;
    }
    let slack = SLACK * mark.max(1.0);
    for step in &one.so_far {
        balance.step(step, &job.shelf);
    }
    let over = (balance.litres() - mark).max(0.0);
    for step in &one.steps {
        if step.what == Do::Draw {
            let (held, amount) = (balance.litres(), step.litres.unwrap_or(0.0));
            assert!(amount <= held + slack, "draws {amount} of {held}");
            if let Some(limit) = lp.draw_limit {
                let most = limit.value * limit.unit.litres();
                assert!(amount <= most + slack, "draws {amount} above {most}");
            }
        }
        balance.step(step, &job.shelf);
        assert!(
            balance.litres() <= mark + over + slack,
            "passes the mark of {mark}: {}",
            balance.litres()
        );
    }
    let percent = after.percent.unwrap_or(f64::NAN);
    assert!(
        (balance.percent() - percent).abs() < 1e-5,
        "says {percent} %, is {}",
        balance.percent()
    );
    assert!(
        (balance.litres() - after.litres).abs() < slack,
        "says {} L, is {}",
        after.litres,
        balance.litres()
    );
}

/// Of a litre of this strength at the fill temperature, litres as of 20 °C.
fn filled(lp: &Loop, percent: f64) -> f64 {
    let Some(fill) = lp.fill_temperature else {
        return 1.0;
    };
    let fill = fill.unit.to_celsius(fill.value);
    let glycol = match lp.glycol {
        GlycolName::Ethylene => Glycol::Ethylene,
        GlycolName::Propylene => Glycol::Propylene,
    };
    let strength = LabelFraction::from_percent(percent).unwrap();
    let density = |t| property::density(glycol, strength, celsius(t)).ok();
    // Outside its limits it is left out.
    let inside = (-30.0..=100.0).contains(&fill);
    let ratio = density(fill).zip(density(20.0)).filter(|_| inside);
    ratio.map_or(1.0, |(warm, cold)| (warm / cold).value)
}

fn shrunk(lp: &Loop, by: f64) -> Loop {
    let mut lp = lp.clone();
    lp.volume.value *= by;
    if let Some(missing) = &mut lp.missing {
        missing.value *= by;
    }
    lp
}

/// All loops together pour no more of a stock than there is, but for what was really poured.
fn stays_on_the_shelf(job: &Job, answer: &Answer) {
    let poured = |steps: fn(&LoopAnswer) -> &Vec<Step>, name: &str| -> f64 {
        answer
            .loops
            .iter()
            .flat_map(steps)
            .filter(|s| s.what == Do::Pour && s.stock.as_deref() == Some(name))
            .filter_map(|s| s.litres)
            .sum()
    };
    for stock in &job.shelf {
        let namesakes = job.shelf.iter().filter(|s| s.name == stock.name).count();
        if let (Some(have), 1) = (stock.have, namesakes) {
            let real = poured(|one| &one.so_far, &stock.name);
            let planned = poured(|one| &one.steps, &stock.name);
            let left = (have.value * have.unit.litres() - real).max(0.0);
            assert!(
                planned <= left + 1e-5,
                "pours {planned} of the {left} left of {}",
                stock.name
            );
        }
    }
}
