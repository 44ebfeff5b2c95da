//! The pour card: headline, steps, margins, cautions.

use std::rc::Rc;

use super::{
    column::{Column, column},
    field::{FieldView, asked_degrees, needs},
    margin::{Margins, margins},
    step::{doing, steps},
    verdict::{Verdict, verdict},
};
use crate::app::{
    amount,
    choice::System,
    draft::LIMITS,
    field::{Field, Measure, Unit},
    model::LoopModel,
    number::{fixed, significant},
    page::{Page, Shown, Solved},
    short::Short,
    words::{self, Piece, Setting},
};
use crate::engine::{
    caution::{Caution, Weight},
    order::in_order,
};
use crate::job::answer::{CautionEntry, Fault, LoopAnswer, Used, Way};

/// How the card stands to what is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Nothing to show yet.
    Blank,
    /// It fits.
    Fresh,
    /// It does not: a field is broken or was blanked.
    OutOfDate,
}

/// The card.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// How it stands to what is typed.
    pub standing: Standing,
    /// The loop's name.
    pub loop_name: String,
    /// What is still needed, as a list; empty where it is whole.
    pub needs: Vec<&'static str>,
    /// How cold it may get, now and after the job.
    pub verdict: Option<Verdict>,
    /// The answer in one line.
    pub headline: Vec<Piece>,
    /// Why there is no plan.
    pub refusal: Option<Notice>,
    /// The level column.
    pub column: Option<Column>,
    /// The steps, done and to do.
    pub steps: Vec<StepView>,
    /// Was anything entered?
    pub begun: bool,
    /// What is used and what is waste, in one line.
    pub totals: String,
    /// Margins before and after.
    pub margins: Option<Margins>,
    /// Heaviest first.
    pub cautions: Vec<CautionView>,
    /// Other ways, a sentence each.
    pub other_ways: Vec<String>,
}

/// A refusal in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// What.
    pub text: String,
    /// What can be had instead.
    pub best: Option<String>,
    /// The same as a target.
    pub settle: Option<f64>,
    /// How much more of what would do it.
    pub more: Option<String>,
    /// The same as an order.
    pub buy: Option<Short>,
}

/// A step of the card.
#[derive(Debug, Clone, PartialEq)]
pub struct StepView {
    /// Stable within the card.
    pub id: String,
    /// From 1.
    pub number: usize,
    /// Over the first step of a round, where there are several.
    pub round: Option<String>,
    /// What to do.
    pub title: String,
    /// How.
    pub note: String,
    /// How much.
    pub amount: Option<String>,
    /// Ticked or measured.
    pub done: bool,
    /// Only taken as done, because a later step was.
    pub assumed: bool,
    /// Of a measured pour to the mark: whether it is there now.
    pub at_mark: Option<bool>,
    /// For what really happened.
    pub happened: Option<FieldView>,
    /// Is that asked yet? On paper it always is.
    pub happened_asked: bool,
    /// For how warm that was, where something was drawn.
    pub measured_at: Option<FieldView>,
    /// Of the stock poured.
    pub pattern: Option<u8>,
}

/// A caution in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CautionView {
    /// Its weight's code, for the style.
    pub code: &'static str,
    /// Its weight, as a word.
    pub word: &'static str,
    /// What, and what next.
    pub text: String,
}

/// The card of the loop in sight.
pub fn card(page: &Page) -> Card {
    let shown = page.current();
    let lp = page.model.current();
    let system = page.model.system;
    let loop_name = words::loop_title(&lp.name, page.model.selected);
    let mut card = Card {
        standing: Standing::Blank,
        loop_name,
        needs: needs(page),
        verdict: None,
        headline: Vec::new(),
        refusal: page
            .refused
            .as_ref()
            .or(shown.fault.as_ref())
            .map(|f| notice(f, limits(lp), system)),
        column: None,
        steps: Vec::new(),
        begun: !lp.done.is_empty(),
        totals: String::new(),
        margins: None,
        cautions: Vec::new(),
        other_ways: Vec::new(),
    };
    let Some(solved) = &shown.solved else {
        return card;
    };
    card.standing = if shown.fresh {
        Standing::Fresh
    } else {
        Standing::OutOfDate
    };
    let answer = &solved.answer;
    if let Some(fault) = &answer.error {
        card.refusal = Some(with_help(notice(fault, limits(lp), system), page, solved));
    } else {
        if answer.way.is_some() {
            card.headline = words::headline(&doing(answer, system));
        }
        card.column = column(solved, system);
        card.margins = margins(solved, system);
        card.totals = totals(answer, system);
        card.other_ways = other_ways(answer, system);
    }
    card.verdict = verdict(page, solved);
    card.steps = steps(page, solved);
    card.cautions = cautions(page, solved);
    card
}

