//! Sharing stocks out: which of them each pass pours, so that the later passes still get theirs.
//!
//! Stocks in the order of their strength, as litres in a row: a pass takes the one unbroken stretch that is long
//! enough and has its mean strength. That is its shadow (Beiglböck and Juillet 2016): of all that would serve, the
//! one that takes the middle and leaves the ends, so that whatever could be mixed for the others still can be.

use super::{Need, Source};
use crate::engine::{
    order::in_order,
    quantity::{Volume, in_litres, litres},
    range::held,
};

/// How much of each source one pass takes; `left` is what is there of each. `None` where it cannot be mixed.
pub fn stretch(sources: &[Source], left: &[Option<Volume>], need: &Need) -> Option<Vec<Volume>> {
    let wanted = in_litres(need.apart);
    let mean = need.strength.fraction();
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
    let tolerance = 1e-6;
    if wanted <= 0.0 || mean_of(low) > mean + tolerance || mean_of(high) < mean - tolerance {
        return None;
    }
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
