//! What a level seen says of the loop: it stands where it stands, whatever was reckoned.
//!
//! What went in less what came out, up to a level that was seen (at the mark, or so far below it), corrects what was
//! least known before: what was missing in a loop that was not emptied, the capacity of an emptied one. In a flushed one
//! the capacity and what stayed behind are both in doubt: each takes half of the difference, and the capacity's range is
//! widened by that half, so that it reaches from the one explanation to the other.
//!
//! Air that is still in the loop looks the same as a loop that is smaller, or was fuller: a level seen after the run and
//! the bleed corrects it again.

use super::task::{Event, Task, least, most};
use crate::engine::{
    dose::LabelRate,
    mix::Charge,
    quantity::{Measured, Volume, in_litres, litres},
    uncertainty::combined,
};

/// A level is met to this, litres.
const NEAR: f64 = 1e-10;

/// The most that a loop can have held, or can hold at the mark, as a multiple of the volume given; and the least that a
/// refilled one can (ours). Beyond, it is the entry that is wrong.
const MOST: f64 = 1.5;
const LEAST: f64 = 0.5;

impl Task {
    /// The task as it begins with a loop of that volume that held so much.
    pub fn beginning(&self, volume: Measured<Volume>, held: Volume) -> Self {
        let before = self.standing(held);
        Self {
            volume,
            before,
            now: before,
            renew_of: if self.drained { volume.value } else { held },
            ..self.clone()
        }
    }

    /// The task as it begins by what was seen: this one, which nothing happened to yet, and after `events` it stood
    /// `below` the mark. `off` is the 95 % half-width of all their amounts together. `None` where no such loop can be
    /// meant.
    pub fn seen(&self, events: &[Event], below: Volume, off: Volume) -> Option<Self> {
        let stated = self.before.volume(&self.blend);
        let book = self.volume.value;
        let after = |held: Volume| {
            let all = events.iter();
            let charge = all.fold(self.standing(held), |c, e| self.happened(&c, *e));
            charge.volume(&self.blend)
        };
        // Above the mark by so much, of a loop that held `held`.
        let over = |held: Volume, volume: Volume| after(held) - (volume - below);
        let (volume, held) = if !self.drained {
            match solved(stated, |held| over(held, book)) {
                Some(held) => (self.volume, held),
                // All of it came out: what is in there now is what went in since.
                None => (
                    Measured {
                        value: after(stated) + below,
                        plus_minus: off,
                    },
                    stated,
                ),
            }
        } else if in_litres(stated) <= NEAR {
            let value = after(stated) + below;
            let plus_minus = off;
            (Measured { value, plus_minus }, stated)
        } else {
            let half = over(stated, book) / 2.0;
            let held = if half < stated {
                stated - half
            } else {
                litres(0.0)
            };
            let plus_minus = combined([in_litres(self.volume.plus_minus), in_litres(half)]);
            let plus_minus = litres(plus_minus);
            let value = after(held) + below;
            (Measured { value, plus_minus }, held)
        };
        let level = if self.drained {
            self.level_plus_minus
        } else {
            off
        };
        let between = |v: Volume, low: f64| v <= book * MOST && v >= book * low;
        (between(volume.value, LEAST) && between(held, 0.0)).then(|| Self {
            level_plus_minus: level,
            ..self.beginning(volume, held)
        })
    }

    /// What stood in it before, had it been so much: of the same strength, with as much of an additive as was said.
    fn standing(&self, held: Volume) -> Charge {
        let nothing = litres(0.0);
        let stated = self.before.volume(&self.blend);
        if stated <= nothing {
            return self.before;
        }
        // By a level that was measured there is more of it in more.
        let measured = self
            .dosing
            .is_some_and(|d| matches!(d.rate, LabelRate::Level { .. }));
        let additive = self.before.additive;
        if measured || additive >= stated {
            return self.before.kept((held / stated).value);
        }
        // The reading was taken of all that stood in it, the additive included.
        let still = least(additive, held);
        let strength = self.before.strength();
        let rest = (held - still) / (stated - additive);
        Charge {
            levels: self.before.kept(rest.value).levels,
            ..Charge::standing(&self.blend, held, strength, still, self.before.carrier)
        }
    }
}

/// Where `over` comes to nothing. It rises with what was held, nearly litre for litre: mixing shrinks by a fiftieth.
/// `None` where it stays above nothing however little there was.
fn solved(from: Volume, over: impl Fn(Volume) -> Volume) -> Option<Volume> {
    let mut held = from;
    for _ in 0..100 {
        let off = over(held);
        if in_litres(off).abs() < NEAR {
            return Some(held);
        }
        if held <= litres(0.0) && off > litres(0.0) {
            return None;
        }
        held = most(held - off, litres(0.0));
    }
    None
}