/// The cards of the other loops, to be printed with that of the loop in sight.
pub fn other_cards(page: &Page) -> Vec<Card> {
    let of = |place| {
        let mut other = page.clone();
        Rc::make_mut(&mut other.model).selected = place;
        card(&other)
    };
    let places = 0..page.model.loops.len();
    let others = places.filter(|&place| place != page.model.selected);
    others.map(of).collect()
}

/// The answer in one line of plain text: the bar at the foot.
pub fn line(card: &Card) -> String {
    if let Some(refusal) = &card.refusal {
        return [words::NO_PLAN, ": ", &refusal.text].concat();
    }
    match card.standing {
        Standing::Blank => words::still_needed(&card.needs),
        Standing::OutOfDate => words::OUT_OF_DATE.to_owned(),
        Standing::Fresh if card.headline.is_empty() => card
            .cautions
            .first()
            .map_or(String::new(), |c| [words::NO_PLAN, ". ", &c.text].concat()),
        Standing::Fresh => card.headline.iter().map(|p| p.text.as_str()).collect(),
    }
}

/// The verdict, where it is on what is typed now: an old one is no answer.
pub fn current_verdict(card: &Card) -> Option<&Verdict> {
    card.verdict
        .as_ref()
        .filter(|_| card.standing == Standing::Fresh)
}

/// What a screen reader is told after a pause.
pub fn spoken(card: &Card) -> String {
    let stop = card.cautions.iter().find(|c| c.code == Weight::Stop.code());
    let mut text = line(card);
    if let Some(verdict) = current_verdict(card) {
        text.push_str(&[". ", &verdict.short, "."].concat());
    }
    if let Some(stop) = stop.filter(|_| card.standing == Standing::Fresh) {
        text.push_str(&[". ", stop.word, ": ", &stop.text].concat());
    }
    text
}

/// A fault in words; `limits` are the strengths the loop is kept within.
fn notice(fault: &Fault, limits: [String; 2], system: System) -> Notice {
    Notice {
        text: words::refusal(fault, &limits, system),
        best: fault.best.map(|b| {
            let draws = b.drawn_litres > 0.0;
            let drawn = draws.then(|| amount::pour(b.drawn_litres, system));
            words::best(
                &amount::percent(b.percent, 0),
                None,
                drawn.as_deref(),
                b.rounds,
            )
        }),
        settle: None,
        more: None,
        buy: None,
    }
}

/// What there is of help where the loop's values are sound: how cold the nearest protects, and what would do it.
fn with_help(mut notice: Notice, page: &Page, solved: &Solved) -> Notice {
    let system = page.model.system;
    let best = solved.answer.error.as_ref().and_then(|fault| fault.best);
    if let Some(b) = best {
        let drawn = (b.drawn_litres > 0.0).then(|| amount::pour(b.drawn_litres, system));
        let at = solved.curve.at((b.percent + 1e-6) as usize).freezing_c;
        let at = at.map(|c| amount::whole_degrees(c, system));
        let percent = amount::percent(b.percent, 0);
        notice.best = Some(words::best(
            &percent,
            at.as_deref(),
            drawn.as_deref(),
            b.rounds,
        ));
        notice.settle = (b.rounds > 0).then_some(b.percent);
    }
    if let Some(short) = solved.short {
        let name = &page.model.shelf[short.row].name;
        let more = amount::pour(short.litres, system);
        notice.more = Some(words::more_would_do(&more, name));
        notice.buy = Some(short);
    }
    notice
}

