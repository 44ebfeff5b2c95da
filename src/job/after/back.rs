//! The re-reading: what it should be, what it comes to, and the correction.

use serde::Serialize;

use crate::engine::{
    after::check_back::{self, Cause, Finding, NoVolume, Product, Start, Told, TrueVolume, Went},
    plan::{Event, Task},
    quantity::{Measured, Volume, in_celsius, in_litres, litres},
    reading::{self, Instrument, Reading, Strength},
    uncertainty::rectangular,
};
use crate::job::{
    after_file::{Past, PastStep},
    answer::{Do, Fault, LoopAnswer, Step, Way},
    card::measured,
    check::{self, At, Checked, Refused},
    doses,
    file::{self, Job, Now, Quantity, Rate},
    message::Refusal,
    reply,
    units::VolumeUnit,
};

/// What the re-reading comes to.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct BackFinding {
    /// Why it comes to nothing.
    pub error: Option<Fault>,
    /// What the instrument should read.
    pub expected: Option<Shows>,
    /// The strength the loop should have, percent.
    pub expected_percent: Option<f64>,
    /// Half-width at 95 %, points.
    pub expected_plus_minus: Option<f64>,
    /// The strength read, percent.
    pub percent: Option<f64>,
    /// Half-width at 95 %, points.
    pub plus_minus: Option<f64>,
    /// as_planned, stronger or weaker.
    pub finding: Option<&'static str>,
    /// Why it may be off, likeliest first: not_mixed, left_behind, volume, wrong_scale, reading.
    pub causes: Vec<&'static str>,
    /// The loop's volume by the re-reading.
    pub volume: Option<Implied>,
    /// Why it says nothing of the volume.
    pub no_volume: Option<NotImplied>,
    /// The additive against the label's limit at that volume.
    pub dose: Option<Judged>,
    /// The plan on from here, with that volume where there is one.
    pub correction: Option<Correction>,
}

/// What an instrument should show: the best value, and the ends of what is as planned.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Shows {
    /// As the reading's own.
    pub by: &'static str,
    /// Percent, °C, a gravity, an index or degrees Brix.
    pub value: f64,
    /// As planned from here, the strength's spread and the instrument's together (95 %) …
    pub low: f64,
    /// … to here.
    pub high: f64,
}

/// The volume a re-reading implies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Implied {
    /// Filled to the mark.
    pub litres: f64,
    /// Lower end of its 95 % range.
    pub low_litres: f64,
    /// Upper end.
    pub high_litres: f64,
    /// As the file has it.
    pub book_litres: f64,
    /// Left behind by it, after a drain or a flush.
    pub left_behind_litres: Option<f64>,
}

/// Why a re-reading implies no volume.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NotImplied {
    /// too_small, unexplained or nothing_before.
    pub code: &'static str,
    /// The strength changed by so many points.
    pub changed: Option<f64>,
    /// So many would do.
    pub needed: Option<f64>,
}

/// The additive in the loop against its label.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Judged {
    /// What is in it.
    pub holds_litres: f64,
    /// The most the label allows at the unlucky end of the true volume.
    pub limit_litres: f64,
    /// More than that.
    pub over: bool,
}

/// The plan on from here.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Correction {
    /// How.
    pub way: Way,
    /// Its steps.
    pub steps: Vec<Step>,
    /// What it comes to.
    pub percent: Option<f64>,
}

/// A loop's job as it went: what was entered, and for the rest what the card says.
struct Story {
    checked: Checked,
    went: Vec<Went>,
    /// The same, as the planner takes it.
    events: Vec<Event>,
    /// Run since the last amount, where anything was entered.
    ran: Option<bool>,
}

impl Story {
    /// What stands at the mark as it is filled, over that as of 20 °C.
    fn per_filled(&self) -> f64 {
        (self.checked.mark.value / self.checked.task.volume.value).value
    }

    /// A volume at the mark, from what stands there as of 20 °C.
    fn at_the_mark(&self, as_of_twenty: Volume) -> Volume {
        as_of_twenty * self.per_filled()
    }

