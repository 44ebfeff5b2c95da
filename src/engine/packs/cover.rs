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
//!
//! [`Sets`] gives the sets that cover the needs, the lightest first, for whoever asks more of a set than that: by the same
//! bound, best first. All of which no pack can be left out, for in whatever order its packs are added, each gives something
//! that is still needed; and these with up to [`MORE`] packs more.

use std::{
    cmp::Reverse,
    collections::{BTreeSet, BinaryHeap},
};

use crate::engine::order::in_order;

/// Branches looked at before the search gives up proving.
pub const MOST_NODES: u32 = 40_000;

/// Sets begun before [`Sets`] ends.
pub const MOST_SETS: usize = 6_000;

/// Packs that [`Sets`] adds to what covers the needs.
pub const MORE: u8 = 2;

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
    let order = largest_first(kinds);
    let mut search = Search {
        kinds: order.iter().map(|&k| &kinds[k]).collect(),
        prices: Vec::new(),
        best: None,
        counts: vec![0; kinds.len()],
        nodes: 0,
    };
    search.prices = (0..=kinds.len())
        .map(|k| prices_of(search.kinds.iter().copied().skip(k), needs.len()))
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

/// Places of the kinds, those that give most first.
fn largest_first(kinds: &[Kind]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    let most = |k: usize| kinds[k].gives.iter().copied().max().unwrap_or(0);
    in_order(&mut order, |&a, &b| most(b).cmp(&most(a)));
    order
}

/// All sets that cover the needs, the lightest first; each once. Ends after [`MOST_SETS`] were begun.
pub struct Sets {
    /// The largest first, and each one's place.
    kinds: Vec<Kind>,
    places: Vec<usize>,
    prices: Vec<Vec<Vec<f64>>>,
    begun: BinaryHeap<Reverse<Begun>>,
    count: usize,
    covers: BTreeSet<Vec<u32>>,
}

/// A set that more is added to, of the kinds from `from` on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Begun {
    /// What it must weigh at least once it covers the needs.
    at_least: i128,
    weight: i128,
    counts: Vec<u32>,
    from: usize,
    more: u8,
    rest: Vec<i64>,
}

impl Sets {
    /// Of these kinds, for these needs.
    pub fn of(kinds: &[Kind], needs: &[i64]) -> Self {
        let places = largest_first(kinds);
        let kinds: Vec<Kind> = places.iter().map(|&k| kinds[k].clone()).collect();
        let prices = (0..=kinds.len()).map(|k| prices_of(kinds.iter().skip(k), needs.len()));
        let mut sets = Self {
            prices: prices.collect(),
            places,
            begun: BinaryHeap::new(),
            count: 0,
            covers: BTreeSet::new(),
            kinds,
        };
        sets.begin(Begun {
            at_least: 0,
            weight: 0,
            counts: vec![0; sets.kinds.len()],
            from: 0,
            more: 0,
            rest: needs.to_vec(),
        });
        sets
    }

    fn begin(&mut self, mut set: Begun) {
        let bound = bound(&self.prices[set.from], &set.rest);
        if bound.is_finite() {
            self.count += 1;
            set.at_least = set.weight + (bound * (1.0 - 1e-12)) as i128;
            self.begun.push(Reverse(set));
        }
    }

    /// With one more of a kind.
    fn add(&mut self, set: &Begun, kind: usize, more: u8) {
        let Kind { weight, gives } = &self.kinds[kind];
        let mut counts = set.counts.clone();
        counts[kind] += 1;
        let next = Begun {
            at_least: 0,
            weight: set.weight + weight,
            counts,
            from: kind,
            more,
            rest: set.rest.iter().zip(gives).map(|(r, g)| r - g).collect(),
        };
        self.begin(next);
    }
}

impl Iterator for Sets {
    type Item = Vec<u32>;

    fn next(&mut self) -> Option<Vec<u32>> {
        while self.count <= MOST_SETS {
            let Reverse(set) = self.begun.pop()?;
            let covers = set.rest.iter().all(|&r| r <= 0);
            if covers && !self.covers.insert(set.counts.clone()) {
                continue;
            }
            for kind in 0..self.kinds.len() {
                if covers && set.more < MORE {
                    self.add(&set, kind, set.more + 1);
                } else if !covers && kind >= set.from {
                    let gives = self.kinds[kind].gives.iter().zip(&set.rest);
                    if gives
                        .into_iter()
                        .any(|(&gives, &rest)| gives > 0 && rest > 0)
                    {
                        self.add(&set, kind, 0);
                    }
                }
            }
            if covers {
                let mut counts = vec![0; self.kinds.len()];
                for (count, &place) in set.counts.iter().zip(&self.places) {
                    counts[place] = *count;
                }
                return Some(counts);
            }
        }
        None
    }
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
        let bound = |search: &Self, n: i64| {
            kind.weight as f64 * n as f64 + bound(&search.prices[k + 1], &after(n))
        };
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

/// Fair prices for these kinds, in every mix that some order of raising them comes to.
fn prices_of<'a>(kinds: impl Iterator<Item = &'a Kind>, rows: usize) -> Vec<Vec<f64>> {
    let kinds: Vec<&Kind> = kinds.collect();
    let mut mixes: Vec<Vec<f64>> = Vec::new();
    for order in orders(rows) {
        let mut room: Vec<f64> = kinds.iter().map(|k| k.weight as f64).collect();
        let mut prices = vec![0.0; rows];
        for row in order {
            let mut price = f64::INFINITY;
            for (kind, room) in kinds.iter().zip(&room) {
                if kind.gives[row] > 0 {
                    price = price.min(room.max(0.0) / kind.gives[row] as f64);
                }
            }
            prices[row] = price;
            if price.is_finite() {
                for (kind, room) in kinds.iter().zip(&mut room) {
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

/// What kinds of these fair prices must weigh at least to cover `rest`; infinite where they cannot.
fn bound(mixes: &[Vec<f64>], rest: &[i64]) -> f64 {
    let mut bound: f64 = 0.0;
    for prices in mixes {
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
