//! The re-reading after the job, and the true volume it implies.
//!
//! The job is replayed through the mass balance, every draw and pour of every round as it went: from what the loop held
//! before to the strength it should have now. Solved the other way, for the litres that were there before, the same
//! replay turns a re-reading into the loop's true volume. Its range is where the replay and the reading agree to within
//! their combined 95 % half-width (JCGM 100:2008, 5.1.2, at each end and not only in the middle): lopsided, as it is for
//! a ratio, and without an upper end where the change was too small to say anything.
//!
//! What may be off, besides both readings (distributions as in `plan::spread`): every amount, each product's label, and
//! how far below the mark it stood. What was poured to the mark by eye moves with that, and not with the volume.
//!
//! The simple case, one draw of d litres replaced by stock s: V = d (s − c1)/(c2 − c1).
//! Never done here: changing anything.

use crate::engine::{
    fluid::Glycol,
    mix::{Blend, Carrier, Charge},
    order::in_order,
    quantity::{LabelFraction, Measured, Volume, celsius, in_litres, litres},
    range::held,
    reading::{self, Instrument, Reading, Side, Strength, composition, expected as shows},
    solve,
    source::Source,
    uncertainty::{combined, rectangular},
};

/// Its formula, for one round; several are replayed.
pub const VOLUME_FORMULA: &str = "V = d (s \u{2212} c1)/(c2 \u{2212} c1): d drawn and replaced, s the stock, c1 before, c2 after";
/// What the true volume rests on.
pub const VOLUME_SOURCE: Source = Source {
    citation: "mass balance over every draw and pour, solved for the litres before the job; spread as JCGM 100:2008, 5.1.2",
    stated_error: "the range given, 95 %: of both readings, the amounts, the labels and the level before",
};

/// A true volume less sure than this is none (ours): half its range, as a share of it.
pub const SUREST: f64 = 0.25;
/// The change must be so many times the combined half-width for that: r/(1 − r²) = 0.25 at r = 1/4.236.
pub const CHANGE_PER_SPREAD: f64 = 4.236;

/// What happened, in order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Went {
    /// Came out.
    Drew(Volume),
    /// Additive went in.
    Dosed(Volume),
    /// So much of this went in.
    Poured(Volume, Product),
    /// It was filled to the mark with this, by the card so much; nobody measured it.
    Filled(Volume, Product),
}

/// What was poured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Product {
    /// Its place on the shelf: one label, however often it is poured.
    pub stock: usize,
    /// By its label.
    pub strength: LabelFraction,
    /// 95 % half-width of that, as a fraction.
    pub plus_minus: f64,
}

/// The one thing that is off in a replay.
#[derive(Clone, Copy)]
enum Off {
    Nothing,
    /// The amount at this place, by so many litres.
    Amount(usize, f64),
    /// The label of this stock, by this fraction.
    Label(usize, f64),
    /// So many litres more stood in it before; in a loop of the same volume that is less to fill.
    Level(f64),
}

/// How the litres before the job hang together with the loop's volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Start {
    /// It stood so far below the mark.
    BelowMark(Volume),
    /// It had been drained; so much stayed behind, and it was filled to the mark.
    LeftBehind,
}

/// A job as it went.
#[derive(Debug, Clone, PartialEq)]
pub struct Told<'a> {
    /// Densities of the glycol in it.
    pub blend: Blend,
    /// Filled to the mark, by the book.
    pub volume: Measured<Volume>,
    /// What the litres before were measured from.
    pub start: Start,
    /// Litres before, by the book.
    pub held: Volume,
    /// 95 % half-width of that, in a loop of a known volume.
    pub level_plus_minus: Volume,
    /// Strength before.
    pub before: Strength,
    /// Additive before.
    pub additive: Volume,
    /// What it counts as.
    pub carrier: Carrier,
    /// What happened.
    pub went: &'a [Went],
    /// The measuring step: amounts are good to half of it.
    pub step: Volume,
}

/// The volume a re-reading implies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrueVolume {
    /// Filled to the mark.
    pub value: Volume,
    /// Lower end of its 95 % range.
    pub low: Volume,
    /// Upper end.
    pub high: Volume,
    /// What the loop held before, by it.
    pub held: Volume,
}

/// Why a re-reading implies no volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoVolume {
    /// The strength changed too little. Fractions.
    TooSmall {
        /// By so much.
        changed: f64,
        /// So much would do.
        needed: f64,
    },
    /// No volume explains the reading.
    Unexplained,
    /// What was in it before is not known, or nothing was.
    NothingBefore,
}

