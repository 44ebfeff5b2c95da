//! A field as it stands on the page: its words, its text, its unit, what is wrong with it.

use std::borrow::Cow;

use crate::app::{
    after::{self, LevelPart, RunPart, StudyPart},
    amount,
    choice::{AimBy, CapAge, Choice, DoseBy, DrainBy, ReadingBy, System, TankBy},
    counter::{self, Owner, PackRow, Place},
    draft::{DOSE_STEP_FL_OZ, DOSE_STEP_ML, Problem, STEP_FL_OZ, STEP_ML, Trouble},
    field::{Entry, Field, Form, Measure, Unit},
    model::{LoopModel, Spot, StockRow},
    number::{self, significant},
    page::{Page, spot_of, spread},
    sure,
    words::{self, Worded},
};
use crate::engine::after::{held::OPENING_K, survey::ACCURACY_K};
use crate::job::{
    self,
    answer::Fault,
    limits,
    units::{IntervalUnit, TemperatureUnit, VolumeUnit},
};

/// A text field.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldView {
    /// Of the element.
    pub id: String,
    /// Label, as seen.
    pub label: String,
    /// The rest of it, for a screen reader.
    pub label_more: Cow<'static, str>,
    /// What stands in it.
    pub text: String,
    /// What holds where it is blank.
    pub placeholder: String,
    /// Its unit.
    pub unit: UnitView,
    /// What is wrong with it.
    pub error: Option<String>,
    /// How it was taken.
    pub note: Option<&'static str>,
    /// Asks whether it was meant below zero: with its sign turned.
    pub ask: Option<String>,
    /// A number?
    pub numeric: bool,
    /// May it be below zero?
    pub signed: bool,
}

/// A field's unit.
#[derive(Debug, Clone, PartialEq)]
pub enum UnitView {
    /// None.
    None,
    /// Always the same.
    Fixed(String),
    /// One of several: code and words of each.
    Choice {
        /// The one shown.
        code: String,
        /// All of them.
        options: Vec<(String, String)>,
    },
}

/// How a cap's mark was taken.
fn note(spot: &Spot, entry: Option<&Entry>) -> Option<&'static str> {
    if let Spot::Loop(Field::Missing) = spot {
        let value = entry?.value().ok()??;
        return (value < 0.0).then_some(words::ABOVE_MARK);
    }
    let is_cap = matches!(
        spot,
        Spot::Loop(Field::Cap | Field::OtherCap | Field::MakerCap)
    );
    let entry =
        entry.filter(|e| is_cap && e.typed_in == e.shown_in && matches!(e.value(), Ok(Some(_))))?;
    Some(words::cap_mark(entry.shown_in))
}

/// The lowest temperature, or a frost, that is hardly meant above zero: only in °C, where 25 is no frost.
fn ask(spot: &Spot, entry: Option<&Entry>) -> Option<String> {
    let above = match spot {
        Spot::Loop(Field::Coldest) => 5.0,
        Spot::Loop(Field::Frost | Field::AimFrost | Field::BackFrost) => 0.0,
        _ => return None,
    };
    let entry = entry.filter(|e| e.shown_in == Unit::Temperature(TemperatureUnit::DegC))?;
    let value = number::parse(&entry.text()).ok()??;
    (value > above).then(|| [&number::turned(&entry.text()), "?"].concat())
}

/// A field of the page.
pub fn field(page: &Page, spot: &Spot) -> FieldView {
    let model = &page.model;
    let (label, label_more) = words::label(spot);
    let label = match spot {
        Spot::Run(_, RunPart::Shown(i)) => after::file::place_name(&model.survey, *i),
        _ => label.to_owned(),
    };
    let measure = spot.measure();
    let entry = model.entry(spot);
    let text = match spot {
        Spot::Title => model.title.clone(),
        Spot::LoopName => model.current().name.clone(),
        Spot::AdditiveName => model.current().additive_name.clone(),
        Spot::StockName(i) => model
            .shelf
            .get(*i)
            .map(|s| s.name.clone())
            .unwrap_or_default(),
        Spot::Counter(place) if measure.is_none() => {
            counter::words(model, *place).unwrap_or_default().to_owned()
        }
        _ => entry.map(Entry::text).unwrap_or_default(),
    };
    let shown_in = entry
        .map(|e| e.shown_in)
        .or(measure.map(|m| m.unit(model.system)));
    FieldView {
        id: id(spot),
        label,
        label_more: label_more.into(),
        text,
        placeholder: placeholder(page, spot),
        unit: match spot {
            Spot::Counter(place) if place.is_money() => money_unit(&model.counter.currency),
            _ => unit_view(spot, measure, shown_in),
        },
        error: error(page, spot),
        note: note(spot, entry),
        ask: ask(spot, entry),
        numeric: measure.is_some(),
        signed: is_signed(spot, measure),
    }
}