    fn of(job: &Job, i: usize, given: &LoopAnswer) -> Option<Self> {
        given.way?;
        let shelf = check::shelf(job, &check::terms(job).ok()?).ok()?;
        let mut checked = check::checked(job, i, &shelf).ok()?;
        if let Some(c) = given.corrected {
            let volume = Measured {
                value: litres(c.litres),
                plus_minus: litres(c.plus_minus),
            };
            checked.task = checked.task.beginning(volume, litres(c.held()));
        }
        let (mut went, mut events, mut ran) = (Vec::new(), Vec::new(), None);
        for (step, entered) in all_steps(given) {
            let amount = litres(step.litres.unwrap_or(0.0));
            let moved = match step.what {
                Do::Draw => Some((Went::Drew(amount), Event::Drew(amount))),
                Do::Dose => Some((Went::Dosed(amount), Event::Dosed(amount))),
                Do::Pour => {
                    let stock = shelf
                        .iter()
                        .position(|s| Some(&s.name) == step.stock.as_ref())?;
                    let of = Product {
                        stock,
                        strength: shelf[stock].strength,
                        plus_minus: shelf[stock].plus_minus,
                    };
                    // Where a level was seen, amounts are what it was reckoned from.
                    let by_eye = step.to_the_mark && step.at_mark.is_none();
                    let went = match by_eye && given.corrected.is_none() {
                        true => Went::Filled(amount, of),
                        false => Went::Poured(amount, of),
                    };
                    Some((went, Event::Poured(stock, amount)))
                }
                Do::Run | Do::Check => None,
            };
            if let Some((what, event)) = moved {
                went.push(what);
                events.push(event);
            }
            if entered {
                ran = Some(matches!(step.what, Do::Run | Do::Check));
            }
        }
        if given.corrected.is_some() && !checked.task.drained {
            // What was missing is what the amounts say.
            let step = 2.0 * rectangular(in_litres(checked.task.step) / 2.0);
            checked.task.level_plus_minus = litres(step * (went.len() as f64).sqrt());
        }
        Some(Self {
            checked,
            went,
            events,
            ran,
        })
    }

    /// What the supplement's test should show after everything that went, had the loop held so much before.
    fn level(&self, held: Volume) -> f64 {
        let mut task = self.checked.task.clone();
        let by_the_book = task.held();
        if by_the_book > litres(0.0) {
            task.now = task.now.kept((held / by_the_book).value);
        }
        let step = task.step;
        let after = |task: Task, &event| task.after(event, step);
        let task = self.events.iter().fold(task, after);
        task.now.levels.nominal
    }

    fn told(&self) -> Told<'_> {
        let task = &self.checked.task;
        Told {
            blend: task.blend,
            volume: task.volume,
            start: if task.drained {
                Start::LeftBehind
            } else {
                Start::BelowMark(task.volume.value - task.before.volume(&task.blend))
            },
            held: if self.checked.unknown {
                litres(0.0)
            } else {
                task.before.volume(&task.blend)
            },
            level_plus_minus: task.level_plus_minus,
            before: Strength {
                value: task.before.strength(),
                plus_minus: task.plus_minus,
            },
            additive: task.before.additive,
            carrier: task.before.carrier,
            went: &self.went,
            step: task.step,
        }
    }
}

/// The strength the loop should have now: as sure as the card said it would be.
fn expected_strength(told: &Told, given: &LoopAnswer) -> Strength {
    let said = given.after.and_then(|after| after.plus_minus);
    let expected = told.expected();
    Strength {
        plus_minus: said.map_or(expected.plus_minus, |points| points / 100.0),
        ..expected
    }
}

fn all_steps(given: &LoopAnswer) -> impl Iterator<Item = (&Step, bool)> {
    let so_far = given.so_far.iter().map(|s| (s, true));
    so_far.chain(given.steps.iter().map(|s| (s, false)))
}

/// The reading of a file as the engine takes it, and its strength.
fn read(job: &Job, i: usize, at: &At, reading: Now) -> Result<(Reading, Strength), Refused> {
    let glycol = job.loops[i].glycol.into();
    let shows = match reading {
        Now::Water {} => Reading::Water,
        Now::Flushed { .. } | Now::Empty {} | Now::Unknown {} => {
            return Err(at.refuse("by", Refusal::NotAReading));
        }
        _ => check::instrument(at, reading)?,
    };
    let strength = reading::composition(glycol, &shows)
        .map_err(|error| at.refuse("value", check::unread(error, reading)))?;
    Ok((shows, strength))
}

fn place(i: usize) -> At {
    At(["loops[", &i.to_string(), "].check_back.reading"].concat())
}

/// What the instrument of `kind` should read after loop `i`'s job; the numbers in `kind` but its temperature do not
/// count. `None` where there is no plan, or the scale has no answer.
pub fn expected(job: &Job, i: usize, given: &LoopAnswer, kind: Now) -> Option<Shows> {
    let story = Story::of(job, i, given)?;
    let usual = expected_of(&story, given, kind, None)?;
    // As sure as a reading of just that would be.
    let own = read(job, i, &place(i), with(kind, usual.value)).ok();
    expected_of(
        &story,
        given,
        kind,
        own.map(|(_, strength)| strength.plus_minus),
    )
}

/// The same kind of reading with another number.
fn with(mut reading: Now, number: f64) -> Now {
    if let Now::Percent { value, .. }
    | Now::FreezingPoint { value, .. }
    | Now::SpecificGravity { value, .. }
    | Now::RefractiveIndex { value, .. }
    | Now::Brix { value, .. } = &mut reading
    {
        *value = number;
    }
    reading
}

