//! Whole packs: the best set that holds all that the cards pour, whatever it is mixed from.
//!
//! What a pass pours is so many litres, measured apart, at a mean strength from a weakest to a strongest. Any stocks that
//! come to that will do: concentrate and water, a premix, or all three. So the packs decide the blend as well, and both
//! are decided at once.
//!
//! Why that stays a small problem: stocks of strengths φ_s, c_s apart litres of each, can be shared out so that every
//! pass gets its n_l apart litres at a mean strength from α_l to β_l exactly when, for every k,
//!
//! ```text
//! Σ n_l·max(α_l − k, 0) ≤ Σ c_s·max(φ_s − k, 0)      (enough that is stronger than k)
//! Σ n_l·max(k − β_l, 0) ≤ Σ c_s·max(k − φ_s, 0)      (enough that is weaker than k)
//! ```
//!
//! With α_l = β_l that is the extended convex order of Beiglböck and Juillet, Ann. Probab. 44 (2016) 42–106, for measures
//! on a line. With a range: the first line says that the passes of any set A, Σ n_l litres of them, ask for no more
//! concentrate at their weakest than the strongest so many litres hold, the second the same of their strongest and the
//! weakest litres. The one is submodular in A, the other supermodular, and together they make a generalized polymatroid
//! (the strongest litres of a row are no weaker than its weakest ones), which meets a box exactly when each of its two
//! corners keeps its own half (Frank, Connections in Combinatorial Optimization, 2011, theorem 14.3.9; from memory).
//!
//! Both sides are piecewise linear in k and only the right-hand one has kinks that make the gap least, at the
//! strengths of the stocks; so k need only be those. The conditions are linear in the number of packs: a covering
//! program ([`cover`]). [`share`] then shares the stocks out. `tests/answers/packs.rs` checks the theorem and the search
//! against an integer program that knows of neither.
//!
//! Invariants: the draws are the plan's; nothing is poured that is not there; volumes are rounded so that a set never
//! falls short (but for 0.05 mL, below any measure).
//! Absent on purpose: money's units (prices are whole minor units), words, and what packs are called.

pub mod cover;
pub mod share;

use super::{
    fluid::Glycol,
    mix::Blend,
    quantity::{LabelFraction, Volume, in_litres, litres},
};
use cover::{Kind, Sets, lightest};

/// What the best set is to be best in; ties go by the other two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wish {
    /// The least price, then the least volume, then the fewest packs.
    Cheapest,
    /// The least volume bought (what is poured is given, so the least left over), then the least price.
    LeastLeft,
    /// The fewest packs, then the least price, then the least volume.
    Fewest,
}

/// A stock, as it can be taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Its glycol; `None`: water, which suits both.
    pub glycol: Option<Glycol>,
    /// Its label strength.
    pub strength: LabelFraction,
    /// How much is there already; `None`: as much as is needed.
    pub have: Option<Volume>,
    /// The packs it is sold in.
    pub packs: Vec<Pack>,
    /// Poured of this very stock, whatever else: it has happened.
    pub poured: Volume,
}

/// A pack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pack {
    /// What it holds.
    pub size: Volume,
    /// Whole minor units of money; not negative.
    pub price: i64,
}

/// What one pass pours, whatever it is mixed from.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// The loop's glycol.
    pub glycol: Glycol,
    /// So much; where the pass may draw more or less, what it pours for the least and the most of it. All between them
    /// will do; the conditions on packs are exact where there is one, and else ask for too little, never for too much.
    pub ends: Vec<Pourable>,
}

/// So much, of a strength in a range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pourable {
    /// Concentrate and water together, measured apart.
    pub apart: Volume,
    /// The least their mean strength may be.
    pub weakest: LabelFraction,
    /// The most.
    pub strongest: LabelFraction,
}

/// How many of each pack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// For each source, for each of its packs.
    pub counts: Vec<Vec<u32>>,
    /// Nothing better holds all that is needed.
    pub proven: bool,
}

impl Pourable {
    /// Between two ends: volumes of glycol and water go straight from the one to the other.
    pub fn towards(&self, other: &Self, share: f64) -> Self {
        let between = |a: f64, b: f64| a + (b - a) * share;
        let (mine, others) = (in_litres(self.apart), in_litres(other.apart));
        let apart = between(mine, others);
        let strength = |a: LabelFraction, b: LabelFraction| {
            LabelFraction::clamped(between(mine * a.fraction(), others * b.fraction()) / apart)
        };
        Self {
            apart: litres(apart),
            weakest: strength(self.weakest, other.weakest),
            strongest: strength(self.strongest, other.strongest),
        }
    }
}

impl Source {
    /// Apart litres in a litre of it.
    pub fn apart_per_mixed(&self) -> f64 {
        self.glycol
            .map_or(1.0, |g| Blend::of(g).apart_per_mixed(self.strength))
    }

