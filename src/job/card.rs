//! The pour card: a plan's passes as numbered steps, and what really happened folded back into the task.
//!
//! A step keeps its id for as long as it stands on the card, so that entries can be made in any order; a step that
//! a new plan adds gets the next number. An amount poured to the mark that is not the card's, and a level seen at the
//! check, correct what was known of the loop before ([`Task::seen`]).

use super::{
    answer::{Corrected, Do, Step},
    check::{self, At, Checked, Refused, Stock},
    file::{Done, Loop},
    limits,
    message::{Refusal, Typed},
    units::VolumeUnit,
};
use crate::engine::{
    caution::Caution,
    dose::SLACK_LITRES,
    plan::{Event, Pass, Plan, PlanError, Task, Way, plan, rest},
    property,
    quantity::{LabelFraction, ThermodynamicTemperature, Volume, celsius, in_litres, litres},
};

/// A loop's card: what was done, what is left, and the plan behind it.
pub struct Card {
    /// The task as far as it has got.
    pub task: Task,
    /// The plan for the rest.
    pub plan: Result<Plan, PlanError>,
    /// What is left, in order.
    pub steps: Vec<Step>,
    /// What was done, as it really went.
    pub so_far: Vec<Step>,
    /// What the entries themselves give cause to say.
    pub cautions: Vec<Caution>,
    /// The task as the file has it, before anything happened.
    start: Task,
    /// What happened since, and to what it was measured.
    story: Vec<(Event, Volume)>,
    /// How the steps stand to what was entered.
    behind: Behind,
    /// A step before the last entry was not done, by an entry of its own.
    taken_back: bool,
    /// The measure the steps ask for, which may be finer than the usual one.
    measure: Volume,
    /// Far less went in than was to, in litres (to go in, went in), and the level was not looked at since.
    doubt: Option<(f64, f64)>,
    next_id: u32,
}

/// How the steps of a card stand to the last entry.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Behind {
    /// They were planned after it.
    No,
    /// It went as they said, so they are still what is left.
    AsSaid,
    /// It went otherwise.
    Otherwise,
}

/// The 95 % half-width of what was poured to a mark that was not one and not measured, over what was missing then.
const UNMEASURED: f64 = 1.6;

/// An entry, and where it stands in the file; `None`: the step is taken as done as the card said.
type Entry<'a> = Option<(&'a Done, At)>;

impl Card {
    /// The card before anything was done.
    pub fn new(checked: &Checked, shelf: &[Stock]) -> Self {
        let plan = plan(&checked.task);
        let passes = plan.as_ref().ok().map(|p| p.passes.clone());
        let mut card = Self {
            task: checked.task.clone(),
            plan,
            steps: Vec::new(),
            so_far: Vec::new(),
            cautions: Vec::new(),
            start: checked.task.clone(),
            story: Vec::new(),
            behind: Behind::No,
            taken_back: false,
            measure: checked.task.step,
            doubt: None,
            next_id: 1,
        };
        card.lay_out(passes, shelf);
        card
    }

    /// Folds in what really happened. An entry for a step stands for those before it on the card too, of lower numbers:
    /// they are taken as done as the card said, but for what another entry says of them. The rest is planned again where something
    /// went otherwise and more is entered after it, and at the end.
    ///
    /// # Errors
    /// An entry whose step the card does not have, or whose amount does not fit it.
    pub fn follow(&mut self, lp: &Loop, path: &str, shelf: &[Stock]) -> Result<(), Refused> {
        let count = lp.done.len() as f64;
        let typed = Typed::new(count, "");
        At(path.to_owned()).within("done", count, typed, &limits::ENTRIES)?;
        let mut entered = vec![false; lp.done.len()];
        for k in 0..lp.done.len() {
            if !entered[k] && lp.done[k].assumed != Some(false) {
                self.enter(&lp.done, k, path, &mut entered, shelf)?;
            }
        }
        if self.behind != Behind::No {
            self.plan = plan(&self.task);
            let passes = self.plan.as_ref().ok().map(|p| p.passes.clone());
            self.lay_out(passes, shelf);
        }
        self.say_what_was_corrected();
        Ok(())
    }

