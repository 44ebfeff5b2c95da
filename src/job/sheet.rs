//! The counter sheet: which whole packs to take for the job, what is left over, and what it comes to.
//!
//! What the cards pour is what is needed, or anything else that ends where the aim accepts with the same draw or less.
//! [`crate::engine::packs`] gives the sets of packs that can hold that, the best first; each is planned from as if it were
//! all there is, until one serves every loop and no loop draws a measuring step more than before. Where there are too many
//! to try, the set is the best for the draws that were planned, and at last for the cards as they stand.
//!
//! Proven is a set of which no better one will do, within a measuring step, for any plan that draws no more: if it was
//! found in that order, and each loop takes one round. Of rounds before the last only what was planned is looked at.
//!
//! Laws: a set holds all that the cards say to dose and pour, and all that was; a stock without packs is not for
//! sale, and there is as much of it as the shelf says.
//! Never done here: planning, arithmetic with money.

use super::{
    answer::{Do, LoopAnswer, Sheet, Step, Take, TakenPack},
    check::{Bottled, Stock},
    file::{self, Job, Wish},
    money::{Line, LineFor, Size, Terms},
    reply::can_be_planned,
    share::{self, Ends},
};
use crate::engine::{
    dose::SLACK_LITRES,
    packs::{self, Choice, Need, Pack, Source},
    quantity::{LabelFraction, Volume, in_litres, litres},
};

/// The loops' answers, and the sheet where anything is sold.
pub fn serve(
    job: &Job,
    shelf: &[Stock],
    bottles: &[Bottled],
    terms: &Terms,
) -> (Vec<LoopAnswer>, Option<Sheet>) {
    let for_sale = |packs: &[Pack]| !packs.is_empty();
    let sells = shelf.iter().any(|s| for_sale(&s.packs));
    if !sells && !bottles.iter().any(|b| for_sale(&b.packs)) {
        return (share::serve(job, shelf), None);
    }
    let market = Market {
        job,
        shelf,
        open: shelf.iter().map(unlimited_where_sold).collect(),
        wish: match terms.wish {
            Wish::Cheapest => packs::Wish::Cheapest,
            Wish::LeastLeft => packs::Wish::LeastLeft,
            Wish::Fewest => packs::Wish::Fewest,
        },
        on_each: terms.per_pack(),
    };
    let planned = share::serve(job, &market.open);
    let (loops, chosen) = market.settled(planned);
    let sheet = market.sheet(&loops, &chosen, bottles, terms);
    (loops, Some(sheet))
}

/// Of what is sold, more can be bought.
pub(super) fn unlimited_where_sold(stock: &Stock) -> Stock {
    let mut stock = stock.clone();
    if !stock.packs.is_empty() {
        stock.have = None;
    }
    stock
}

/// Sets looked at, at most, and of those that each loop would do with, how many are planned from.
const MOST_SETS: usize = 200;
const MOST_SERVED: usize = 40;

/// What there is and what is for sale.
struct Market<'a> {
    job: &'a Job,
    shelf: &'a [Stock],
    /// The shelf as if nothing that is sold could run out.
    open: Vec<Stock>,
    wish: packs::Wish,
    /// Minor units that each pack costs on top of its price.
    on_each: i64,
}

