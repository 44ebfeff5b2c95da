//! With the draws fixed, the strongest and the weakest that a loop can end at.
//!
//! **The ends.** Of what round i pours, the share W_i = Π r_j (j > i, r_j what a draw leaves of the loop) stays to the end.
//! W rises with i, so by the rearrangement inequality the strongest end pours the stocks strongest first, counted
//! backwards from the last litre poured, and the weakest end weakest first. On that axis each stock is an interval as
//! long as there is of it, and each round takes its interval. Every strength between the two ends is reached: blend the
//! two plans, and the end moves continuously. What mixing shrinks is made up by each round's last stock; the intervals
//! are then as long as what was really poured, and the second time over they fit.
//!
//! **The lump.** If every stock is plentiful, the ends depend on R = Π r alone: the old mix leaves in proportion, and
//! whatever came in between may be taken for the one stock poured last. For short stocks, `Lump` gives each at most the
//! litres of it that can stay to the end in any number of rounds, so its ends lie on or beyond those of any draws with
//! that R: a bound, exact for one round.
//!
//! **What stays of a stock at most.** Of the last L litres poured in rounds of p_1, …, p_K, the part that stays is
//! p_K + p_{K−1} r_K + … = N (1 − Π (1 − p_j/N)), up to the first round, whose pour may be longer by what is missing. The
//! logarithm of 1 − p/N is concave, so for a given L the product is least where all p are at the limit but one.

use super::state::{Bench, State};
use crate::engine::{dose::SLACK_LITRES, quantity::in_litres, range::held};

/// Strengths that count as there, as fractions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Goal {
    pub low: f64,
    pub high: f64,
    /// Undiluted at most.
    pub most: f64,
}

/// Litres of one stock in one round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lot {
    pub round: usize,
    pub source: usize,
    pub amount: f64,
}

/// What draws come to at one end.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct End {
    /// At the end.
    pub after: State,
    /// What is poured, the last litre first.
    pub lots: Vec<Lot>,
    /// Litres that nothing is left to fill.
    pub short: f64,
}

/// A loop on its way, with what is left of the shelf.
#[derive(Debug, Clone)]
pub(super) struct Stage {
    pub now: State,
    /// Litres it holds.
    pub holds: f64,
    /// Litres left of each stock; a stock that is not to be used: 0.
    pub have: Vec<f64>,
    /// The most the first draw gives.
    pub first: f64,
}