    /// The loop before the job, where a level seen corrects what the file says of it.
    pub fn corrected(&self) -> Option<Corrected> {
        let held = self.task.before.volume(&self.task.blend);
        let is_other = held != self.start.before.volume(&self.task.blend)
            || self.task.volume != self.start.volume;
        is_other.then(|| {
            let missing = self.task.volume.value - held;
            let (missing, left) = match self.start.drained {
                false => (Some(measured(missing)), None),
                true => (None, Some(measured(held))),
            };
            Corrected {
                litres: measured(self.task.volume.value),
                plus_minus: measured(self.task.volume.plus_minus),
                missing_litres: missing,
                left_behind_litres: left,
            }
        })
    }

    /// Entry number `k`, and the steps it stands for.
    fn enter(
        &mut self,
        list: &[Done],
        k: usize,
        path: &str,
        entered: &mut [bool],
        shelf: &[Stock],
    ) -> Result<(), Refused> {
        let at = |i: usize| At([path, ".done[", &i.to_string(), "]"].concat());
        let done = &list[k];
        let mut place = self.place(done);
        if self.behind == Behind::Otherwise || self.behind == Behind::AsSaid && place != Some(0) {
            let passes = rest(&self.task);
            self.lay_out(passes, shelf);
            place = self.place(done);
        }
        entered[k] = true;
        let Some(place) = place else {
            let Some(step) = self.no_more(done, shelf) else {
                let id = done.id.clone();
                return Err(at(k).refuse("id", Refusal::NoSuchStep { id }));
            };
            self.give_way(&done.id, &step.id);
            return self.book(named(step, done), Some((done, at(k))), shelf);
        };
        let step = self.steps.remove(place);
        // Steps that were added since have higher numbers, and stay to be done.
        let before = |s: &Step| number(&s.id) < number(&done.id);
        let (earlier, kept) = self.steps.drain(..place).partition(before);
        let earlier: Vec<Step> = earlier;
        let kept: Vec<Step> = kept;
        self.steps.splice(..0, kept);
        self.give_way(&done.id, &step.id);
        for step in earlier {
            let own = (0..list.len()).find(|&i| !entered[i] && list[i].id == step.id);
            match own {
                // Not done, and so to be planned anew, as another step.
                Some(i) if list[i].assumed == Some(false) => {
                    self.behind = Behind::Otherwise;
                    self.taken_back = true;
                }
                Some(i) if fits(&list[i], &step) => {
                    entered[i] = true;
                    self.book(step, Some((&list[i], at(i))), shelf)?;
                }
                _ => self.book(step, None, shelf)?,
            }
        }
        self.book(named(step, done), Some((done, at(k))), shelf)
    }

    /// The place of the step an entry is for: the one of its id, if that still does what was entered; else another that
    /// does.
    fn place(&self, done: &Done) -> Option<usize> {
        let own = self.steps.iter().position(|s| s.id == done.id);
        own.filter(|&i| fits(done, &self.steps[i])).or_else(|| {
            done.step?;
            self.steps.iter().position(|s| fits(done, s))
        })
    }

    /// The id stays with the entry; a step that has come by it gets another.
    fn give_way(&mut self, id: &str, other: &str) {
        if let Some(step) = self.steps.iter_mut().find(|s| s.id == id) {
            step.id = other.to_owned();
        }
    }