impl Market<'_> {
    /// The cards, and the set of packs that holds what they pour.
    fn settled(&self, planned: Vec<LoopAnswer>) -> (Vec<LoopAnswer>, Choice) {
        let sources = self.sources(&planned, |happened| happened);
        // Set after set, the best first.
        let needs = self.needs(&planned, Ends::NoMore, 0.0);
        let one_round = |lp: &LoopAnswer| lp.steps.iter().all(|s| s.round == lp.steps[0].round);
        let proven = planned.iter().all(one_round);
        let mut served_from = 0;
        for counts in packs::sets(&sources, &needs, self.wish).take(MOST_SETS) {
            let choice = Choice { counts, proven };
            if !self.may_serve(&planned, &choice) {
                continue;
            }
            served_from += 1;
            if served_from > MOST_SERVED {
                break;
            }
            if let Some(cards) = self.served(&planned, &choice) {
                return (cards, choice);
            }
        }
        // A set that is just enough may be too little once the amounts are rounded anew: then with a step to spare.
        let ends = [Ends::NoMore, Ends::SameDraw, Ends::AsPlanned];
        for (ends, spare) in ends.into_iter().flat_map(|e| [(e, 0.0), (e, 1.0)]) {
            let needs = self.needs(&planned, ends, spare);
            let Some(mut choice) = packs::choose(&sources, &needs, self.wish) else {
                continue;
            };
            choice.proven = false;
            if let Some(cards) = self.served(&planned, &choice) {
                return (cards, choice);
            }
        }
        // For the cards as they stand: every stock by itself.
        let sources = self.sources(&planned, |_| true);
        let none = Choice {
            counts: self.shelf.iter().map(|s| vec![0; s.packs.len()]).collect(),
            proven: false,
        };
        let mut choice = packs::choose(&sources, &[], self.wish).unwrap_or(none);
        choice.proven = false;
        (planned, choice)
    }

    /// Would each loop do with this set, had it all of it to itself?
    fn may_serve(&self, planned: &[LoopAnswer], choice: &Choice) -> bool {
        let there = self.with_packs(choice);
        self.holds(&there, planned)
            || (0..planned.len())
                .all(|i| planned[i].error.is_some() || can_be_planned(self.job, i, &there))
    }

    /// Cards that this set holds, as good as what was planned; `None` where none were found.
    fn served(&self, planned: &[LoopAnswer], choice: &Choice) -> Option<Vec<LoopAnswer>> {
        let there = self.with_packs(choice);
        if self.holds(&there, planned) {
            return Some(planned.to_vec());
        }
        let is_good =
            |again: &Vec<LoopAnswer>| self.holds(&there, again) && self.is_as_good(planned, again);
        let again = share::serve(self.job, &there);
        if is_good(&again) {
            return Some(again);
        }
        let several = self.job.loops.len() > 1;
        let parted = || share::as_planned(self.job, &there, planned);
        several.then(parted).flatten().filter(is_good)
    }

    /// The shelf as sources of packs; poured of each: the steps that `counts`.
    fn sources(&self, loops: &[LoopAnswer], counts: fn(bool) -> bool) -> Vec<Source> {
        self.shelf
            .iter()
            .map(|stock| Source {
                glycol: stock.glycol,
                strength: stock.strength,
                have: if stock.packs.is_empty() {
                    stock.have
                } else {
                    Some(stock.have.unwrap_or(litres(0.0)))
                },
                packs: self.priced(&stock.packs),
                poured: litres(
                    loops
                        .iter()
                        .map(|lp| {
                            let done = lp.so_far.iter().map(|s| (s, true));
                            let to_do = lp.steps.iter().map(|s| (s, false));
                            done.chain(to_do)
                                .filter(|(_, happened)| counts(*happened))
                                .filter_map(|(s, _)| poured(s, &stock.name))
                                .sum::<f64>()
                        })
                        .sum(),
                ),
            })
            .collect()
    }

    fn priced(&self, packs: &[Pack]) -> Vec<Pack> {
        let dearer = |p: &Pack| Pack {
            price: p.price.saturating_add(self.on_each),
            ..*p
        };
        packs.iter().map(dearer).collect()
    }

    /// What each pass of each loop still pours, with so many of its loop's steps to spare.
    fn needs(&self, loops: &[LoopAnswer], ends: Ends, spare: f64) -> Vec<Need> {
        let mut list = Vec::new();
        for (lp, answer) in self.job.loops.iter().zip(loops) {
            let more = litres(spare * share::step_of(lp));
            for mut need in share::needs(lp, answer, self.shelf, ends) {
                for end in &mut need.ends {
                    end.apart += more;
                }
                list.push(need);
            }
        }
        list
    }

    /// The shelf with these packs on it, and no more.
    fn with_packs(&self, choice: &Choice) -> Vec<Stock> {
        let mut list = self.shelf.to_vec();
        for (stock, counts) in list.iter_mut().zip(&choice.counts) {
            if !stock.packs.is_empty() {
                stock.have = Some(stock.have.unwrap_or(litres(0.0)) + held(&stock.packs, counts));
            }
        }
        list
    }

    /// Is there as much as the cards pour?
    fn holds(&self, there: &[Stock], loops: &[LoopAnswer]) -> bool {
        there.iter().all(|stock| {
            let all: f64 = loops.iter().map(|lp| used(lp, &stock.name)).sum();
            stock
                .have
                .is_none_or(|have| all <= in_litres(have) + SLACK_LITRES)
        })
    }

    /// No loop lost its plan, and none draws off more than a step more.
    fn is_as_good(&self, planned: &[LoopAnswer], again: &[LoopAnswer]) -> bool {
        self.job
            .loops
            .iter()
            .zip(planned)
            .zip(again)
            .all(|((lp, before), now)| {
                let step = share::step_of(lp);
                let lost = now.error.is_some() && before.error.is_none();
                !lost && now.dispose_litres <= before.dispose_litres + step + SLACK_LITRES
            })
    }

    fn sheet(
        &self,
        loops: &[LoopAnswer],
        choice: &Choice,
        bottles: &[Bottled],
        terms: &Terms,
    ) -> Sheet {
        let mut sheet = Sheet {
            wish: terms.wish.text(),
            proven: choice.proven,
            take: Vec::new(),
            left_out: Vec::new(),
            waste_litres: loops.iter().fold(0.0, |sum, lp| sum + lp.dispose_litres),
            bill: terms.bill(Vec::new(), 0, 0.0),
        };
        let mut lines = Vec::new();
        for ((stock, counts), raw) in self.shelf.iter().zip(&choice.counts).zip(&self.job.shelf) {
            let needed = loops.iter().map(|lp| used(lp, &stock.name)).sum();
            let have = if stock.packs.is_empty() {
                stock.have
            } else {
                Some(stock.have.unwrap_or(litres(0.0)))
            };
            let sold = (
                stock.packs.as_slice(),
                raw.packs.as_slice(),
                counts.as_slice(),
            );
            sheet.put(&stock.name, false, needed, have, sold, terms, &mut lines);
        }
        for bottled in bottles {
            let doses = |lp: &LoopAnswer| -> f64 {
                let all = lp.so_far.iter().chain(&lp.steps);
                all.filter(|s| s.what == Do::Dose)
                    .filter_map(|s| s.litres)
                    .sum()
            };
            let needed = bottled.loops.iter().map(|&i| doses(&loops[i])).sum();
            let source = Source {
                glycol: None,
                strength: LabelFraction::WATER,
                have: bottled.have,
                packs: self.priced(&bottled.packs),
                poured: litres(needed),
            };
            let chosen = packs::choose(&[source], &[], self.wish);
            let none = vec![0; bottled.packs.len()];
            sheet.proven &= chosen.as_ref().is_some_and(|c| c.proven) || bottled.packs.is_empty();
            let counts = chosen.map_or(none, |c| c.counts.concat());
            let sold = (
                bottled.packs.as_slice(),
                bottled.sizes.as_slice(),
                counts.as_slice(),
            );
            let have = bottled.have;
            sheet.put(&bottled.name, true, needed, have, sold, terms, &mut lines);
        }
        sheet.left_out = loops
            .iter()
            .enumerate()
            .filter(|(_, lp)| lp.way.is_none())
            .map(|(i, _)| i)
            .collect();
        let packs = sheet.take.iter().flat_map(|t| &t.packs).map(|p| p.count);
        let packs = packs.sum();
        sheet.bill = terms.bill(lines, packs, sheet.waste_litres);
        sheet
    }
}