fn expected_of(story: &Story, given: &LoopAnswer, kind: Now, own: Option<f64>) -> Option<Shows> {
    let instrument = match kind {
        Now::FreezingPoint { .. } => Instrument::FreezingPoint,
        Now::SpecificGravity { at, .. } => Instrument::SpecificGravity(at.unit.of(at.value)),
        Now::RefractiveIndex { at, .. } => Instrument::RefractiveIndex(at.unit.of(at.value)),
        Now::Brix { at, .. } => Instrument::Brix(at.unit.of(at.value)),
        _ => Instrument::Percent,
    };
    let told = story.told();
    let expected = expected_strength(&told, given);
    let most = told.expected_at_most();
    let shown = check_back::shown(told.blend.glycol(), expected, most, instrument, own)?;
    let [a, value, b] = shown.map(|reading| number(&reading));
    Some(Shows {
        by: by(kind),
        value,
        low: a.min(b),
        high: a.max(b),
    })
}

fn number(reading: &Reading) -> f64 {
    match *reading {
        Reading::Water => 0.0,
        Reading::Percent { strength, .. } => strength.percent(),
        Reading::FreezingPoint { temperature, .. } => in_celsius(temperature),
        Reading::SpecificGravity { value, .. }
        | Reading::RefractiveIndex { value, .. }
        | Reading::Brix { value, .. } => value,
    }
}

fn by(kind: Now) -> &'static str {
    match kind {
        Now::FreezingPoint { .. } => "freezing_point",
        Now::SpecificGravity { .. } => "specific_gravity",
        Now::RefractiveIndex { .. } => "refractive_index",
        Now::Brix { .. } => "brix",
        _ => "percent",
    }
}

/// What a re-reading of loop `i` comes to.
pub fn judge(job: &Job, i: usize, given: &LoopAnswer, reading: Now) -> BackFinding {
    let mut found = BackFinding::default();
    let (shows, strength) = match read(job, i, &place(i), reading) {
        Ok(read) => read,
        Err(fault) => {
            found.error = Some(*fault);
            return found;
        }
    };
    found.percent = Some(strength.value.percent());
    found.plus_minus = Some(strength.plus_minus * 100.0);
    let Some(story) = Story::of(job, i, given) else {
        return found;
    };
    let told = story.told();
    let expected = expected_strength(&told, given);
    let finding = Finding::of(expected, told.expected_at_most(), strength);
    found.expected = expected_of(&story, given, reading, Some(strength.plus_minus));
    found.expected_percent = Some(expected.value.percent());
    found.expected_plus_minus = Some(expected.plus_minus * 100.0);
    found.finding = Some(finding.code());
    let volume = told.true_volume(strength);
    match volume {
        Ok(v) => {
            found.volume = Some(Implied {
                litres: in_litres(story.at_the_mark(v.value)),
                low_litres: in_litres(story.at_the_mark(v.low)),
                high_litres: in_litres(story.at_the_mark(v.high)),
                book_litres: in_litres(story.checked.mark.value),
                left_behind_litres: (told.start == Start::LeftBehind).then(|| in_litres(v.held)),
            });
            // As planned, the loop is the one that the dose was reckoned for.
            if finding != Finding::AsPlanned {
                found.dose = judged(&story, &told, &v);
            }
        }
        Err(why) => found.no_volume = Some(not_implied(why)),
    }
    if finding != Finding::AsPlanned {
        let causes = check_back::causes(&told, &shows, strength, story.ran);
        found.causes = causes.into_iter().map(Cause::code).collect();
        found.correction = correction(job, i, given, volume.is_ok());
    }
    found
}

fn not_implied(why: NoVolume) -> NotImplied {
    let (code, changed, needed) = match why {
        NoVolume::TooSmall { changed, needed } => {
            ("too_small", Some(changed * 100.0), Some(needed * 100.0))
        }
        NoVolume::Unexplained => ("unexplained", None, None),
        NoVolume::NothingBefore => ("nothing_before", None, None),
    };
    NotImplied {
        code,
        changed,
        needed,
    }
}

fn spread(v: &TrueVolume) -> Volume {
    let (up, down) = (v.high - v.value, v.value - v.low);
    if up > down { up } else { down }
}

fn judged(story: &Story, told: &Told, v: &TrueVolume) -> Option<Judged> {
    let dosing = story.checked.task.dosing?;
    dosing.before()?;
    let limit = dosing.ceiling(Measured {
        value: v.value,
        plus_minus: v.value - v.low,
    })?;
    let holds = match dosing.level() {
        Some((_, raises)) => v.value * (story.level(v.held) / raises),
        None => told.after(v.held).additive,
    };
    Some(Judged {
        holds_litres: measured(holds),
        limit_litres: measured(limit),
        over: in_litres(holds) > in_litres(limit) + 1e-6,
    })
}