impl Product {
    /// Its strength, its label being off or not.
    fn really(self, off: Off) -> LabelFraction {
        match off {
            Off::Label(stock, by) if stock == self.stock => {
                LabelFraction::clamped(self.strength.fraction() + by)
            }
            _ => self.strength,
        }
    }
}

impl Told<'_> {
    /// What the loop holds after everything that went, had it held `held` at `strength` before, one thing being off.
    fn replay(&self, held: f64, strength: f64, off: Off) -> Charge {
        let strength = LabelFraction::clamped(strength);
        let blend = &self.blend;
        let mut level = if let Off::Level(by) = off { by } else { 0.0 };
        let held = litres((held + level).max(0.0));
        let mut charge = Charge::standing(blend, held, strength, self.additive, self.carrier);
        for (k, went) in self.went.iter().enumerate() {
            let more = match off {
                Off::Amount(at, by) if at == k => by,
                _ => 0.0,
            };
            let real =
                |amount: Volume, less: f64| litres((in_litres(amount) + more - less).max(0.0));
            charge = match *went {
                Went::Drew(amount) => charge.drawn(real(amount, 0.0), charge.volume(blend)),
                Went::Dosed(amount) => charge.dosed(amount),
                Went::Poured(amount, of) => charge.poured(blend, real(amount, 0.0), of.really(off)),
                Went::Filled(amount, of) => {
                    let less = std::mem::take(&mut level);
                    charge.poured(blend, real(amount, less), of.really(off))
                }
            };
        }
        charge
    }

    /// What the loop holds after everything that went, had it held so much before.
    pub fn after(&self, held: Volume) -> Charge {
        self.replay(in_litres(held), self.before.value.fraction(), Off::Nothing)
    }

    fn strength_after(&self, held: f64) -> f64 {
        self.after(litres(held)).strength().fraction()
    }

    /// Half-width of the strength after, from all but the volume.
    fn spread(&self, held: f64) -> f64 {
        let phi = self.before.value.fraction();
        let half = |a: Charge, b: Charge| (a.strength().fraction() - b.strength().fraction()) / 2.0;
        let p = self.before.plus_minus;
        // At plain water only one side is there to be moved to.
        let (up, down) = (held_to_one(phi + p), held_to_one(phi - p));
        let widen = if up > down {
            2.0 * p / (up - down)
        } else {
            0.0
        };
        let first = widen
            * half(
                self.replay(held, up, Off::Nothing),
                self.replay(held, down, Off::Nothing),
            );
        let mut squares = first * first;
        let mut add = |up: Off, down: Off| {
            let moved = half(self.replay(held, phi, up), self.replay(held, phi, down));
            squares += moved * moved;
        };
        let step = 2.0 * rectangular(in_litres(self.step) / 2.0);
        for k in 0..self.went.len() {
            add(Off::Amount(k, step), Off::Amount(k, -step));
        }
        for (k, of) in self.products() {
            // One label, however often it is poured; moved to where a percentage can be.
            let twice = if of.strength.fraction() > 0.5 {
                -2.0
            } else {
                2.0
            } * of.plus_minus;
            if self
                .products()
                .all(|(i, other)| i >= k || other.stock != of.stock)
            {
                add(Off::Label(of.stock, twice), Off::Nothing);
            }
        }
        let level = in_litres(self.level_plus_minus);
        add(Off::Level(level), Off::Level(-level));
        squares.sqrt()
    }

    /// What was poured, and where in the list.
    fn products(&self) -> impl Iterator<Item = (usize, Product)> {
        let product = |(k, went): (usize, &Went)| match *went {
            Went::Poured(_, of) | Went::Filled(_, of) => Some((k, of)),
            Went::Drew(_) | Went::Dosed(_) => None,
        };
        self.went.iter().enumerate().filter_map(product)
    }

    /// The strength the loop should have now, by the book, with all that is not sure of it.
    pub fn expected(&self) -> Strength {
        let held = in_litres(self.held);
        let volume = in_litres(self.volume.plus_minus);
        let moved = (self.strength_after(held + volume)
            - self.strength_after((held - volume).max(0.0)))
            / 2.0;
        Strength {
            value: self.after(self.held).strength(),
            plus_minus: combined([self.spread(held), moved]),
        }
    }

    /// The loop's volume that a re-reading implies.
    ///
    /// # Errors
    /// [`NoVolume`]: too small a change, a reading no volume explains, or nothing known before.
    pub fn true_volume(&self, read: Strength) -> Result<TrueVolume, NoVolume> {
        let book = in_litres(self.held);
        if book <= 0.0 || self.went.is_empty() {
            return Err(NoVolume::NothingBefore);
        }
        let aimed = read.value.fraction();
        let wide = |held: f64| combined([self.spread(held), read.plus_minus]);
        let changed = (aimed - self.before.value.fraction()).abs();
        let needed = CHANGE_PER_SPREAD * (wide(book) + self.span(book) / 2.0);
        let too_small = NoVolume::TooSmall { changed, needed };
        // Which way the job moved it; where it did not, no volume shows.
        let moved = self.strength_after(book) - self.before.value.fraction();
        let sign = if moved > 0.0 { 1.0 } else { -1.0 };
        let (least, most) = (self.least(), 50.0 * (book + self.poured() + 1.0));
        // Falls from the smallest loop, which the job changed most, to the largest, which it did not change.
        // An instrument may read higher than the strength, by what the additive makes of it.
        let over = |held: f64, by: f64| {
            let more = if by * sign < 0.0 {
                self.span(held)
            } else {
                0.0
            };
            sign * (self.strength_after(held) - aimed) - by * (wide(held) + more)
        };
        let cross = |by: f64| {
            let f = |held: f64| over(held, by);
            solve::root(&f as &dyn Fn(f64) -> f64, least, most, 1e-9)
        };
        let Some(value) = cross(0.0) else {
            // Past where it stood before, within what can be told: the change is too small, not wrong.
            return Err(match changed <= wide(book) {
                true => too_small,
                false => NoVolume::Unexplained,
            });
        };
        let low = cross(1.0).unwrap_or(least);
        let high = cross(-1.0).ok_or(too_small)?;
        let [value_v, low_v, high_v] = [value, low, high].map(|held| self.filled(held));
        if in_litres(high_v - low_v) > 2.0 * SUREST * in_litres(value_v) {
            return Err(too_small);
        }
        Ok(TrueVolume {
            value: value_v,
            low: low_v,
            high: high_v,
            held: litres(value),
        })
    }

    /// The same, the additive taken for glycol: what an instrument makes of an additive nobody knows, between the two.
    pub fn expected_at_most(&self) -> LabelFraction {
        self.after(self.held).additive_as_glycol()
    }

    /// What lies between the two ways to take the additive.
    fn span(&self, held: f64) -> f64 {
        let charge = self.after(litres(held));
        charge.additive_as_glycol().fraction() - charge.strength().fraction()
    }

    /// The volume to the mark of a loop that held so much before.
    fn filled(&self, held: f64) -> Volume {
        match self.start {
            Start::BelowMark(missing) => litres(held) + missing,
            Start::LeftBehind => self.after(litres(held)).volume(&self.blend),
        }
    }

    /// The least that must have been there for all that was drawn to come out.
    fn least(&self) -> f64 {
        let (mut there, mut least) = (0.0, 0.0_f64);
        for went in self.went {
            match went {
                Went::Drew(amount) => there -= in_litres(*amount),
                Went::Dosed(amount) | Went::Poured(amount, _) | Went::Filled(amount, _) => {
                    there += in_litres(*amount);
                }
            }
            least = least.max(-there);
        }
        least + 1e-3
    }

    fn poured(&self) -> f64 {
        let amount = |went: &Went| match went {
            Went::Poured(amount, _) | Went::Filled(amount, _) => in_litres(*amount),
            Went::Drew(_) | Went::Dosed(_) => 0.0,
        };
        self.went.iter().map(amount).sum()
    }
}