impl Sheet {
    #[allow(clippy::too_many_arguments)] // one line of the sheet has so many parts
    fn put(
        &mut self,
        name: &str,
        additive: bool,
        needed: f64,
        have: Option<Volume>,
        (packs, raw, counts): (&[Pack], &[file::Pack], &[u32]),
        terms: &Terms,
        lines: &mut Vec<Line>,
    ) {
        let mut taken = Vec::new();
        for ((pack, raw), &count) in packs.iter().zip(raw).zip(counts) {
            if count == 0 {
                continue;
            }
            let size = Size {
                value: raw.size.value,
                unit: raw.size.unit.text(),
            };
            let amount = pack.price.saturating_mul(i64::from(count));
            taken.push(TakenPack {
                size,
                litres: in_litres(pack.size),
                count,
            });
            lines.push(Line {
                what: LineFor::Pack,
                name: name.to_owned(),
                size: Some(size),
                count: f64::from(count),
                unit: "pack",
                each: terms.amount(pack.price),
                amount: terms.amount(amount),
            });
        }
        if needed <= SLACK_LITRES && taken.is_empty() {
            return;
        }
        let bought = held(packs, counts);
        self.take.push(Take {
            name: name.to_owned(),
            additive,
            needed_litres: clean(needed),
            have_litres: have.map(|have| clean(in_litres(have))),
            packs: taken,
            left_litres: have
                .map(|have| clean((in_litres(have) + in_litres(bought) - needed).max(0.0))),
        });
    }
}

/// What so many packs hold.
fn held(packs: &[Pack], counts: &[u32]) -> Volume {
    packs
        .iter()
        .zip(counts)
        .fold(litres(0.0), |sum, (p, n)| sum + p.size * f64::from(*n))
}

/// Litres of a stock that a step pours.
fn poured(step: &Step, name: &str) -> Option<f64> {
    let pours = step.what == Do::Pour && step.stock.as_deref() == Some(name);
    step.litres.filter(|_| pours)
}

/// Litres of a stock that a loop takes, done or to come.
fn used(lp: &LoopAnswer, name: &str) -> f64 {
    let all = lp.so_far.iter().chain(&lp.steps);
    all.filter_map(|step| poured(step, name)).sum()
}

/// Free of the dust of binary fractions (to 1e-9 L).
fn clean(litres: f64) -> f64 {
    (litres * 1e9).round() / 1e9
}
