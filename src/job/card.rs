//! The pour card: a plan's passes as numbered steps, and what really happened folded back into the task.
//!
//! A step keeps its id for as long as it stands on the card, so that entries can be made in any order; a step that
//! a new plan adds gets the next number.

use super::{
    answer::{Do, Step},
    check::{self, At, Checked, Refused, Stock},
    file::{Done, Loop},
    limits,
    message::Refusal,
};
use crate::engine::{
    caution::Caution,
    dose::SLACK_LITRES,
    plan::{Event, Pass, Plan, PlanError, Task, Way, plan},
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
    next_id: u32,
}

impl Card {
    /// The card before anything was done.
    pub fn new(checked: &Checked, shelf: &[Stock]) -> Self {
        let mut card = Self {
            task: checked.task.clone(),
            plan: plan(&checked.task),
            steps: Vec::new(),
            so_far: Vec::new(),
            cautions: Vec::new(),
            next_id: 1,
        };
        card.lay_out(shelf);
        card
    }

    /// Folds in what really happened, in the order it was entered.
    ///
    /// # Errors
    /// An entry whose step the card does not have, or whose amount does not fit it.
    pub fn follow(&mut self, lp: &Loop, path: &str, shelf: &[Stock]) -> Result<(), Refused> {
        for (k, done) in lp.done.iter().enumerate() {
            let key = [path, ".done[", &k.to_string(), "]"].concat();
            self.enter(done, &key, shelf)?;
        }
        Ok(())
    }

    fn enter(&mut self, done: &Done, key: &str, shelf: &[Stock]) -> Result<(), Refused> {
        let at = At(key.to_owned());
        let Some(mut step) = self.taken(done, shelf) else {
            let id = done.id.clone();
            return Err(at.refuse("id", Refusal::NoSuchStep { id }));
        };
        if done.amount.is_some() && matches!(step.what, Do::Run | Do::Check) {
            let id = done.id.clone();
            return Err(at.refuse("amount", Refusal::AmountUnfit { id }));
        }
        let stock = step
            .stock
            .as_ref()
            .and_then(|name| shelf.iter().position(|s| s.name == *name));
        let strength = stock.map_or(self.task.now.strength(), |i| shelf[i].strength);
        let amount = match done.amount {
            None => step.litres.map(litres),
            Some(q) => {
                let value = at.volume("amount", q, &limits::HAPPENED)?;
                let measured_at = match done.at {
                    Some(t) => at.temperature("at", t, &limits::HAPPENED_AT)?,
                    None => celsius(20.0),
                };
                Some(self.at_twenty(value, strength, measured_at))
            }
        };
        if step.to_the_mark
            && let (Some(real), Some(said)) = (amount, step.litres)
        {
            // The card may have changed since, and want more drawn first: no more than there was room for counts.
            let room = in_litres(self.task.volume.value - self.task.held());
            self.notice_trapped_air(in_litres(real), said.min(room), &step);
        }
        step.litres = amount.map(measured);
        let amount = amount.unwrap_or(litres(0.0));
        let most = self.task.volume.value + self.task.volume.plus_minus;
        if step.what == Do::Draw && amount > most {
            let refusal = check::too_much("what came out", amount, self.task.volume.value);
            return Err(at.refuse("amount", refusal));
        }
        let event = match step.what {
            Do::Draw => Event::Drew(amount),
            Do::Dose => Event::Dosed(amount),
            // Ticked: to the mark, whatever that took.
            Do::Pour if step.to_the_mark && done.amount.is_none() => {
                Event::Filled(stock.unwrap_or(usize::MAX), amount)
            }
            Do::Pour => Event::Poured(stock.unwrap_or(usize::MAX), amount),
            Do::Run => Event::Ran,
            Do::Check => Event::Checked,
        };
        // By the measure the card asked for, which may be finer than the usual one.
        let planned = self.plan.as_ref().ok().and_then(|p| p.passes.first());
        let measured_to = planned.map_or(self.task.step, |pass| pass.step);
        self.task = self.task.after(event, measured_to);
        self.so_far.push(step);
        self.plan = plan(&self.task);
        self.lay_out(shelf);
        Ok(())
    }

    /// The step an entry is for, off the card: the one of its id, if that still does what was entered; else another
    /// that does; else one the card has no more. `None` where there is nothing to go by.
    fn taken(&mut self, done: &Done, shelf: &[Stock]) -> Option<Step> {
        let stock = &done.stock;
        let fits = |s: &Step| {
            done.step.is_none_or(|what| what == s.what) && (stock.is_none() || *stock == s.stock)
        };
        let own = self.steps.iter().position(|s| s.id == done.id);
        let place = own.filter(|&i| fits(&self.steps[i])).or_else(|| {
            done.step?;
            self.steps.iter().position(fits)
        });
        let mut step = match place {
            Some(place) => self.steps.remove(place),
            None => self.no_more(done, shelf)?,
        };
        // The id stays with the entry; a step that has come by it gets another.
        if let Some(other) = self.steps.iter_mut().find(|s| s.id == done.id) {
            other.id = step.id;
        }
        step.id = done.id.clone();
        Some(step)
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
            litres: None,
            to_the_mark: false,
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

    /// A refill that takes clearly less than came out means trapped air: by a tenth, and by two measuring steps.
    fn notice_trapped_air(&mut self, real: f64, said: f64, step: &Step) {
        let went_in: f64 = self
            .so_far
            .iter()
            .filter(|s| s.round == step.round && matches!(s.what, Do::Pour | Do::Dose))
            .filter_map(|s| s.litres)
            .sum();
        let (out_litres, in_litres) = (went_in + said, went_in + real);
        let short = said - real;
        if short > 0.1 * out_litres
            && short > 2.0 * crate::engine::quantity::in_litres(self.task.step)
        {
            self.cautions.push(Caution::TrappedAir {
                out_litres,
                in_litres,
            });
        }
    }

    /// The steps of the plan; those that stood on the card before keep their ids.
    fn lay_out(&mut self, shelf: &[Stock]) {
        let Ok(plan) = &self.plan else { return };
        let mut steps = laid_out(&self.task, plan, shelf);
        let mut old = std::mem::take(&mut self.steps);
        for step in &mut steps {
            let same =
                |o: &Step| o.round == step.round && o.what == step.what && o.stock == step.stock;
            match old.iter().position(same) {
                Some(place) => step.id = old.remove(place).id,
                None => step.id = self.new_id(),
            }
        }
        self.steps = steps;
    }
}

/// The steps of a plan, without ids.
fn laid_out(task: &Task, plan: &Plan, shelf: &[Stock]) -> Vec<Step> {
    let passes: &[Pass] = &plan.passes;
    let retest = plan.way == Way::Retest && !task.checked;
    let mut steps = Vec::new();
    let mut push = |round: u32, what: Do, stock: Option<usize>, amount: Option<Volume>| {
        steps.push(Step {
            id: String::new(),
            round,
            what,
            stock: stock.and_then(|i| shelf.get(i)).map(|s| s.name.clone()),
            litres: amount.map(measured),
            to_the_mark: false,
        });
    };
    let mut round = task.rounds_so_far + 1;
    let begun = passes.iter().any(|p| !p.is_idle());
    for (k, pass) in passes.iter().enumerate() {
        if k > 0 {
            push(round, Do::Run, None, None);
            round += 1;
        }
        // What is left of a draw by binary fractions is none.
        if pass.draw > litres(SLACK_LITRES) {
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