/// The plan for what is left of the shelf, from the loop as it stands.
fn correction(job: &Job, i: usize, given: &LoopAnswer, volume: bool) -> Option<Correction> {
    let lp = corrected(job, i, given, volume)?;
    let mut next = Job {
        loops: vec![lp],
        ..job.clone()
    };
    for stock in &mut next.shelf {
        let used = given.used.0.iter().find(|(name, _)| *name == stock.name);
        if let Some((have, (_, used))) = stock.have.as_mut().zip(used) {
            have.value = (have.value - used / have.unit.litres()).max(0.0);
        }
    }
    let answer = reply::answer(&next).loops.pop()?;
    Some(Correction {
        way: answer.way?,
        steps: answer.steps,
        percent: answer.after.and_then(|a| a.percent),
    })
}

/// Loop `i` as it stands after its job: the re-reading is what is in it now; with `volume`, the volume the re-reading
/// implies is what it holds, and the old figure is kept. What went is kept too. `None` without a re-reading, a plan,
/// or, with `volume`, a volume.
pub fn corrected(job: &Job, i: usize, given: &LoopAnswer, volume: bool) -> Option<file::Loop> {
    let lp = &job.loops[i];
    let told_back = lp.check_back.as_ref()?;
    let (_, strength) = read(job, i, &place(i), told_back.reading).ok()?;
    let story = Story::of(job, i, given)?;
    let told = story.told();
    let mut next = lp.clone();
    next.past.push(Past {
        date: told_back.date.clone(),
        volume: lp.volume,
        missing: lp.missing,
        now: lp.now,
        steps: all_steps(given)
            .filter_map(|(step, _)| {
                Some(PastStep {
                    step: step.what,
                    stock: step.stock.clone(),
                    amount: in_l(step.litres?),
                })
            })
            .collect(),
        read: told_back.reading,
    });
    let mut mark = told.volume.value;
    let mut held = told.held;
    if let Some(c) = given.corrected.filter(|_| !volume) {
        let unit = lp.volume.unit;
        let [value, plus_minus] =
            [c.litres, c.plus_minus].map(|litres| (litres / unit.litres() * 100.0).round() / 100.0);
        if (unit.of(value) - unit.of(lp.volume.value)).abs() > told.step {
            next.volume = file::SizedVolume {
                value,
                unit,
                plus_minus: Some(plus_minus),
                was: Some(lp.volume.value),
            };
        }
        mark = unit.of(next.volume.value);
    }
    if volume {
        let v = told.true_volume(strength).ok()?;
        held = v.held;
        let unit = lp.volume.unit;
        let hundredths = |v: Volume| (in_litres(v) / unit.litres() * 100.0).round() / 100.0;
        next.volume = file::SizedVolume {
            value: hundredths(story.at_the_mark(v.value)),
            unit,
            plus_minus: Some(hundredths(story.at_the_mark(spread(&v)))),
            was: Some(lp.volume.value),
        };
        mark = unit.of(next.volume.value) / story.per_filled();
    }
    let charge = told.after(held);
    let short = mark - charge.volume(&told.blend);
    next.missing = (short > told.step / 2.0).then(|| in_l(hundredth(short)).into());
    next.now = told_back.reading;
    next.renew = None;
    next.done.clear();
    next.check_back = None;
    if let Some(additive) = &mut next.additive {
        // A level is not counted in litres.
        let by_litres = story.checked.task.dosing.filter(|d| d.level().is_none());
        let known = by_litres.and_then(|d| d.before());
        let holds = in_litres(charge.additive);
        let level = story.level(held);
        additive.already = known.map(|_| Quantity {
            value: (holds * 10_000.0).round() / 10.0,
            unit: VolumeUnit::Ml,
        });
        if let Some(have) = &mut additive.have {
            let gone = doses::dosed(&given.so_far) + doses::dosed(&given.steps);
            have.value = (have.value - gone / have.unit.litres()).max(0.0);
        }
        for rate in [Some(&mut additive.rate), additive.limit.as_mut()] {
            if let Some(Rate::Reading { now, .. }) = rate {
                let one = check::per_litre(now.unit, told.blend.glycol(), strength.value);
                now.value = (level / one * 1e9).round() / 1e9;
            }
        }
    }
    Some(next)
}

fn hundredth(v: Volume) -> f64 {
    (in_litres(v) * 100.0).round() / 100.0
}

fn in_l(value: f64) -> Quantity<VolumeUnit> {
    Quantity {
        value,
        unit: VolumeUnit::L,
    }
}

/// The strength of a reading by itself, for the levels.
pub(super) fn strength(job: &Job, i: usize, at: &At, reading: Now) -> Result<Strength, Refused> {
    read(job, i, at, reading).map(|(_, strength)| strength)
}
