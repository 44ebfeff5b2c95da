//! One shelf for all loops, and who gets what of it where it is short.
//!
//! Loops are served in the job's order, each from what the ones before it left. Where a loop then goes without, and
//! would not have gone without alone, what there is is shared out. First by what each would pour, alone: anything that
//! lands with the draw it would make, or a lesser one that is accepted ([`settled`], exact for these draws). Then, for
//! what takes several rounds, stock by stock: to every loop the least it can do with, and of the rest a share by what it
//! would take beyond that. If all are served so, that stands, with a caution that says how much was left for each; if
//! not, the order does, with the same caution for who went short.
//!
//! Laws: the loops never take more of a stock than there is, but for what was really poured; where serving in order
//! serves all, nothing changes; the same job gives the same split. What a loop has really poured is gone for all.
//! Never done here: planning.

use super::{
    answer::{CautionEntry, Do, LoopAnswer},
    check::Stock,
    doses,
    file::{self, Job},
    reply::one_loop,
};
use crate::engine::{
    caution::{Caution, Weight},
    dose::SLACK_LITRES,
    fluid::Glycol,
    packs::{
        Need, Pourable, Source,
        share::{settled, stretch},
    },
    quantity::{LabelFraction, in_litres, litres},
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
    let by_need = |ends| {
        let shares = parted(job, shelf, &wanted, &poured, ends)?;
        Some(in_order(job, shelf, &shares)).filter(|(list, _)| !missed(list))
    };
    let by_stock = || {
        let shares = allotted(job, shelf, &alone, &need, &poured)?;
        Some(in_order(job, shelf, &shares)).filter(|(list, _)| !missed(list))
    };
    let (mut list, there) = by_need(Ends::SameDraw)
        .or_else(|| by_need(Ends::AnyDraw))
        .or_else(by_stock)
        .unwrap_or_else(|| in_order(job, shelf, &poured));
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

/// Every loop's answer, each from its part of what is there, so that each can pour with the draw that was planned for it;
/// `None` where there is no such part.
pub(super) fn as_planned(
    job: &Job,
    shelf: &[Stock],
    planned: &[LoopAnswer],
) -> Option<Vec<LoopAnswer>> {
    let poured: Vec<Amounts> = planned.iter().map(|one| so_far(one, shelf)).collect();
    let shares = parted(job, shelf, planned, &poured, Ends::SameDraw)?;
    Some(in_order(job, shelf, &shares).0)
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

/// What a round may pour.
#[derive(Clone, Copy)]
pub(super) enum Ends {
    /// What is planned.
    AsPlanned,
    /// Anything that lands, with the draw that is planned.
    SameDraw,
    /// The same, with that draw or less, to the mark or a step below.
    NoMore,
    /// The same, with the least draw first, then more.
    AnyDraw,
}

/// What each round of a loop still pours.
pub(super) fn needs(
    lp: &file::Loop,
    answer: &LoopAnswer,
    shelf: &[Stock],
    ends: Ends,
) -> Vec<Need> {
    // Of each round the litres of concentrate and water, and of concentrate.
    let mut rounds: Vec<(u32, f64, f64)> = Vec::new();
    for step in answer.steps.iter().filter(|s| s.what == Do::Pour) {
        let stock = shelf.iter().find(|s| Some(&s.name) == step.stock.as_ref());
        let (Some(stock), Some(amount)) = (stock, step.litres) else {
            continue;
        };
        let apart = amount * source(stock).apart_per_mixed();
        let concentrate = apart * stock.strength.fraction();
        match rounds.iter_mut().find(|round| round.0 == step.round) {
            Some(round) => {
                round.1 += apart;
                round.2 += concentrate;
            }
            None => rounds.push((step.round, apart, concentrate)),
        }
    }
    let last = rounds.last().map(|round| round.0);
    let ends_of = |(round, apart, concentrate): (u32, f64, f64)| {
        let strength = LabelFraction::clamped(concentrate / apart.max(SLACK_LITRES));
        let planned = Pourable {
            apart: litres(apart),
            weakest: strength,
            strongest: strength,
        };
        match (ends, answer.instead.filter(|_| Some(round) == last)) {
            (Ends::AsPlanned, _) | (_, None) => vec![planned],
            (Ends::SameDraw, Some(with)) => vec![with.planned],
            (Ends::NoMore, Some(with)) => {
                let [planned, lesser] = with.below_the_mark;
                vec![with.planned, with.lesser, planned, lesser]
            }
            (Ends::AnyDraw, Some(with)) => vec![with.lesser, with.planned, with.greatest],
        }
    };
    let each = rounds.into_iter().map(|round| Need {
        glycol: Glycol::from(lp.glycol),
        ends: ends_of(round),
    });
    each.collect()
}

/// A stock, without what there is of it.
fn source(stock: &Stock) -> Source {
    Source {
        glycol: stock.glycol,
        strength: stock.strength,
        have: None,
        packs: Vec::new(),
        poured: litres(0.0),
    }
}

/// Litres of the least that is measured for a loop.
pub(super) fn step_of(lp: &file::Loop) -> f64 {
    lp.measure_step.map_or(0.05, |q| q.value * q.unit.litres())
}

/// Of every stock what each loop takes, were each to pour what it would alone or something else that lands as well: no
/// loop takes what another cannot do without. `None` where that cannot be had.
fn parted(
    job: &Job,
    shelf: &[Stock],
    wanted: &[LoopAnswer],
    poured: &[Amounts],
    ends: Ends,
) -> Option<Vec<Amounts>> {
    let sources: Vec<Source> = shelf.iter().map(source).collect();
    let gone = sum(shelf, poured);
    let there = less(shelf, &gone);
    let mut left: Vec<_> = there.iter().map(|s| s.have).collect();
    let each = job.loops.iter().zip(wanted);
    let of_each: Vec<Vec<Need>> = each
        .map(|(lp, answer)| needs(lp, answer, shelf, ends))
        .collect();

    // It may fall short by as little as no measure shows.
    let with_slack = left.iter().map(|l| l.map(|l| l + litres(SLACK_LITRES)));
    let settled = settled(&sources, &with_slack.collect::<Vec<_>>(), &of_each.concat())?;
    let mut settled = settled.iter();
    let mut shares = poured.to_vec();
    for (of_one, share) in of_each.iter().zip(&mut shares) {
        for need in settled.by_ref().take(of_one.len()) {
            let amounts = stretch(&sources, &left, need)?;
            for ((left, share), amount) in left.iter_mut().zip(share.iter_mut()).zip(amounts) {
                *share += in_litres(amount);
                *left = left.map(|l| litres((in_litres(l) - in_litres(amount)).max(0.0)));
            }
        }
    }
    Some(shares)
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