    /// Can it be poured into a loop of this glycol?
    pub fn suits(&self, glycol: Glycol) -> bool {
        self.glycol.is_none_or(|g| g == glycol)
    }
}

/// The best set of whole packs for these needs, each of one end; `None` where no number of packs will do.
pub fn choose(sources: &[Source], needs: &[Need], wish: Wish) -> Option<Choice> {
    let program = Program::of(sources, needs, wish);
    let cover = lightest(&program.packs, &program.needs)?;
    Some(Choice {
        counts: program.by_source(&cover.counts),
        proven: cover.proven,
    })
}

/// Every set of whole packs that meets the conditions of these needs, the best first. It ends early where there is too
/// much to look through ([`cover::MOST_SETS`]).
pub fn sets(
    sources: &[Source],
    needs: &[Need],
    wish: Wish,
) -> impl Iterator<Item = Vec<Vec<u32>>> + use<> {
    let program = Program::of(sources, needs, wish);
    let sets = Sets::of(&program.packs, &program.needs);
    sets.map(move |counts| program.by_source(&counts))
}

/// The covering program of [`cover`].
struct Program {
    /// The source of each kind of pack.
    source: Vec<usize>,
    sources: usize,
    packs: Vec<Kind>,
    needs: Vec<i64>,
}

impl Program {
    fn of(sources: &[Source], needs: &[Need], wish: Wish) -> Self {
        let kinds: Vec<(usize, Pack)> = sources
            .iter()
            .enumerate()
            .flat_map(|(s, source)| source.packs.iter().map(move |p| (s, *p)))
            .collect();
        let rows = Rows::of(sources, needs);
        let poured = needs.iter().flat_map(|n| &n.ends);
        let poured: f64 = poured.map(|end| in_litres(end.apart)).sum();
        let weights = weights(&kinds, wish, poured);
        let mut needs = Vec::new();
        let mut packs: Vec<Kind> = weights
            .into_iter()
            .map(|weight| Kind {
                weight,
                gives: Vec::new(),
            })
            .collect();
        for row in &rows.list {
            let gives = |s: usize| row.gives[s].unwrap_or(0.0);
            let is_met = (0..sources.len()).any(|s| {
                sources[s].have.is_none() && sources[s].packs.is_empty() && gives(s) > 0.0
            });
            let there: f64 = (0..sources.len())
                .map(|s| gives(s) * sources[s].have.map_or(0.0, in_litres))
                .sum();
            let need = ((row.need - there) * MICROLITRES).ceil() as i64 - SLACK_MICROLITRES;
            if is_met || need <= 0 {
                continue;
            }
            needs.push(need);
            for (kind, (s, pack)) in packs.iter_mut().zip(&kinds) {
                kind.gives
                    .push((gives(*s) * in_litres(pack.size) * MICROLITRES + 1e-3).floor() as i64);
            }
        }
        Self {
            source: kinds.into_iter().map(|(s, _)| s).collect(),
            sources: sources.len(),
            packs,
            needs,
        }
    }

    fn by_source(&self, counts: &[u32]) -> Vec<Vec<u32>> {
        let mut list = vec![Vec::new(); self.sources];
        for (source, count) in self.source.iter().zip(counts) {
            list[*source].push(*count);
        }
        list
    }
}

const MICROLITRES: f64 = 1e6;
/// Far below any measure, far above what rounding to microlitres makes.
const SLACK_MICROLITRES: i64 = 50;

/// Sixteenths of a nanolitre in a litre: of these every unit of volume is a whole number, so that packs of one volume
/// tie, whatever units they are stated in.
const EXACT: f64 = 16e9;
/// The same where so much is poured, in litres, that sums could grow too large: millilitres.
const LARGE_LITRES: f64 = 1e5;

/// What each pack weighs, so that the lesser sum is the better set: the three criteria in one number, which holds sums
/// of a million packs, of 2^50 minor units and of ten times what is poured.
fn weights(kinds: &[(usize, Pack)], wish: Wish, poured_litres: f64) -> Vec<i128> {
    const COUNT: i128 = 1 << 20;
    const VOLUME: i128 = 1 << 54;
    const PRICE: i128 = 1 << 50;
    let per_litre = if poured_litres > LARGE_LITRES {
        1000.0
    } else {
        EXACT
    };
    kinds
        .iter()
        .map(|(_, pack)| {
            let volume = i128::from((in_litres(pack.size) * per_litre).round() as i64);
            let price = i128::from(pack.price.max(0));
            match wish {
                Wish::Cheapest => (price * VOLUME + volume) * COUNT + 1,
                Wish::LeastLeft => (volume * PRICE + price) * COUNT + 1,
                Wish::Fewest => (PRICE + price) * VOLUME + volume,
            }
        })
        .collect()
}

/// The conditions: so much of each source counts so much towards a need.
struct Rows<'a> {
    sources: &'a [Source],
    list: Vec<Row>,
}

/// One condition; litres.
#[derive(Debug, Clone)]
struct Row {
    /// What a litre of each source gives; `None`: nothing.
    gives: Vec<Option<f64>>,
    need: f64,
}

