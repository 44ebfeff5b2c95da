//! Whole packs that cover several needs at the least weight: an integer covering program, solved exactly.
//!
//! ```text
//! least Σ weight_p·n_p   with   Σ gives_ip·n_p ≥ needs_i   for every need i,   n_p whole and not negative
//! ```
//!
//! Depth first, one kind of pack after the other, the likeliest count of each first. A branch is cut where even the
//! linear relaxation of what is left costs as much as the best set so far. That bound needs no solver: any prices
//! y_i ≥ 0 of the needs that make no kind of pack worth more than its weight (Σ y_i·gives_ip ≤ weight_p) prove that
//! the rest costs at least Σ y_i·rest_i (weak duality); such prices are raised one need after the other, in every
//! order of up to five needs, for the kinds that are still open. Counts and weights are integers throughout;
//! the bound is a double, used with a relative slack that lets a branch live rather than die.
//!
//! Exact unless [`Cover::proven`] says otherwise: a search of over [`MOST_NODES`] branches stops with the best it has.

use crate::engine::order::in_order;

/// Branches looked at before the search gives up proving.
pub const MOST_NODES: u32 = 40_000;

/// A kind of pack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kind {
    /// What one of it weighs in the sum to be made least; above 0.
    pub weight: i128,
    /// What one of it gives towards each need; not negative.
    pub gives: Vec<i64>,
}

/// How many of each kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cover {
    /// In the order of the kinds.
    pub counts: Vec<u32>,
    /// Nothing lighter covers the needs.
    pub proven: bool,
}

/// The lightest set; `None` where no number of packs covers the needs.
pub fn lightest(kinds: &[Kind], needs: &[i64]) -> Option<Cover> {
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    let most = |k: usize| kinds[k].gives.iter().copied().max().unwrap_or(0);
    in_order(&mut order, |&a, &b| most(b).cmp(&most(a)));
    let mut search = Search {
        kinds: order.iter().map(|&k| &kinds[k]).collect(),
        prices: Vec::new(),
        best: None,
        counts: vec![0; kinds.len()],
        nodes: 0,
    };
    search.prices = (0..=kinds.len())
        .map(|k| search.prices_of(k, needs))
        .collect();
    search.descend(0, 0, needs.to_vec());
    let proven = search.nodes < MOST_NODES;
    let (_, found) = search.best?;
    let mut counts = vec![0; kinds.len()];
    for (place, &k) in order.iter().enumerate() {
        counts[k] = found[place];
    }
    Some(Cover { counts, proven })
}

struct Search<'a> {
    kinds: Vec<&'a Kind>,
    /// For each kind, prices of the needs that are fair to it and all later ones, in several mixes.
    prices: Vec<Vec<Vec<f64>>>,
    best: Option<(i128, Vec<u32>)>,
    counts: Vec<u32>,
    nodes: u32,
}

impl Search<'_> {
    /// Fair prices for the kinds from `from` on, in every mix that some order of raising them comes to.
    fn prices_of(&self, from: usize, needs: &[i64]) -> Vec<Vec<f64>> {
        let mut mixes: Vec<Vec<f64>> = Vec::new();
        for order in orders(needs.len()) {
            let mut room: Vec<f64> = self.kinds[from..].iter().map(|k| k.weight as f64).collect();
            let mut prices = vec![0.0; needs.len()];
            for row in order {
                let mut price = f64::INFINITY;
                for (kind, room) in self.kinds[from..].iter().zip(&room) {
                    if kind.gives[row] > 0 {
                        price = price.min(room.max(0.0) / kind.gives[row] as f64);
                    }
                }
                prices[row] = price;
                if price.is_finite() {
                    for (kind, room) in self.kinds[from..].iter().zip(&mut room) {
                        *room -= price * kind.gives[row] as f64;
                    }
                }
            }
            if !mixes.contains(&prices) {
                mixes.push(prices);
            }
        }
        mixes
    }

    /// What the kinds from `from` on must weigh at least to cover `rest`; infinite where they cannot.
    fn bound(&self, from: usize, rest: &[i64]) -> f64 {
        let mut bound: f64 = 0.0;
        for prices in &self.prices[from] {
            let mut sum = 0.0;
            for (price, &rest) in prices.iter().zip(rest) {
                if rest > 0 {
                    sum += price * rest as f64;
                }
            }
            bound = bound.max(sum);
        }
        bound
    }

    fn is_hopeless(&self, weight: i128, bound: f64) -> bool {
        if bound.is_infinite() {
            return true;
        }
        self.best
            .as_ref()
            .is_some_and(|(best, _)| bound * (1.0 - 1e-12) >= (best - weight) as f64)
    }

    fn descend(&mut self, k: usize, weight: i128, rest: Vec<i64>) {
        self.nodes += 1;
        if rest.iter().all(|&r| r <= 0) {
            if self.best.as_ref().is_none_or(|(best, _)| weight < *best) {
                self.best = Some((weight, self.counts.clone()));
            }
            return;
        }
        if k == self.kinds.len() || self.nodes >= MOST_NODES {
            return;
        }
        let kind = self.kinds[k];
        let most = rest
            .iter()
            .zip(&kind.gives)
            .filter(|(r, g)| **r > 0 && **g > 0)
            .map(|(r, g)| (r + g - 1) / g)
            .max()
            .unwrap_or(0);
        let after = |n: i64| -> Vec<i64> {
            rest.iter()
                .zip(&kind.gives)
                .map(|(r, g)| r - n * g)
                .collect()
        };
        let bound =
            |search: &Self, n: i64| kind.weight as f64 * n as f64 + search.bound(k + 1, &after(n));
        // The bound is convex in the count: its least is where a step further no longer lowers it.
        let (mut low, mut high) = (0, most);
        while low < high {
            let middle = (low + high) / 2;
            let here = bound(self, middle);
            if here.is_infinite() || bound(self, middle + 1) < here {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        let (mut down, mut up) = (low, low + 1);
        let (mut falls, mut rises) = (true, true);
        while falls || rises {
            for (n, open, step) in [(&mut down, &mut falls, -1), (&mut up, &mut rises, 1)] {
                if !*open {
                    continue;
                }
                let count = *n;
                *n += step;
                if count < 0 || count > most || self.is_hopeless(weight, bound(self, count)) {
                    *open = false;
                    continue;
                }
                self.counts[k] = u32::try_from(count).unwrap_or(u32::MAX);
                self.descend(
                    k + 1,
                    weight + kind.weight * i128::from(count),
                    after(count),
                );
                self.counts[k] = 0;
            }
            if self.nodes >= MOST_NODES {
                return;
            }
        }
    }
}

/// All orders of up to [`MOST_ORDERED`] rows; of more, those that begin at each row in turn.
fn orders(rows: usize) -> Vec<Vec<usize>> {
    if rows > MOST_ORDERED {
        return (0..rows)
            .map(|first| (0..rows).map(|i| (first + i) % rows).collect())
            .collect();
    }
    let mut list = vec![Vec::new()];
    for row in 0..rows {
        let longer = |order: &Vec<usize>| -> Vec<Vec<usize>> {
            (0..=order.len())
                .map(|place| {
                    let mut order = order.clone();
                    order.insert(place, row);
                    order
                })
                .collect()
        };
        list = list.iter().flat_map(longer).collect();
    }
    list
}

/// Rows of which all orders are tried.
const MOST_ORDERED: usize = 5;