    /// Books a step as done.
    fn book(&mut self, mut step: Step, entry: Entry, shelf: &[Stock]) -> Result<(), Refused> {
        let stock = step
            .stock
            .as_ref()
            .and_then(|name| shelf.iter().position(|s| s.name == *name));
        let strength = stock.map_or(self.task.now.strength(), |i| shelf[i].strength);
        let mut amount = step.litres.map(litres);
        let mut stands = None;
        // What the card said of it, it said of what was to go before.
        let on_track = self.behind != Behind::Otherwise;
        step.assumed = entry
            .as_ref()
            .is_none_or(|(done, _)| done.assumed == Some(true));
        let has_amount = entry
            .as_ref()
            .is_some_and(|(done, _)| done.amount.is_some());
        let is_measured = has_amount && !step.assumed;
        if let Some((done, at)) = &entry
            && let Some(q) = done.amount
        {
            let (key, limit) = match step.what {
                Do::Run => {
                    let id = done.id.clone();
                    return Err(at.refuse("amount", Refusal::AmountUnfit { id }));
                }
                Do::Check => ("amount", &limits::LEVEL_MISSING),
                _ => ("amount", &limits::HAPPENED),
            };
            let value = at.volume(key, q, limit)?;
            let measured_at = match done.at {
                Some(t) => at.temperature("at", t, &limits::HAPPENED_AT)?,
                None => celsius(20.0),
            };
            let real = self.at_twenty(value, strength, measured_at);
            if step.what == Do::Check {
                step.below_litres = Some(measured(real));
                stands = Some(real);
            } else {
                // As the card said is as the card said, for the level too. Where a step before it was not done, that is
                // all a tick says: the mark it speaks of is that of the whole card.
                let near = |said: Volume| in_litres(said - real).abs() <= SLACK_LITRES;
                let same = amount.replace(real).is_some_and(near);
                let as_said = same && on_track;
                let is_ticked = same && self.taken_back;
                if !as_said {
                    self.behind = Behind::Otherwise;
                }
                if step.to_the_mark && done.at_mark == Some(false) {
                    step.at_mark = Some(false);
                } else if done.at_mark == Some(true)
                    || step.to_the_mark && !as_said && !is_ticked && !step.assumed
                {
                    step.at_mark = Some(true);
                    stands = Some(litres(0.0));
                }
            }
        }
        step.litres = amount.map(measured);
        let amount = amount.unwrap_or(litres(0.0));
        let most = self.task.volume.value + self.task.volume.plus_minus;
        if let Some((done, at)) = &entry
            && step.what == Do::Draw
            && amount > most
        {
            let unit = done.amount.map_or(VolumeUnit::L, |q| q.unit);
            let volume = self.task.volume.value;
            let refusal = check::too_much("what came out", amount, volume, unit);
            return Err(at.refuse("amount", refusal));
        }
        let event = match step.what {
            Do::Draw => Event::Drew(amount),
            Do::Dose => Event::Dosed(amount),
            // To the mark, whatever that took.
            Do::Pour if stands.is_some() || step.to_the_mark && on_track && !is_measured => {
                Event::Filled(stock.unwrap_or(usize::MAX), amount)
            }
            Do::Pour => Event::Poured(stock.unwrap_or(usize::MAX), amount),
            Do::Run => Event::Ran,
            Do::Check => Event::Checked,
        };
        // What is taken for granted may have gone otherwise, by a tenth (ours).
        let measure = if step.assumed {
            self.measure + amount * 0.2
        } else {
            self.measure
        };
        let room = self.task.volume.value - self.task.held();
        self.task = self.task.after(event, measure);
        self.story.push((event, measure));
        if step.what == Do::Check {
            self.doubt = None;
        }
        if let Some(below) = stands {
            if step.what == Do::Pour {
                self.notice_far_less(in_litres(amount), in_litres(room), &step);
            }
            if !self.stood(below) {
                let held = in_litres(self.task.held() - self.task.volume.value) + in_litres(below);
                let refusal = Refusal::NotTheMark {
                    over: held,
                    volume: in_litres(self.task.volume.value),
                };
                return Err(match &entry {
                    Some((_, at)) => at.refuse("amount", refusal),
                    None => At(String::new()).refuse("amount", refusal),
                });
            }
        }
        if self.behind == Behind::No {
            self.behind = Behind::AsSaid;
        }
        self.so_far.push(step);
        Ok(())
    }