fn held_to_one(fraction: f64) -> f64 {
    held(fraction, 0.0, 1.0)
}

/// What a re-reading comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finding {
    /// Within what can be told.
    AsPlanned,
    /// Stronger than it should be.
    Stronger,
    /// Weaker.
    Weaker,
}

impl Finding {
    /// As the answer spells it.
    pub const fn code(self) -> &'static str {
        match self {
            Self::AsPlanned => "as_planned",
            Self::Stronger => "stronger",
            Self::Weaker => "weaker",
        }
    }

    /// Of a reading against what was expected, from its value to the `most` that an additive may make of it.
    pub fn of(expected: Strength, most: LabelFraction, read: Strength) -> Self {
        let wide = combined([expected.plus_minus, read.plus_minus]);
        let read = read.value.fraction();
        if read > most.fraction() + wide {
            Self::Stronger
        } else if read < expected.value.fraction() - wide {
            Self::Weaker
        } else {
            Self::AsPlanned
        }
    }
}

/// Why a reading may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// It was not run, or not long enough, to mix.
    NotMixed,
    /// More stayed behind in the drain or the flush.
    LeftBehind,
    /// The loop holds another volume.
    Volume,
    /// Read on the other glycol's scale.
    WrongScale,
    /// A slip of the reading itself.
    Reading,
}