/// May it be below zero? A level may be: then it stands above the mark.
fn is_signed(spot: &Spot, measure: Option<Measure>) -> bool {
    let is_level = matches!(spot, Spot::Loop(Field::Missing));
    is_level || measure.is_some_and(Measure::signed) && !is_shown(spot)
}

/// What an instrument showed under the hood: many of them, and never below zero but on a day nobody works.
fn is_shown(spot: &Spot) -> bool {
    matches!(spot, Spot::Run(_, RunPart::Shown(_)))
}

pub(super) fn id(spot: &Spot) -> String {
    let numbered = |name: &str, i: &usize| [name, &i.to_string()].concat();
    match spot {
        Spot::Title => "title".to_owned(),
        Spot::LoopName => "loop-name".to_owned(),
        Spot::AdditiveName => "additive-name".to_owned(),
        Spot::Loop(field) => field.row().key.to_owned(),
        Spot::StockName(i) => numbered("stock-name-", i),
        Spot::StockPercent(i) => numbered("stock-percent-", i),
        Spot::StockSpread(i) => numbered("stock-spread-", i),
        Spot::StockHave(i) => numbered("stock-have-", i),
        Spot::StockLevel(i) => numbered("stock-level-", i),
        Spot::Happened(id) => ["happened-", id].concat(),
        Spot::HappenedAt(id) => ["happened-at-", id].concat(),
        Spot::Water(field) => ["water-", field.row().key].concat(),
        Spot::BackDate | Spot::Level(..) | Spot::Place(_) | Spot::Run(..) | Spot::Study(_) => {
            after::key(spot)
        }
        Spot::Counter(place) => counter_id(*place),
    }
}

fn counter_id(place: Place) -> String {
    let numbered = |name: &str, i: usize| [name, &i.to_string()].concat();
    let of_pack = |name: &str, owner: Owner, i: usize| match owner {
        Owner::Stock(s) => [name, &s.to_string(), "-", &i.to_string()].concat(),
        Owner::Additive => [name, "a-", &i.to_string()].concat(),
    };
    match place {
        Place::Date => "sheet-date".to_owned(),
        Place::Words => "sheet-words".to_owned(),
        Place::Paper(i) => ["paper-", counter::PAPERS[i]].concat(),
        Place::Currency => "currency".to_owned(),
        Place::Tax => "tax".to_owned(),
        Place::RoundTo => "round-to".to_owned(),
        Place::Hours => "hours".to_owned(),
        Place::Labour => "labour".to_owned(),
        Place::ChargeName(i) => numbered("charge-name-", i),
        Place::ChargeAmount(i) => numbered("charge-amount-", i),
        Place::PackSize(owner, i) => of_pack("pack-size-", owner, i),
        Place::PackPrice(owner, i) => of_pack("pack-price-", owner, i),
    }
}

/// The currency, as typed.
fn money_unit(currency: &str) -> UnitView {
    match currency.trim() {
        "" => UnitView::None,
        currency => UnitView::Fixed(currency.to_owned()),
    }
}

/// A unit as the field offers it.
pub(super) fn unit_view(spot: &Spot, measure: Option<Measure>, shown_in: Option<Unit>) -> UnitView {
    let (Some(measure), Some(shown)) = (measure, shown_in) else {
        return UnitView::None;
    };
    let follows = is_shown(spot) || matches!(spot, Spot::Loop(f) if f.follows().is_some());
    let units = measure.units();
    if units.len() == 1 || follows {
        let words = words::unit(shown);
        return if words.is_empty() {
            UnitView::None
        } else {
            UnitView::Fixed(words)
        };
    }
    let mut options: Vec<(String, String)> =
        units.iter().map(|u| (u.code(), words::unit(*u))).collect();
    let code = shown.code();
    if !options.iter().any(|(c, _)| *c == code) {
        options.push((code.clone(), words::unit(shown)));
    }
    UnitView::Choice { code, options }
}