    /// It was seen so far below the mark: what that says of the loop before, and all that happened since over again.
    fn stood(&mut self, below: Volume) -> bool {
        // Where it stood before, it may have stood on air: what counts is what went in. What nobody measured may have been
        // less by as much as is missing now, and as much less was missing before: the answer covers both (ours).
        let mut doubt = litres(0.0);
        if let Some((_, before)) = self.story.split_last_mut() {
            for ((event, measure), step) in before.iter_mut().zip(&self.so_far) {
                if let Event::Filled(stock, amount) = *event {
                    *event = Event::Poured(stock, amount);
                    if step.at_mark.is_none() && below > litres(0.0) {
                        doubt = below * UNMEASURED;
                        *measure += doubt * 3.0_f64.sqrt();
                    }
                }
            }
        }
        let events: Vec<Event> = self.story.iter().map(|(event, _)| *event).collect();
        let moved = self
            .story
            .iter()
            .filter_map(|(event, measure)| match event {
                Event::Drew(_) | Event::Poured(..) | Event::Filled(..) => {
                    Some((in_litres(*measure) / 2.0).powi(2))
                }
                _ => None,
            });
        let off = litres(moved.sum::<f64>().sqrt());
        let Some(mut start) = self.start.seen(&events, below, off) else {
            return false;
        };
        if !start.drained {
            start.level_plus_minus = litres(f64::hypot(in_litres(off), in_litres(doubt)));
        }
        let fold = |task: Task, (event, measure): &(Event, Volume)| task.after(*event, *measure);
        self.task = self.story.iter().fold(start, fold);
        self.behind = Behind::Otherwise;
        true
    }

    /// Says what a level corrected, where that is more than could be measured.
    fn say_what_was_corrected(&mut self) {
        let Some(now) = self.corrected() else { return };
        let stated = &self.start;
        let held = in_litres(stated.before.volume(&stated.blend));
        let volume = in_litres(stated.volume.value);
        let step = in_litres(stated.step);
        let other = |now: f64, stated: f64| (now - stated).abs() >= step - SLACK_LITRES;
        if other(now.litres, volume) {
            self.cautions.push(Caution::CapacityCorrected {
                typed_litres: volume,
                litres: now.litres,
            });
        }
        if let Some(missing) = now.missing_litres
            && missing >= 0.0
            && other(missing, volume - held)
        {
            self.cautions.push(Caution::MissingCorrected {
                typed_litres: volume - held,
                litres: missing,
            });
        }
        if let Some(left) = now.left_behind_litres
            && other(left, held)
        {
            self.cautions.push(Caution::LeftBehindCorrected {
                typed_litres: held,
                litres: left,
            });
        }
        if let Some((said_litres, took_litres)) = self.doubt {
            self.cautions.push(Caution::TookLess {
                said_litres,
                took_litres,
            });
        }
    }

    /// A step that was entered and that the card, changed since, has no more.
    fn no_more(&mut self, done: &Done, shelf: &[Stock]) -> Option<Step> {
        let what = done.step?;
        let is_there = |name: &String| shelf.iter().any(|s| s.name == *name);
        if what == Do::Pour && !done.stock.as_ref().is_some_and(is_there) {
            return None;
        }
        let moves = matches!(what, Do::Draw | Do::Dose | Do::Pour);
        (!moves || done.amount.is_some()).then(|| Step {
            id: self.new_id(),
            round: self.task.rounds_so_far + 1,
            what,
            stock: done.stock.clone(),
            ..Step::blank()
        })
    }

    /// The next number that no step and no entry goes by.
    fn new_id(&mut self) -> String {
        loop {
            let id = self.next_id.to_string();
            self.next_id += 1;
            if self.so_far.iter().all(|s| s.id != id) {
                return id;
            }
        }
    }

    /// An amount measured hot, as it counts at 20 °C; as it is where the density has no answer.
    fn at_twenty(
        &self,
        amount: Volume,
        strength: LabelFraction,
        t: ThermodynamicTemperature,
    ) -> Volume {
        let glycol = self.task.blend.glycol();
        let density = |t| property::density(glycol, strength, t).ok();
        match density(t).zip(density(celsius(20.0))) {
            Some((hot, cold)) => amount * (hot / cold).value,
            None => amount,
        }
    }

    /// Clearly less went in than there was room for: by a tenth, and by two measuring steps.
    fn notice_far_less(&mut self, real: f64, room: f64, step: &Step) {
        let went_in: f64 = self
            .so_far
            .iter()
            .filter(|s| s.round == step.round && matches!(s.what, Do::Pour | Do::Dose))
            .filter_map(|s| s.litres)
            .sum();
        let short = room - real;
        let is_far = short > 0.1 * (went_in + room) && short > 2.0 * in_litres(self.task.step);
        self.doubt = is_far.then_some((went_in + room, went_in + real));
    }

    /// Is there nothing to do but to read it again?
    fn retests(&self) -> bool {
        let is_retest = |plan: &Plan| plan.way == Way::Retest;
        !self.task.checked && self.story.is_empty() && self.plan.as_ref().is_ok_and(is_retest)
    }