/// The strengths a loop is kept within, as they stand in its fields.
fn limits(lp: &LoopModel) -> [String; 2] {
    [(Field::Low, LIMITS.0), (Field::High, LIMITS.1)].map(|(field, usual)| {
        let entry = lp.entries.get(field);
        if entry.is_blank() {
            fixed(usual, 0)
        } else {
            entry.text()
        }
    })
}

fn totals(answer: &LoopAnswer, system: System) -> String {
    let used = used_words(&answer.used, system);
    let dispose =
        (answer.dispose_litres > 0.0).then(|| amount::pour(answer.dispose_litres, system));
    let least = answer.so_far.is_empty() && answer.least.is_some_and(|least| least.proven);
    let mut parts = vec![words::totals(&used, dispose.as_deref(), least)];
    let after = answer.after.unwrap_or_default();
    // A trace is none.
    let share = |percent: Option<f64>| percent.filter(|p| (0.5..99.5).contains(p));
    if let Some(old) = share(after.old_percent) {
        parts.push(words::filled(words::OLD_SHARE, &[amount::percent(old, 0)]));
    }
    if let Some(foreign) = share(after.foreign_percent) {
        let foreign = amount::percent(foreign, 0);
        parts.push(words::filled(words::FOREIGN_SHARE, &[foreign]));
    }
    if let Some(level) = answer.dose.and_then(|d| d.level) {
        let unit = Unit::from_code(Measure::Level, level.unit).map_or(String::new(), words::unit);
        let level = words::spaced(&significant(level.after, 3), &unit);
        parts.push(words::filled(words::LEVEL_AFTER, &[level]));
    }
    parts.retain(|part| !part.is_empty());
    parts.join(" ")
}

fn used_words(used: &Used, system: System) -> Vec<String> {
    used.0
        .iter()
        .map(|(name, l)| [amount::pour(*l, system), words::in_sentence(name)].join(" "))
        .collect()
}

fn other_ways(answer: &LoopAnswer, system: System) -> Vec<String> {
    answer
        .runners_up
        .iter()
        .map(|r| {
            let drawn = (r.drawn_litres > 0.0).then(|| amount::pour(r.drawn_litres, system));
            let less = answer.dispose_litres - r.drawn_litres;
            let less = (less > 1e-6).then(|| amount::pour(less, system));
            let used = used_words(&r.used, system);
            let way = if r.way == Way::Nothing || used.is_empty() {
                Way::Nothing
            } else {
                r.way
            };
            words::runner_up(
                words::way(way),
                &amount::percent(r.percent, 0),
                drawn.as_deref(),
                less.as_deref(),
                &used,
            )
        })
        .collect()
}

/// What there is to mind of one loop, heaviest first.
pub(super) fn caution_views(page: &Page, shown: &Shown) -> Vec<CautionView> {
    shown
        .solved
        .as_ref()
        .map_or(Vec::new(), |solved| cautions(page, solved))
}

fn cautions(page: &Page, solved: &Solved) -> Vec<CautionView> {
    let setting = Setting {
        system: page.model.system,
        stocks: &solved.stocks,
    };
    let mut all: Vec<&Caution> = solved
        .answer
        .cautions
        .iter()
        .chain(&page.cautions)
        .map(|CautionEntry(c)| c)
        .collect();
    in_order(&mut all, |a, b| a.weight().cmp(&b.weight()));
    let left_out = || solved.answer.left_out.iter().chain(&page.left_out);
    let mut list = Vec::new();
    for c in all {
        let texts = match c {
            Caution::LeftOut => words::blanks(left_out().filter(|f| f.code != "no_figure")),
            Caution::NoFigure => words::blanks(left_out().filter(|f| f.code == "no_figure")),
            _ => vec![words::caution(c, setting)],
        };
        for text in texts {
            let view = CautionView {
                code: c.weight().code(),
                word: words::weight(c.weight()),
                text,
            };
            if !list.contains(&view) {
                list.push(view);
            }
        }
    }
    list
}

/// The coldest night and the hottest run, in words.
pub(super) fn asked(solved: &Solved, system: System) -> (Option<String>, Option<String>) {
    (
        asked_degrees(solved.asked.coldest, system),
        asked_degrees(solved.asked.peak_temperature, system),
    )
}