/// Of what is sold in packs there is none, of the rest enough.
fn nothing_or_enough(packs: &[PackRow]) -> String {
    let sold = packs.iter().any(|p| !p.size.is_blank());
    if sold { "0" } else { words::ENOUGH }.to_owned()
}

/// A fifth of what is missing, at least half of what can be measured.
fn missing_spread(lp: &LoopModel, shown: Unit, system: System) -> String {
    let of = |field, share: f64| {
        let entry = lp.entries.get(field);
        let value = entry.value().ok()??;
        entry.typed_in.to(shown, value * share)
    };
    let usual = match system {
        System::Metric => STEP_ML,
        System::Us | System::Imperial => STEP_FL_OZ,
    };
    let step = of(Field::MeasureStep, 0.5)
        .or_else(|| Measure::SmallVolume.unit(system).to(shown, 0.5 * usual));
    let by_eye = of(Field::Missing, limits::USUAL_MISSING_SHARE);
    let most = step.unwrap_or(0.0).max(by_eye.unwrap_or(0.0));
    significant(most, 2)
}

/// What holds where a field is left blank.
fn placeholder(page: &Page, spot: &Spot) -> String {
    let lp = page.model.current();
    let system = page.model.system;
    let Spot::Loop(field) = spot else {
        return match spot {
            Spot::Title => words::UNTITLED.to_owned(),
            Spot::LoopName => words::loop_name(page.model.selected),
            Spot::StockSpread(_) => significant(limits::USUAL_LABEL_POINTS, 2),
            Spot::StockHave(i) => nothing_or_enough(counter::packs(&page.model, Owner::Stock(*i))),
            Spot::BackDate | Spot::Level(_, LevelPart::Date) => words::DATE_SUCH_AS.to_owned(),
            Spot::Run(_, RunPart::Reflected) => words::AS_THE_AIR.to_owned(),
            Spot::Level(_, LevelPart::Missing | LevelPart::Added) => "0".to_owned(),
            Spot::Place(i) => words::place_name(*i),
            Spot::Run(_, RunPart::Setting) => "0.95".to_owned(),
            Spot::Study(part) => study_placeholder(page, *part),
            Spot::Run(_, RunPart::Pair | RunPart::Stop) => words::NO_PAIR.to_owned(),
            Spot::HappenedAt(_) => page.model.entry(spot).map_or(String::new(), |e| {
                let usual = Measure::Temperature.unit(System::Metric);
                let shown = usual.to(e.shown_in, 20.0);
                shown.map(|v| significant(v, 3)).unwrap_or_default()
            }),
            _ => String::new(),
        };
    };
    let shown = lp.entries.get(*field).shown_in;
    let converted = |value: f64, unit: Unit| {
        unit.to(shown, value)
            .map(|v| significant(v, 3))
            .unwrap_or_default()
    };
    // A re-reading is as sure as the reading before it by the same instrument.
    let before = lp.entries.get(spread(lp.reading));
    if *field == after::back_spread(lp.reading)
        && lp.kept.check_back.is_none()
        && !before.is_blank()
        && before.shown_in == shown
    {
        return before.typed.clone();
    }
    let small = |ml: f64, fl_oz: f64| match system {
        System::Metric => converted(ml, Measure::SmallVolume.unit(system)),
        System::Us | System::Imperial => converted(fl_oz, Measure::SmallVolume.unit(system)),
    };
    match field {
        Field::VolumeSpread => match lp.entries.get(Field::Volume).value() {
            Ok(Some(v)) => {
                let from = lp.entries.get(Field::Volume).typed_in;
                from.to(shown, v * 0.05)
                    .map(|v| significant(v, 2))
                    .unwrap_or_default()
            }
            _ => String::new(),
        },
        Field::MissingSpread => missing_spread(lp, shown, system),
        Field::DoseHave => nothing_or_enough(counter::packs(&page.model, Owner::Additive)),
        Field::MeasureStep => small(STEP_ML, STEP_FL_OZ),
        Field::DoseStep => small(DOSE_STEP_ML, DOSE_STEP_FL_OZ),
        _ => {
            let usual = field.row().measure.usual();
            field
                .row()
                .blank()
                .map_or(String::new(), |v| converted(v, usual))
        }
    }
}

