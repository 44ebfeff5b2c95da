//! One shelf for all loops, and who gets what of it where it is short.
//!
//! Loops are served in the job's order, each from what the ones before it left. Where a loop then goes without, and
//! would not have gone without alone, each stock there is too little of is allotted: to every loop the least it can
//! do with, and of the rest a share by what it would take beyond that. If all are served so, that stands, with a
//! caution that says how much was left for each; if not, the order does, with the same caution for who went short.
//!
//! Laws: the loops never take more of a stock than there is, but for what was really poured; where serving in order
//! serves all, nothing changes; the same job gives the same split. What a loop has really poured is gone for all.
//! Never done here: planning.

use super::{
    answer::{CautionEntry, Do, LoopAnswer},
    check::Stock,
    doses,
    file::Job,
    reply::one_loop,
};
use crate::engine::{
    caution::{Caution, Weight},
    dose::SLACK_LITRES,
    quantity::{in_litres, litres},
};

/// The most loops a short shelf is allotted among; a longer list is served in order.
pub const MOST_LOOPS: usize = 16;

/// Halvings in the search for the least a loop can do with: to a thousandth of what it would take.
const HALVINGS: usize = 10;

/// Litres of each stock, in the shelf's order.
pub(super) type Amounts = Vec<f64>;

/// Every loop's answer.
pub fn serve(job: &Job, shelf: &[Stock]) -> Vec<LoopAnswer> {
    doses::shared(job, |job| served(job, shelf))
}

fn served(job: &Job, shelf: &[Stock]) -> Vec<LoopAnswer> {
    let nothing = vec![vec![0.0; shelf.len()]; job.loops.len()];
    let (served, _) = in_order(job, shelf, &nothing);
    let may_be_short = job.loops.len() > 1
        && job.loops.len() <= MOST_LOOPS
        && shelf.iter().any(|s| s.have.is_some())
        && (served.iter().any(went_short) || is_overdrawn(shelf, &served));
    if !may_be_short {
        return served;
    }
    let poured: Vec<Amounts> = served.iter().map(|one| so_far(one, shelf)).collect();
    let alone: Vec<Vec<Stock>> = poured
        .iter()
        .map(|own| {
            let mut others = sum(shelf, &poured);
            add(&mut others, own, -1.0);
            less(shelf, &others)
        })
        .collect();
    let wanted: Vec<LoopAnswer> = (0..served.len())
        .map(|i| one_loop(job, i, &alone[i]))
        .collect();
    let missed = |list: &[LoopAnswer]| {
        (0..list.len()).any(|i| went_short(&list[i]) && !went_short(&wanted[i]))
    };
    if !missed(&served) && !is_overdrawn(shelf, &served) {
        return served;
    }
    let need: Vec<Amounts> = wanted.iter().map(|one| used(one, shelf)).collect();
    let (mut list, mut there) = match allotted(job, shelf, &alone, &need, &poured) {
        Some(allotted) => in_order(job, shelf, &allotted),
        None => in_order(job, shelf, &poured),
    };
    if missed(&list) {
        (list, there) = in_order(job, shelf, &poured);
    }
    for (i, one) in list.iter_mut().enumerate() {
        for (stock, have) in there[i].iter().enumerate() {
            if shelf[stock].have.is_some() && *have < need[i][stock] - SLACK_LITRES {
                warn(
                    one,
                    Caution::StockShared {
                        stock,
                        left_litres: *have,
                    },
                );
            }
        }
    }
    list
}

/// Each loop from what those before it left, less what is kept back for those after it; and what was there for each.
fn in_order(job: &Job, shelf: &[Stock], kept_back: &[Amounts]) -> (Vec<LoopAnswer>, Vec<Amounts>) {
    let (mut list, mut there) = (Vec::new(), Vec::new());
    let mut gone = sum(shelf, kept_back);
    for (i, back) in kept_back.iter().enumerate() {
        add(&mut gone, back, -1.0);
        let mine = less(shelf, &gone);
        let one = one_loop(job, i, &mine);
        add(&mut gone, &used(&one, shelf), 1.0);
        there.push(mine.iter().map(|s| s.have.map_or(0.0, in_litres)).collect());
        list.push(one);
    }
    (list, there)
}

fn add(to: &mut Amounts, amounts: &Amounts, times: f64) {
    for (to, amount) in to.iter_mut().zip(amounts) {
        *to += times * amount;
    }
}