impl Bench<'_> {
    /// Litres of old charge that may stay, so much beyond what was asked.
    pub(super) fn old_allowed(&self, slack: f64) -> f64 {
        if self.task.renew <= 0.0 {
            return f64::INFINITY;
        }
        in_litres(self.task.old_allowed()) + slack
    }

    /// What is dosed in each round: all of it in the last, or what finds no room there in those before it. The rest, if
    /// any, finds none at all.
    pub(super) fn doses(
        &self,
        stage: &Stage,
        draws: &[f64],
        pours: &[(usize, f64)],
    ) -> (Vec<f64>, f64) {
        let mut list = vec![0.0; draws.len()];
        if self.task.dosing.is_none() {
            return (list, 0.0);
        }
        let mut stays = 1.0;
        let mut holds = stage.holds;
        for draw in draws {
            stays *= self.stays(*draw, holds);
            holds = self.mark;
        }
        let mut left = self.dose(&stage.now.kept(stays), pours);
        for (i, draw) in draws.iter().enumerate().rev() {
            let holds = if i == 0 { stage.holds } else { self.mark };
            let room = (self.mark - (holds - draw)).max(0.0);
            list[i] = left.min(room);
            left -= list[i];
            if left <= SLACK_LITRES {
                return (list, 0.0);
            }
        }
        (list, left)
    }

    /// The share that a draw leaves.
    pub(super) fn stays(&self, draw: f64, holds: f64) -> f64 {
        if holds > 0.0 {
            (1.0 - draw / holds).max(0.0)
        } else {
            0.0
        }
    }

    /// The strongest end of these draws, or the weakest.
    pub(super) fn end(&self, stage: &Stage, draws: &[f64], doses: &[f64], strongest: bool) -> End {
        let rounds = draws.len();
        let mut needs: Vec<f64> = (0..rounds)
            .map(|i| {
                let holds = if i == 0 { stage.holds } else { self.mark };
                (self.mark - (holds - draws[i]) - doses[i]).max(0.0)
            })
            .collect();
        let mut end = End {
            after: stage.now,
            lots: Vec::new(),
            short: 0.0,
        };
        for _ in 0..3 {
            self.lay(stage, &needs, strongest, &mut end);
            let mut moved = 0.0_f64;
            let mut s = stage.now;
            let mut place = end.lots.len();
            for i in 0..rounds {
                let holds = if i == 0 { stage.holds } else { self.volume(&s) };
                s = s.kept(self.stays(draws[i], holds));
                s.a += doses[i];
                let mut poured = 0.0;
                while place > 0 && end.lots[place - 1].round == i {
                    place -= 1;
                    let lot = end.lots[place];
                    let is_last = place == 0 || end.lots[place - 1].round != i;
                    let amount = if is_last && end.short <= 0.0 {
                        self.fill(&s, lot.source)
                    } else {
                        lot.amount
                    };
                    end.lots[place].amount = amount;
                    s = self.poured(&s, lot.source, amount);
                    poured += amount;
                }
                moved = moved.max((poured - needs[i]).abs());
                if end.short <= 0.0 {
                    needs[i] = poured;
                }
            }
            end.after = s;
            // One stock alone needs no second time.
            if moved < 1e-6 || end.lots.len() == 1 || end.short > 0.0 {
                break;
            }
        }
        end
    }

    /// Shares the stocks out over the rounds, from the last litre backwards.
    fn lay(&self, stage: &Stage, needs: &[f64], strongest: bool, end: &mut End) {
        end.lots.clear();
        end.short = 0.0;
        let count = stage.have.len();
        let place = |k: usize| if strongest { k } else { count - 1 - k };
        let (mut k, mut used) = (0, 0.0);
        for (round, need) in needs.iter().enumerate().rev() {
            let mut need = *need;
            while need > 1e-9 {
                if k == count {
                    end.short += need;
                    break;
                }
                let source = place(k);
                let amount = need.min(stage.have[source] - used);
                if amount > 1e-9 {
                    end.lots.push(Lot {
                        round,
                        source,
                        amount,
                    });
                    used += amount;
                    need -= amount;
                } else {
                    (k, used) = (k + 1, 0.0);
                }
            }
        }
    }

    /// How far these draws are from the goal, in shares of the loop: 0 or less is there. Moves by at most 1.5 times what a
    /// draw moves by, over the loop's volume.
    pub(super) fn gap(&self, stage: &Stage, draws: &[f64], goal: &Goal, slack: f64) -> f64 {
        let over = stage.holds - draws.first().copied().unwrap_or(0.0) - self.mark;
        let mut gap = over / self.mark;
        let allowed = self.old_allowed(slack);
        if allowed.is_finite() {
            let mut old = stage.now.old;
            let mut holds = stage.holds;
            for draw in draws {
                old *= self.stays(*draw, holds);
                holds = self.mark;
            }
            gap = gap.max((old - allowed) / self.mark);
        }
        let (strong, unfit) = self.dosed_end(stage, draws, true);
        gap = gap.max(unfit / self.mark).max(strong.short / self.mark);
        let high = self.strength(&strong.after);
        gap = gap.max(goal.low - high);
        if high
            > goal
                .high
                .min(self.strength_at_most(&strong.after, goal.most))
        {
            let (weak, _) = self.dosed_end(stage, draws, false);
            let most = goal.high.min(self.strength_at_most(&weak.after, goal.most));
            gap = gap.max(self.strength(&weak.after) - most);
        }
        gap
    }

    /// An end with its dose, and what of that finds no room. What is poured may bring of what is dosed, and then leaves
    /// more room to pour: settled by repetition.
    pub(super) fn dosed_end(&self, stage: &Stage, draws: &[f64], strongest: bool) -> (End, f64) {
        let (mut doses, mut unfit) = self.doses(stage, draws, &[]);
        let mut end = self.end(stage, draws, &doses, strongest);
        for _ in 0..if self.brings() { 3 } else { 0 } {
            let lots = end.lots.iter().rev();
            let pours: Vec<_> = lots.map(|l| (l.source, l.amount)).collect();
            (doses, unfit) = self.doses(stage, draws, &pours);
            end = self.end(stage, draws, &doses, strongest);
        }
        (end, unfit)
    }

    /// The same bound from below for any draws that leave the share `stays`; `limit`: the most a later draw gives.
    pub(super) fn lump_gap(
        &self,
        stage: &Stage,
        stays: f64,
        goal: &Goal,
        slack: f64,
        limit: f64,
    ) -> f64 {
        let kept = stage.now.kept(stays);
        let dosed = |amount: f64| State {
            a: kept.a + amount,
            ..kept
        };
        // Where what is poured may bring it, anything from none of the dose to all.
        let all = dosed(self.dose(&kept, &[]));
        let (least, thinner, stronger) = match (self.brings(), self.glycol > 0.0) {
            (false, _) => (all, all, all),
            (true, false) => (kept, all, kept),
            (true, true) => (kept, kept, all),
        };
        let mut gap = (self.volume(&least) - self.mark) / self.mark;
        gap = gap.max((kept.old - self.old_allowed(slack)) / self.mark);
        let (strong, short) = self.lump(stage, &stronger, limit, goal, true);
        gap = gap.max(short / self.mark);
        let high = self.strength(&strong);
        gap = gap.max(goal.low - high);
        if high > goal.high.min(self.strength_at_most(&strong, goal.most)) {
            let (weak, _) = self.lump(stage, &thinner, limit, goal, false);
            let most = goal.high.min(self.strength_at_most(&weak, goal.most));
            gap = gap.max(self.strength(&weak) - most);
        }
        gap
    }

    fn lump(
        &self,
        stage: &Stage,
        dosed: &State,
        limit: f64,
        goal: &Goal,
        strongest: bool,
    ) -> (State, f64) {
        let mut s = *dosed;
        let count = stage.have.len();
        let per_mixed = self.apart(goal.low);
        let missing = (self.mark - stage.holds).max(0.0);
        let stay = |apart: f64| {
            let [mark, limit, first] = [self.mark, limit, missing + stage.first];
            at_most(apart / per_mixed, mark, limit, first) * per_mixed
        };
        let (mut before, mut stayed) = (0.0, 0.0);
        for k in 0..count {
            let source = if strongest { k } else { count - 1 - k };
            let have = stage.have[source];
            if have <= 0.0 {
                continue;
            }
            let fills = self.fill(&s, source);
            if have.is_infinite() {
                return (self.poured(&s, source, fills), 0.0);
            }
            let apart = self.shelf[source].apart;
            before += have * apart;
            let all = stay(before);
            let amount = ((all - stayed) / apart).max(0.0);
            stayed = all;
            if amount >= fills {
                return (self.poured(&s, source, fills), 0.0);
            }
            s = self.poured(&s, source, amount);
        }
        let short = self.mark - self.volume(&s);
        (s, if short > SLACK_LITRES { short } else { 0.0 })
    }
}

/// The most that can stay of the last `poured` litres, where a draw gives at most `limit` of the `mark`, and the first
/// round may pour `first`.
fn at_most(poured: f64, mark: f64, limit: f64, first: f64) -> f64 {
    if limit >= mark {
        return poured;
    }
    let later = |litres: f64| {
        // All at the limit but one: those at the limit leave this share.
        let whole = (litres / limit).floor();
        let rest = litres - whole * limit;
        (1.0 - limit / mark).powi(whole.min(1e4) as i32) * (1.0 - rest / mark)
    };
    let staying = |in_first: f64| {
        let stays = later(poured - in_first);
        mark * (1.0 - stays) + stays * in_first
    };
    if limit <= 0.0 {
        return poured.min(first);
    }
    // The first round's pour at its limit; at none; or what the others, at the limit, leave to it.
    let over = poured.min(first);
    let whole = ((poured - over) / limit).ceil().max(0.0);
    let rest = held(poured - whole * limit, 0.0, over);
    staying(over).max(staying(0.0)).max(staying(rest))
}