/// Blank, the difference to tell is the thermometer's accuracy, and a thermostat is full open 13 K above opening.
fn study_placeholder(page: &Page, part: StudyPart) -> String {
    let survey = &page.model.survey;
    let (shown, accuracy) = (survey.part(part).shown_in, survey.part(StudyPart::Accuracy));
    let typed = |entry: &Entry| Some((entry.value().ok()??, entry.typed_in));
    let kelvins = |k: f64| (k, Unit::Interval(IntervalUnit::K));
    let usual = match part {
        StudyPart::Accuracy => Some(kelvins(ACCURACY_K)),
        StudyPart::Difference => typed(accuracy).or(Some(kelvins(ACCURACY_K))),
        StudyPart::Planned => None,
        // The same after as before, unless it is said.
        StudyPart::Opens => None,
        StudyPart::OpensAfter => typed(survey.part(StudyPart::Opens)),
        StudyPart::FullOpen | StudyPart::FullOpenAfter => {
            let opens = if part == StudyPart::FullOpen {
                StudyPart::Opens
            } else {
                StudyPart::OpensAfter
            };
            let celsius = Measure::Temperature.unit(System::Metric);
            typed(survey.part(opens))
                .and_then(|(v, unit)| Some((unit.to(celsius, v)? + OPENING_K, celsius)))
        }
    };
    let told = usual.and_then(|(value, unit)| unit.to(shown, value));
    told.map_or(String::new(), |v| significant(v, 3))
}

/// What is wrong with a field, once it is sure: a blank that is needed is not an error yet.
fn error(page: &Page, spot: &Spot) -> Option<String> {
    let model = &page.model;
    let problems = page
        .draft
        .loops
        .get(model.selected)
        .into_iter()
        .flatten()
        .chain(&page.draft.shelf)
        .chain(&page.draft.counter)
        .chain(page.draft.bottles.get(model.selected).into_iter().flatten());
    for Problem { spot: at, trouble } in problems {
        if at == spot
            && let Trouble::Number(error) = trouble
        {
            return words::number_error(error);
        }
    }
    if let Some(error) = after_error(page, spot) {
        return error;
    }
    let shown = page.current();
    let mut faults: Vec<Option<&Fault>> = vec![page.refused.as_ref(), shown.fault.as_ref()];
    faults.extend(page.left_out.iter().map(Some));
    if let Some(solved) = &shown.solved {
        let answer = &solved.answer;
        let out = answer.left_out.iter();
        let out = out.filter(|f| shown.fresh && f.code != "no_figure");
        faults.extend(out.map(Some));
        faults.push(answer.check_back.as_ref().and_then(|b| b.error.as_ref()));
        faults.push(answer.levels.as_ref().and_then(|l| l.error.as_ref()));
    }
    faults.push(page.survey.as_ref().and_then(|s| s.error.as_ref()));
    faults.push(page.quote_fault.as_ref());
    faults
        .into_iter()
        .flatten()
        .filter(|fault| spot_of(fault, model, model.current()).as_ref() == Some(spot))
        .map(words::field_refusal)
        .next()
        .or_else(|| sure::broken(spot, model.entry(spot)?).map(words::out_of_limit))
}