fn sum(shelf: &[Stock], list: &[Amounts]) -> Amounts {
    let mut all = vec![0.0; shelf.len()];
    list.iter().for_each(|amounts| add(&mut all, amounts, 1.0));
    all
}

/// The shelf less what is gone of it.
pub(super) fn less(shelf: &[Stock], gone: &Amounts) -> Vec<Stock> {
    let mut shelf = shelf.to_vec();
    for (stock, gone) in shelf.iter_mut().zip(gone) {
        if let Some(have) = &mut stock.have {
            *have = litres((in_litres(*have) - gone).max(0.0));
        }
    }
    shelf
}

/// Of every short stock what each loop may take; `None` where there is too little even of the least.
fn allotted(
    job: &Job,
    shelf: &[Stock],
    alone: &[Vec<Stock>],
    need: &[Amounts],
    poured: &[Amounts],
) -> Option<Vec<Amounts>> {
    let (mut share, mut alone) = (need.to_vec(), alone.to_vec());
    let wanted = sum(shelf, need);
    for (s, stock) in shelf.iter().enumerate() {
        let Some(have) = stock.have.map(in_litres) else {
            continue;
        };
        if wanted[s] <= have + SLACK_LITRES {
            continue;
        }
        for (i, share) in share.iter_mut().enumerate() {
            share[s] = least(job, i, &alone[i], s, poured[i][s], share[s]);
        }
        let least = sum(shelf, &share)[s];
        if least > have + SLACK_LITRES {
            return None;
        }
        let part = (have - least).max(0.0) / (wanted[s] - least).max(SLACK_LITRES);
        for (i, share) in share.iter_mut().enumerate() {
            share[s] += (need[i][s] - share[s]) * part;
            alone[i][s].have = Some(litres(share[s]));
        }
    }
    Some(share)
}

/// The least of a stock that still serves the loop, between what it has poured of it and what it would take.
fn least(job: &Job, i: usize, shelf: &[Stock], stock: usize, poured: f64, need: f64) -> f64 {
    let mut shelf = shelf.to_vec();
    let mut serves = |amount: f64| {
        shelf[stock].have = Some(litres(amount));
        !went_short(&one_loop(job, i, &shelf))
    };
    let (mut low, mut high) = (poured, need);
    if low >= high || serves(low) {
        return low.min(high);
    }
    for _ in 0..HALVINGS {
        let half = 0.5 * (low + high);
        if serves(half) {
            high = half;
        } else {
            low = half;
        }
    }
    high
}

/// Is there no plan for want of something to pour?
fn went_short(one: &LoopAnswer) -> bool {
    one.error
        .as_ref()
        .is_some_and(|e| e.code == "aim_unreachable" || e.code == "renewal_unreachable")
}

/// Do they take more than there is?
fn is_overdrawn(shelf: &[Stock], list: &[LoopAnswer]) -> bool {
    let all: Vec<Amounts> = list.iter().map(|one| used(one, shelf)).collect();
    let over = |(stock, sum): (&Stock, f64)| {
        let have = stock.have.map(in_litres);
        have.is_some_and(|have| sum > have + SLACK_LITRES)
    };
    shelf.iter().zip(sum(shelf, &all)).any(over)
}

/// What a loop takes in all; of one without a plan, what it has taken.
fn used(one: &LoopAnswer, shelf: &[Stock]) -> Amounts {
    if one.error.is_some() {
        return so_far(one, shelf);
    }
    let amount = |s: &Stock| {
        let found = one.used.0.iter().find(|(name, _)| *name == s.name);
        found.map_or(0.0, |(_, litres)| *litres)
    };
    shelf.iter().map(amount).collect()
}

/// What really went into it.
fn so_far(one: &LoopAnswer, shelf: &[Stock]) -> Amounts {
    let amount = |s: &Stock| {
        let pours = one.so_far.iter().filter(|step| step.what == Do::Pour);
        pours
            .filter(|step| step.stock.as_deref() == Some(&*s.name))
            .filter_map(|step| step.litres)
            .sum()
    };
    shelf.iter().map(amount).collect()
}

/// Puts a caution behind the last of its weight.
fn warn(one: &mut LoopAnswer, caution: Caution) {
    let lighter = |c: &CautionEntry| c.0.weight() > Weight::Mind;
    let place = one.cautions.iter().position(lighter);
    one.cautions
        .insert(place.unwrap_or(one.cautions.len()), CautionEntry(caution));
}