impl<'a> Rows<'a> {
    fn of(sources: &'a [Source], needs: &[Need]) -> Self {
        let list = Vec::new();
        let mut rows = Self { sources, list };
        rows.of_poured();
        rows.of_needs(needs);
        rows
    }

    /// So much is there of each source; `None`: enough. Is it all that is needed, but for a microlitre?
    fn are_met(&self, there: &[Option<Volume>]) -> bool {
        self.list.iter().all(|row| {
            let gives = row
                .gives
                .iter()
                .zip(there)
                .filter_map(|(g, t)| Some(((*g)?, t)));
            let all = gives.map(|(gives, there)| gives * there.map_or(f64::INFINITY, in_litres));
            all.sum::<f64>() >= row.need - 1e-6
        })
    }

    /// What was poured of a stock must have come from its packs.
    fn of_poured(&mut self) {
        for (s, source) in self.sources.iter().enumerate() {
            let mut gives = vec![None; self.sources.len()];
            gives[s] = Some(1.0);
            self.list.push(Row {
                gives,
                need: in_litres(source.poured),
            });
        }
    }

    fn of_needs(&mut self, needs: &[Need]) {
        let [a, b] = [Glycol::Ethylene, Glycol::Propylene].map(|g| self.of_glycol(g, needs));
        // Water is shared: what one glycol's conditions leave of it is what the other's have. In litres of water,
        // each pair of conditions adds up to one.
        let water: Vec<usize> = (0..self.sources.len())
            .filter(|&s| self.sources[s].glycol.is_none())
            .collect();
        let of_water = |row: &Row| water.first().and_then(|&w| row.gives[w]);
        // Both count the water that was poured already.
        let counted_twice: f64 = water
            .iter()
            .map(|&w| in_litres(self.sources[w].poured))
            .sum();
        for x in a.iter().filter_map(|row| Some((row, of_water(row)?))) {
            for y in b.iter().filter_map(|row| Some((row, of_water(row)?))) {
                let gives = (0..self.sources.len()).map(|s| {
                    if water.contains(&s) {
                        return Some(1.0);
                    }
                    x.0.gives[s]
                        .map(|g| g / x.1)
                        .or(y.0.gives[s].map(|g| g / y.1))
                });
                self.list.push(Row {
                    gives: gives.collect(),
                    need: x.0.need / x.1 + y.0.need / y.1 - counted_twice,
                });
            }
        }
        self.list.extend(a);
        self.list.extend(b);
    }

    /// The conditions of one glycol by itself.
    fn of_glycol(&self, glycol: Glycol, needs: &[Need]) -> Vec<Row> {
        let needs: Vec<&Need> = needs
            .iter()
            .filter(|n| n.glycol == glycol && n.ends.iter().all(|e| in_litres(e.apart) > 0.0))
            .collect();
        if needs.is_empty() {
            return Vec::new();
        }
        let usable = |s: &Source| s.suits(glycol);
        let mut strengths: Vec<f64> = Vec::new();
        for source in self.sources.iter().filter(|s| usable(s)) {
            let strength = source.strength.fraction();
            if strengths.iter().all(|k| (k - strength).abs() > 1e-12) {
                strengths.push(strength);
            }
        }
        let mut rows = Vec::new();
        // Where all stocks are of one strength, neither condition counts litres.
        let counted = |_: f64| 1.0;
        rows.push(self.row(glycol, &needs, |end| end.weakest, &counted));
        for &k in &strengths {
            let stronger = |x: f64| (x - k).max(0.0);
            rows.push(self.row(glycol, &needs, |end| end.weakest, &stronger));
            let weaker = |x: f64| (k - x).max(0.0);
            rows.push(self.row(glycol, &needs, |end| end.strongest, &weaker));
        }
        rows
    }

    fn row(
        &self,
        glycol: Glycol,
        needs: &[&Need],
        at: fn(&Pourable) -> LabelFraction,
        worth: &dyn Fn(f64) -> f64,
    ) -> Row {
        // What lies between two ends asks for no less than one of them.
        let asked = |n: &&Need| -> f64 {
            let ends = n.ends.iter();
            let each = ends.map(|end| in_litres(end.apart) * worth(at(end).fraction()));
            each.reduce(f64::min).unwrap_or(0.0)
        };
        let gives = self.sources.iter().map(|s| {
            let worth = worth(s.strength.fraction());
            (s.suits(glycol) && worth > 1e-12).then(|| worth * s.apart_per_mixed())
        });
        // What has been poured of a stock is no longer there to be mixed.
        let gone: f64 = self
            .sources
            .iter()
            .filter(|s| s.suits(glycol))
            .map(|s| in_litres(s.poured) * s.apart_per_mixed() * worth(s.strength.fraction()))
            .sum();
        Row {
            gives: gives.collect(),
            need: gone + needs.iter().map(asked).sum::<f64>(),
        }
    }
}