/// What is wrong with what was typed afterwards; `None`: it is no field of that kind, or no number is wanted.
fn after_error(page: &Page, spot: &Spot) -> Option<Option<String>> {
    let model = &page.model;
    let is_back = matches!(
        spot,
        Spot::Loop(Field::BackPercent | Field::BackFrost | Field::BackGravity)
            | Spot::Loop(Field::BackIndex | Field::BackBrix | Field::BackAt)
            | Spot::Loop(Field::BackPercentSpread | Field::BackFrostSpread)
            | Spot::Loop(Field::BackGravitySpread | Field::BackIndexSpread)
            | Spot::Loop(Field::BackBrixSpread)
    );
    let is_after = matches!(
        spot,
        Spot::BackDate | Spot::Level(..) | Spot::Run(..) | Spot::Study(_)
    );
    let entry = model.entry(spot).filter(|_| is_back || is_after)?;
    if let Spot::BackDate | Spot::Level(_, LevelPart::Date) = spot {
        let text = entry.typed.trim();
        let wrong = text.len() >= 10 && job::after::date::day(text).is_none();
        return wrong.then(|| Some(words::DATE_WRONG.to_owned()));
    }
    spot.measure()?;
    entry.value().err().map(|e| words::number_error(&e))
}

/// What is still needed before there can be an answer, in the order of the questions.
pub fn needs(page: &Page) -> Vec<&'static str> {
    let place = page.model.selected;
    let problems = page
        .draft
        .loops
        .get(place)
        .into_iter()
        .flatten()
        .chain(&page.draft.shelf);
    let mut list: Vec<&'static str> = problems
        .filter(|p| p.trouble == Trouble::Needed)
        .map(|p| words::needed(&p.spot))
        .collect();
    if page.draft.job.shelf.is_empty() && page.model.current().dose != DoseBy::Only {
        list.push(words::NEEDED_SHELF);
    }
    list.dedup();
    list
}

/// What a fold holds, in a few words, so that it need not be opened to be seen.
pub fn fold_digest(page: &Page) -> (String, String) {
    let lp = page.model.current();
    let text = |field: Field| {
        let entry = lp.entries.get(field);
        let shown = entry.text();
        (!entry.is_blank()).then(|| words::spaced(shown.trim(), &words::unit(entry.shown_in)))
    };
    let drain = match lp.drain {
        DrainBy::Volume => text(Field::DrawLimit).map(|most| [&most, words::COMES_OUT].concat()),
        DrainBy::Share => None,
        by => Some(by.words().to_owned()),
    };
    let tank = match lp.tank {
        TankBy::Unstated => words::TANK_UNSAID,
        by => by.words(),
    };
    let age = (lp.cap_age == CapAge::New).then(|| CapAge::New.words().to_owned());
    let or = |field, words: &str| Some(text(field).unwrap_or_else(|| words.to_owned()));
    let parts = [
        drain,
        Some(tank.to_owned()),
        or(Field::Cap, words::CAP_UNSAID),
        age,
        or(Field::Altitude, words::SEA_LEVEL),
    ];
    let tank = parts.into_iter().flatten().collect::<Vec<_>>().join(" · ");
    let additive = match lp.dose {
        DoseBy::None => lp.dose.words().to_owned(),
        DoseBy::Some | DoseBy::Only => {
            let name = lp.additive_name.trim();
            let rate = match lp.rate.code() {
                "ratio" => text(Field::RateRatio),
                "percent" => text(Field::RatePercent),
                _ => None,
            };
            let named = (!name.is_empty()).then(|| words::isolated(name));
            let only = (lp.dose == DoseBy::Only).then(|| lp.dose.words().to_owned());
            [only, named, rate]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" · ")
        }
    };
    (tank, additive)
}