impl Cause {
    /// As the answer spells it.
    pub const fn code(self) -> &'static str {
        match self {
            Self::NotMixed => "not_mixed",
            Self::LeftBehind => "left_behind",
            Self::Volume => "volume",
            Self::WrongScale => "wrong_scale",
            Self::Reading => "reading",
        }
    }
}

/// Why a reading that is off may be so, the likeliest first. `ran`: whether the loop was run since the last pour,
/// where that was entered.
///
/// Each cause is rated by how many standard deviations it stretches (ours, judged from the trade's usual slips): a
/// volume from a book is good to 10 %, what a drain leaves behind to 30 %; not mixing is likely until the run is
/// ticked; a wrong scale only where the other glycol's scale would make the reading right; a slip always last.
pub fn causes(told: &Told, reading: &Reading, read: Strength, ran: Option<bool>) -> Vec<Cause> {
    let mut list = vec![(Cause::Reading, 3.0)];
    list.push((
        Cause::NotMixed,
        match ran {
            Some(false) => 0.5,
            None => 1.6,
            Some(true) => 2.5,
        },
    ));
    let explained = told.true_volume(read);
    let far = |there: Volume, book: Volume, share: f64| ((there - book) / book).value.abs() / share;
    match (explained, told.start) {
        (Ok(found), Start::BelowMark(_)) => {
            let own = 0.5 * (told.volume.plus_minus / told.volume.value).value;
            let stretch = far(found.value, told.volume.value, own.max(0.10));
            list.push((Cause::Volume, stretch));
        }
        (Ok(found), Start::LeftBehind) => {
            list.push((Cause::LeftBehind, far(found.held, told.held, 0.3)));
        }
        (Err(NoVolume::TooSmall { .. }), Start::BelowMark(_)) => list.push((Cause::Volume, 2.0)),
        (Err(NoVolume::TooSmall { .. }), Start::LeftBehind) => list.push((Cause::LeftBehind, 2.0)),
        (Err(_), _) => {}
    }
    if let Some(other) = on_other_scale(told.blend.glycol(), reading) {
        let expected = told.expected();
        let moved = Strength {
            value: other,
            ..read
        };
        if Finding::of(expected, told.expected_at_most(), moved) == Finding::AsPlanned {
            list.push((Cause::WrongScale, 1.5));
        }
    }
    in_order(&mut list, |a, b| a.1.total_cmp(&b.1));
    list.into_iter().map(|(cause, _)| cause).collect()
}

/// The strength, had a refractometer's percent or frost reading been taken on the scale drawn for the other glycol: the
/// scale shows what that glycol's strength of the same refractive index would be. `None` for other instruments, and
/// beyond what the models reach.
pub fn on_other_scale(glycol: Glycol, reading: &Reading) -> Option<LabelFraction> {
    let other = match glycol {
        Glycol::Ethylene => Glycol::Propylene,
        Glycol::Propylene => Glycol::Ethylene,
    };
    let told = match *reading {
        Reading::Percent { strength, .. } => strength,
        Reading::FreezingPoint { temperature, .. } => {
            let thin = Reading::FreezingPoint {
                temperature,
                side: Some(Side::Thin),
                plus_minus: None,
            };
            composition(other, &thin).ok()?.value
        }
        _ => return None,
    };
    let index = shows(other, told, Instrument::RefractiveIndex(celsius(20.0))).ok()?;
    Some(reading::composition(glycol, &index).ok()?.value)
}

/// What an instrument should show for a strength, and the ends of what is as planned, up to the `most` that an additive
/// may make of it: the strength's half-width and the instrument's own together (`own`, as a fraction; `None`: what such an instrument usually has). Lowest strength first,
/// the best value in the middle; an end where the scale has no answer is drawn in to where it has one. `None` where the
/// scale has none for the strength itself.
pub fn shown(
    glycol: Glycol,
    strength: Strength,
    most: LabelFraction,
    instrument: Instrument,
    own: Option<f64>,
) -> Option<[Reading; 3]> {
    let phi = strength.value.fraction();
    let at = |fraction| shows(glycol, LabelFraction::clamped(fraction), instrument).ok();
    let middle = at(phi)?;
    let own = own.or_else(|| Some(composition(glycol, &middle).ok()?.plus_minus))?;
    let spread = combined([strength.plus_minus, own]);
    let end = |off: f64| {
        let mut eighths = (1..=8).rev().map(f64::from);
        eighths.find_map(|k| at(phi + off * k / 8.0))
    };
    Some([
        end(-spread).unwrap_or(middle),
        middle,
        end(most.fraction() - phi + spread).unwrap_or(middle),
    ])
}
