//! Sharing stocks out: which of them each pass pours, so that the later passes still get theirs.
//!
//! Stocks in the order of their strength, as litres in a row: a pass takes the one unbroken stretch that is long
//! enough and has its mean strength: of a range of them the middle, or what is nearest to it and can be had. That is its shadow (Beiglböck and Juillet 2016): of all that would serve, the
//! one that takes the middle and leaves the ends, so that whatever could be mixed for the others still can be.

use super::{Need, Pourable, Rows, Source};
use crate::engine::{
    order::in_order,
    quantity::{LabelFraction, Volume, in_litres, litres},
    range::held,
};

/// The needs, each at one end and one strength of its range, so that all of them can be had of what is `there` (`None`:
/// enough): each at one of its ends or between two that follow each other, and in the middle, or as near to its weakest as the others
/// after it allow. `None` where none were found.
pub fn settled(sources: &[Source], there: &[Option<Volume>], needs: &[Need]) -> Option<Vec<Need>> {
    let mut needs = needs.to_vec();
    let can_be_had = |needs: &[Need]| Rows::of(sources, needs).are_met(there);
    if !can_be_had(&needs) {
        return None;
    }
    for i in 0..needs.len() {
        let ends = needs[i].ends.clone();
        let between = ends
            .windows(2)
            .flat_map(|w| BETWEEN.map(|share| w[0].towards(&w[1], share)));
        let end = ends.iter().copied().chain(between).find(|&end| {
            needs[i].ends = vec![end];
            can_be_had(&needs)
        })?;
        let (low, high) = (end.weakest.fraction(), end.strongest.fraction());
        let mut with = |low: f64, high: f64| {
            let (weakest, strongest) = (LabelFraction::clamped(low), LabelFraction::clamped(high));
            needs[i].ends = vec![Pourable {
                weakest,
                strongest,
                ..end
            }];
            can_be_had(&needs)
        };
        let middle = 0.5 * (low + high);
        if with(middle, middle) {
            continue;
        }
        let (mut low, mut high) = (low, high);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if with(low, middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        with(high, high);
    }
    Some(needs)
}

/// To a millionth of a strength.
const HALVINGS: usize = 20;

/// Between two ends of a need, in the order tried.
const BETWEEN: [f64; 7] = [0.5, 0.25, 0.75, 0.125, 0.375, 0.625, 0.875];

/// How much of each source one pass takes (of one end); `left` is what is there of each. `None` where it cannot be mixed.
pub fn stretch(sources: &[Source], left: &[Option<Volume>], need: &Need) -> Option<Vec<Volume>> {
    let end = need.ends.first()?;
    let wanted = in_litres(end.apart);
    let (weakest, strongest) = (end.weakest.fraction(), end.strongest.fraction());
    let mut row: Vec<(usize, f64, f64)> = (0..sources.len())
        .filter(|&s| sources[s].suits(need.glycol))
        .map(|s| {
            // Of what there is no end of, no pass takes more than all it pours.
            let there = left[s].map_or(wanted, |v| in_litres(v) * sources[s].apart_per_mixed());
            (s, sources[s].strength.fraction(), there)
        })
        .collect();
    in_order(&mut row, |a, b| a.1.total_cmp(&b.1));
    let total: f64 = row.iter().map(|r| r.2).sum();
    let slack = 1e-6;
    if total < wanted - slack {
        return None;
    }
    let taken = |from: f64| -> Vec<f64> {
        let mut begin = 0.0;
        row.iter()
            .map(|&(_, _, there)| {
                let end = begin + there;
                let part = (end.min(from + wanted) - begin.max(from)).max(0.0);
                begin = end;
                part
            })
            .collect()
    };
    let mean_of = |from: f64| -> f64 {
        let parts = taken(from);
        let sum: f64 = parts.iter().zip(&row).map(|(p, r)| p * r.1).sum();
        sum / wanted
    };
    let (mut low, mut high) = (0.0, (total - wanted).max(0.0));
    // What settling leaves: a microlitre, of what may be little.
    let tolerance = 1e-5;
    if wanted <= 0.0 || mean_of(low) > strongest + tolerance || mean_of(high) < weakest - tolerance
    {
        return None;
    }
    let mean = held(0.5 * (weakest + strongest), mean_of(low), mean_of(high));
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if mean_of(middle) < mean {
            low = middle;
        } else {
            high = middle;
        }
    }
    let mut amounts = vec![litres(0.0); sources.len()];
    for (part, &(s, _, there)) in taken(held((low + high) / 2.0, 0.0, total)).iter().zip(&row) {
        amounts[s] = litres(part.min(there) / sources[s].apart_per_mixed());
    }
    Some(amounts)
}