/// What holds of what is folded away under the questions, each in a few words: how sure the volumes are, what is said
/// of the coolant, of the target, and whose limits the mixing water is judged by.
pub fn more_digests(page: &Page) -> [String; 4] {
    let (model, lp) = (&page.model, page.model.current());
    // What is typed, or what holds without.
    let holds = |field: Field| {
        let view = field_of(page, field);
        let number = if view.text.trim().is_empty() {
            view.placeholder
        } else {
            view.text
        };
        let unit = words::unit(lp.entries.get(field).shown_in);
        words::spaced(number.trim(), &unit)
    };
    let volume = if lp.entries.get(Field::Volume).is_blank() {
        words::spaced("5", "%")
    } else {
        holds(Field::VolumeSpread)
    };
    let volumes = words::filled(words::MORE_HOLDS, &[volume, holds(Field::MissingSpread)]);
    let family = lp.family.map_or(words::FAMILY_UNKNOWN, Worded::words);
    let coolant = [lp.glycol.words().to_owned(), family.to_owned()];
    let coolant = words::filled(words::MORE_NOW, &coolant);
    let sure = match lp.reading {
        ReadingBy::Percent | ReadingBy::Frost | ReadingBy::Index | ReadingBy::Brix => {
            words::filled(words::MORE_SURE, &[holds(spread(lp.reading))])
        }
        _ => String::new(),
    };
    let renew = match lp.entries.get(Field::Renew).text().trim() {
        "" => words::RENEW_NONE.to_owned(),
        text => words::spaced(text, "%"),
    };
    let target = match lp.aim {
        AimBy::Night => words::filled(words::MORE_NIGHT, &[holds(Field::Spare), renew]),
        AimBy::Percent => words::filled(words::MORE_PERCENT, &[holds(Field::Within), renew]),
        AimBy::Frost => words::filled(words::MORE_FROST, &[renew]),
    };
    let water = if model.water.entries.is_blank() {
        words::NO_WATER
    } else {
        model.water.limits.words()
    };
    [volumes, [sure, coolant].concat(), target, water.to_owned()]
}

fn field_of(page: &Page, of: Field) -> FieldView {
    field(page, &Spot::Loop(of))
}

/// Amounts to pick for how low it is: in words, and as its field has them.
pub fn quick(page: &Page) -> Vec<(String, String)> {
    let picks: &[(&str, f64, VolumeUnit)] = match page.model.system {
        System::Metric => &[
            ("100\u{a0}mL", 0.1, VolumeUnit::L),
            ("\u{bd}\u{a0}L", 0.5, VolumeUnit::L),
            ("1\u{a0}L", 1.0, VolumeUnit::L),
        ],
        System::Us => &[
            ("\u{bd}\u{a0}qt", 0.5, VolumeUnit::UsQt),
            ("1\u{a0}qt", 1.0, VolumeUnit::UsQt),
        ],
        System::Imperial => &[
            ("\u{bd}\u{a0}pt", 0.5, VolumeUnit::ImpPt),
            ("1\u{a0}pt", 1.0, VolumeUnit::ImpPt),
        ],
    };
    let shown = page.model.current().entries.get(Field::Missing).shown_in;
    picks
        .iter()
        .map(|&(words, amount, unit)| {
            let amount = Unit::Volume(unit).to(shown, amount).unwrap_or(amount);
            (words.to_owned(), significant(amount, 6))
        })
        .collect()
}

/// The first loop that has an additive or a cap, where the one in sight has neither; and what to offer.
pub fn alike(page: &Page) -> Option<(usize, String)> {
    let says = |lp: &LoopModel| lp.dose != DoseBy::None || !lp.entries.get(Field::Cap).is_blank();
    let model = &page.model;
    let first = model.loops.iter().position(says)?;
    let name = words::loop_title(&model.loops[first].name, first);
    (!says(model.current())).then(|| (first, [words::LIKE, " ", &name].concat()))
}

/// A stock on the shelf: "50 % · 5 L on hand", "100 % · enough".
pub fn stock_line(row: &StockRow) -> String {
    let digest = stock_digest(row);
    if row.have.is_blank() {
        let enough = nothing_or_enough(&row.packs);
        return [&digest, " \u{b7} ", &enough].concat();
    }
    digest
}

/// A stock in a few words: "50 % · 5 L on hand".
pub fn stock_digest(row: &StockRow) -> String {
    let percent = row.percent.text();
    let percent = match percent.trim() {
        "" => words::STRENGTH_OPEN.to_owned(),
        text => words::spaced(text, "%"),
    };
    if row.have.is_blank() {
        return percent;
    }
    let have = words::spaced(row.have.text().trim(), &words::unit(row.have.shown_in));
    words::filled(words::DIGEST, &[percent, have])
}

/// A temperature asked for, in whole degrees of the page.
pub(super) fn asked_degrees(
    q: Option<crate::job::file::Quantity<crate::job::units::TemperatureUnit>>,
    system: System,
) -> Option<String> {
    q.map(|q| amount::whole_degrees(q.unit.to_celsius(q.value), system))
}