    /// The steps of these passes; those that stood on the card before keep their ids. Without a plan they stay.
    fn lay_out(&mut self, passes: Option<Vec<Pass>>, shelf: &[Stock]) {
        self.behind = Behind::No;
        self.taken_back = false;
        let Some(passes) = passes else { return };
        self.measure = passes.first().map_or(self.task.step, |pass| pass.step);
        let mut steps = laid_out(
            &self.task,
            &passes,
            shelf,
            self.doubt.is_some(),
            self.retests(),
        );
        let mut old = std::mem::take(&mut self.steps);
        // A step keeps its id in its round; what goes out or in also where it has come to stand in another.
        let moves = |s: &Step| !matches!(s.what, Do::Run | Do::Check);
        for any_round in [false, true] {
            for step in steps.iter_mut().filter(|s| s.id.is_empty()) {
                let same = |o: &Step| {
                    let fits = o.what == step.what && o.stock == step.stock;
                    fits && (o.round == step.round || any_round && moves(o))
                };
                if let Some(place) = old.iter().position(same) {
                    step.id = old.remove(place).id;
                }
            }
        }
        for step in steps.iter_mut().filter(|s| s.id.is_empty()) {
            step.id = self.new_id();
        }
        self.steps = steps;
    }
}

/// Does the step do what the entry was made for?
fn fits(done: &Done, step: &Step) -> bool {
    done.step.is_none_or(|what| what == step.what)
        && (done.stock.is_none() || done.stock == step.stock)
}

/// The step by the id of its entry.
fn named(step: Step, done: &Done) -> Step {
    Step {
        id: done.id.clone(),
        ..step
    }
}

/// The number of a step.
fn number(id: &str) -> u32 {
    id.parse().unwrap_or(u32::MAX)
}

/// The steps of a plan, without ids. In `doubt` the level is looked at before anything more is drawn.
fn laid_out(task: &Task, passes: &[Pass], shelf: &[Stock], doubt: bool, retest: bool) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut push = |round: u32, what: Do, stock: Option<usize>, amount: Option<Volume>| {
        steps.push(Step {
            id: String::new(),
            round,
            what,
            stock: stock.and_then(|i| shelf.get(i)).map(|s| s.name.clone()),
            litres: amount.map(measured),
            ..Step::blank()
        });
    };
    let mut round = task.rounds_so_far + 1;
    let begun = passes.iter().any(|p| !p.is_idle());
    // What is left of a draw by binary fractions is none.
    let draws = |pass: &Pass| pass.draw > litres(SLACK_LITRES);
    let mut looks = doubt && passes.iter().any(draws);
    for (k, pass) in passes.iter().enumerate() {
        if k > 0 || looks && draws(pass) {
            push(round, Do::Run, None, None);
            if std::mem::take(&mut looks) {
                push(round, Do::Check, None, None);
            }
            round += 1;
        }
        if draws(pass) {
            push(round, Do::Draw, None, Some(pass.draw));
        }
        if pass.dosed() > litres(0.0) {
            push(round, Do::Dose, None, Some(pass.dosed()));
        }
        for pour in &pass.pours {
            push(round, Do::Pour, Some(pour.stock), Some(pour.amount));
        }
    }
    if begun || task.unmixed {
        push(round, Do::Run, None, None);
    }
    if begun || task.unmixed || task.unchecked || retest {
        // The check belongs to the round that was run last.
        let ran = if begun || task.unmixed {
            round
        } else {
            task.rounds_so_far.max(1)
        };
        push(ran, Do::Check, None, None);
    }
    mark_last_pours(&mut steps);
    steps
}

/// A measured amount in litres, free of the dust of binary fractions (to 1e-9 L).
pub fn measured(amount: Volume) -> f64 {
    (in_litres(amount) * 1e9).round() / 1e9
}

/// The last pour of each round goes to the mark.
fn mark_last_pours(steps: &mut [Step]) {
    let mut last = None;
    for step in steps.iter_mut().rev().filter(|s| s.what == Do::Pour) {
        step.to_the_mark = last != Some(step.round);
        last = Some(step.round);
    }
}
