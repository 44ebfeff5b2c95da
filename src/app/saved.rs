//! What is kept on the device: one record a job, each by itself, so that one that cannot be read harms no other.
//!
//! A record is lines of a key and a value: what the page has no field for, as a job file, and every text and choice
//! by its stable key, to the letter: half-typed and broken fields come back as they were left. A record of a newer
//! version, or one that is damaged, is refused and left as it is by whoever holds it.

use std::rc::Rc;

use serde_json::Value;

use super::{
    action::Pick,
    after,
    choice::{Brings, Choice, System},
    counter,
    field::{Entry, Field, Form, Measure, Unit},
    model::{DoneRow, LoopModel, Model, StockRow},
    water::WaterField,
};
use crate::job::{
    self,
    file::{Family, GlycolName, Job},
    record::Text,
};

/// Version of the record.
pub const VERSION: u32 = 1;

/// How a record begins, before its version.
const HEAD: &str = "pourcard record ";

/// Names of the records on the device.
pub const NAME: &str = "pourcard.job.";
/// How every name kept on the device begins.
const NAMES: &str = "pourcard.";

/// Why a record cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RecordError {
    /// Written by a newer page.
    Newer,
    /// Not a record, or damaged.
    Damaged,
}

/// The record of a model.
pub fn encode(model: &Model) -> String {
    let mut fields = vec![
        ("job".to_owned(), job::write(&skeleton(model))),
        ("system".to_owned(), model.system.code().to_owned()),
        ("title".to_owned(), model.title.clone()),
        ("selected".to_owned(), model.selected.to_string()),
    ];
    for (i, row) in model.shelf.iter().enumerate() {
        let mut put = |key: &str, value: String| fields.push((place("s", i, key), value));
        put("on", if row.on { "1" } else { "0" }.to_owned());
        put("name", row.name.clone());
        put("glycol", row.glycol.code().to_owned());
        put("percent", entry_text(&row.percent));
        put("spread", entry_text(&row.spread));
        put("have", entry_text(&row.have));
        put("family", row.family.map_or("", Choice::code).to_owned());
        // What most rows do not have goes without saying.
        if row.brings != Brings::Unsaid {
            put("brings", row.brings.code().to_owned());
        }
        if row.level != Entry::blank(Measure::Level.unit(model.system)) {
            put("level", entry_text(&row.level));
        }
    }
    let water = &model.water;
    fields.push((place("w", 0, "limits"), water.limits.code().to_owned()));
    for &field in WaterField::ALL {
        fields.push((
            place("w", 0, field.row().key),
            entry_text(water.entries.get(field)),
        ));
    }
    for (i, lp) in model.loops.iter().enumerate() {
        let mut put = |key: &str, value: String| fields.push((place("l", i, key), value));
        put("@id", lp.id.to_string());
        put("@name", lp.name.clone());
        put("@additive", lp.additive_name.clone());
        for (key, code) in Pick::codes(lp) {
            put(key, code.to_owned());
        }
        put("@end", String::new());
        for &field in Field::ALL {
            let entry = lp.entries.get(field);
            // A blank in the page's own unit goes without saying.
            if *entry != Entry::blank(field.row().measure.unit(model.system)) {
                put(field.row().key, entry_text(entry));
            }
        }
        for (j, row) in lp.done.iter().enumerate() {
            put(&place("d", j, "amount"), entry_text(&row.amount));
            put(&place("d", j, "at"), entry_text(&row.at));
        }
        for spot in after::spots_of_levels(lp) {
            if let Some(entry) = after::entry(lp, &model.survey, &spot) {
                put(&after::key(&spot), entry_text(entry));
            }
        }
    }
    for spot in after::spots_of_survey(&model.survey) {
        if let Some(entry) = model.entry(&spot) {
            fields.push((place("y", 0, &after::key(&spot)), entry_text(entry)));
        }
    }
    counter::write(model, &mut fields);
    let mut text = [HEAD, &VERSION.to_string()].concat();
    for (key, value) in &fields {
        text.push('\n');
        text.push_str(key);
        text.push(' ');
        text.push_str(&value.replace('\\', "\\\\").replace('\n', "\\n"));
    }
    text
}

/// All of these in one file: names and records as they are kept, which is also what the crash box saves.
pub fn bundle(records: &[(String, Rc<str>)]) -> String {
    let mut text = Text::default();
    text.open("{");
    for (id, record) in records {
        text.key(&[NAME, id].concat());
        text.text(record);
    }
    text.close("}");
    text.done()
}

/// The records of such a file; `None` where it is another kind of file.
pub fn unbundle(text: &str) -> Option<Vec<String>> {
    let tree: Value = serde_json::from_str(text).ok()?;
    let found = tree.as_object().filter(|found| !found.is_empty())?;
    let mut records = Vec::new();
    for (name, record) in found {
        if !name.starts_with(NAMES) {
            return None;
        }
        if name.starts_with(NAME) {
            records.push(record.as_str()?.to_owned());
        }
    }
    Some(records)
}

/// The model of a record.
///
/// # Errors
/// See [`RecordError`].
pub fn decode(text: &str) -> Result<Model, RecordError> {
    let mut lines = text.split('\n');
    let version = lines
        .next()
        .and_then(|head| head.strip_prefix(HEAD)?.parse::<u32>().ok());
    match version {
        Some(v) if v > VERSION => Err(RecordError::Newer),
        Some(_) => model_of(lines).ok_or(RecordError::Damaged),
        None => Err(RecordError::Damaged),
    }
}

/// The model of a record's lines; the first four say how large it is.
fn model_of<'a>(mut lines: impl Iterator<Item = &'a str>) -> Option<Model> {
    let mut fixed = |key: &str| {
        let (found, value) = lines.next()?.split_once(' ')?;
        (found == key).then(|| unescaped(value))
    };
    let kept = job::read(&fixed("job")?)
        .ok()
        .filter(|job| !job.loops.is_empty())?;
    let mut model = from_skeleton(kept, System::from_code(&fixed("system")?)?);
    model.title = fixed("title")?;
    let selected: usize = fixed("selected")?.parse().ok()?;
    model.selected = selected.min(model.loops.len() - 1);
    for line in lines {
        let (key, value) = line.split_once(' ')?;
        restore(&mut model, key, &unescaped(value))?;
    }
    Some(model)
}

fn unescaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut letters = text.chars();
    while let Some(c) = letters.next() {
        match c {
            '\\' => out.push(if letters.next() == Some('n') {
                '\n'
            } else {
                '\\'
            }),
            c => out.push(c),
        }
    }
    out
}

/// What the page has no field for, and how many rows and loops there are.
fn skeleton(model: &Model) -> Job {
    let mut job = model.kept.clone();
    job.shelf
        .extend(model.shelf.iter().map(|row| row.kept.clone()));
    for lp in &model.loops {
        let mut kept = (*lp.kept).clone();
        kept.done.extend(lp.done.iter().map(|row| row.kept.clone()));
        kept.levels
            .extend(lp.levels.iter().map(|row| row.kept.clone()));
        job.loops.push(kept);
    }
    job.survey = Some(after::file::skeleton(&model.survey));
    job
}

fn from_skeleton(mut kept: Job, system: System) -> Model {
    let mut model = Model::empty(system);
    model.loops.clear();
    model.shelf.clear();
    // An older record's job file says it all by itself.
    model.counter = counter::import(&kept);
    (kept.date, kept.notes, kept.money) = (None, None, None);
    kept.papers = None;
    for mut stock in kept.shelf.drain(..) {
        let mut row = StockRow::offer("", 0.0, system);
        row.packs = counter::import_packs(&stock.packs);
        stock.packs.clear();
        row.kept = stock;
        model.shelf.push(row);
    }
    for (mut lp, id) in kept.loops.drain(..).zip(1..) {
        let mut out = LoopModel::empty(id, system);
        for done in lp.done.drain(..) {
            let mut row = DoneRow::new(done.id.clone(), system);
            row.kept = done;
            out.done.push(row);
        }
        if let Some(additive) = &mut lp.additive {
            out.bottles = counter::import_packs(&additive.packs);
            (additive.have, additive.packs) = (None, Vec::new());
        }
        for level in lp.levels.drain(..) {
            let mut row = after::LevelRow::blank(system);
            row.kept = level;
            out.levels.push(row);
        }
        out.kept = lp.into();
        model.loops.push(out);
    }
    model.survey = after::file::from_skeleton(kept.survey.take(), system);
    model.kept = kept;
    model
}

/// Puts one value back; `None` where its key or code means nothing.
fn restore(model: &mut Model, whole: &str, value: &str) -> Option<()> {
    let (head, key) = whole.split_once('.')?;
    let index: usize = head.get(1..)?.parse().ok()?;
    if counter::restore(model, whole, value)? {
        return Some(());
    }
    if head.starts_with('s') {
        return restore_stock(model.shelf.get_mut(index)?, key, value);
    }
    if head.starts_with('y') || key.starts_with("look-") {
        let Model { loops, survey, .. } = model;
        let place = if head.starts_with('y') { 0 } else { index };
        let lp = loops.get_mut(place)?;
        let mut spots = after::spots_of_survey(survey);
        spots.extend(after::spots_of_levels(lp));
        let spot = spots.into_iter().find(|s| after::key(s) == key)?;
        let read = entry_of(spot.measure().unwrap_or(Measure::Number), value)?;
        *after::entry_mut(lp, survey, &spot)? = read;
        return Some(());
    }
    if head.starts_with('w') {
        if key == "limits" {
            model.water.limits = Choice::from_code(value)?;
        } else {
            let field = WaterField::from_key(key)?;
            *model.water.entries.get_mut(field) = entry_of(field.row().measure, value)?;
        }
        return Some(());
    }
    let lp = model.loops.get_mut(index)?;
    match key {
        "@id" => lp.id = value.parse().ok()?,
        "@name" => lp.name = value.to_owned(),
        "@additive" => lp.additive_name = value.to_owned(),
        "@end" => {}
        key if key.starts_with('@') => Pick::from_code(key, value)?.put(lp),
        _ => match key.strip_prefix('d').and_then(|k| k.split_once('.')) {
            Some((row, key)) => {
                let row = lp.done.get_mut(row.parse::<usize>().ok()?)?;
                match key {
                    "amount" => row.amount = entry_of(Measure::Volume, value)?,
                    "at" => row.at = entry_of(Measure::Temperature, value)?,
                    _ => return None,
                }
            }
            None => match Field::from_key(key) {
                Some(field) => *lp.entries.get_mut(field) = entry_of(field.row().measure, value)?,
                None => *lp.entries.get_mut(once_a_share(key)?) = in_percent(value)?,
            },
        },
    }
    Some(())
}

/// What was typed from 0 to 1 once, by its key of then.
fn once_a_share(key: &str) -> Option<Field> {
    match key {
        "drain-share" => Some(Field::DrainShare),
        "renew" => Some(Field::Renew),
        "cap-share" => Some(Field::CapShare),
        _ => None,
    }
}

fn in_percent(value: &str) -> Option<Entry> {
    let mut entry = entry_of(Measure::Number, value)?;
    (entry.typed_in, entry.shown_in) = (Unit::Percent, Unit::Percent);
    match entry.value() {
        Ok(Some(share)) => Some(Entry::percent_of(share)),
        _ => Some(entry),
    }
}

fn restore_stock(row: &mut StockRow, key: &str, value: &str) -> Option<()> {
    match key {
        "on" => row.on = value == "1",
        "name" => row.name = value.to_owned(),
        "glycol" => row.glycol = GlycolName::from_code(value)?,
        "percent" => row.percent = entry_of(Measure::Percent, value)?,
        "spread" => row.spread = entry_of(Measure::Points, value)?,
        "have" => row.have = entry_of(Measure::Volume, value)?,
        "family" => row.family = Family::from_code(value),
        "brings" => row.brings = Brings::from_code(value)?,
        "level" => row.level = entry_of(Measure::Level, value)?,
        _ => return None,
    }
    Some(())
}

pub(super) fn place(kind: &str, index: usize, key: &str) -> String {
    [kind, &index.to_string(), ".", key].concat()
}

pub(super) fn entry_text(entry: &Entry) -> String {
    [&entry.typed_in.code(), &entry.shown_in.code(), &entry.typed]
        .map(String::as_str)
        .join("|")
}

pub(super) fn entry_of(measure: Measure, text: &str) -> Option<Entry> {
    let mut parts = text.splitn(3, '|');
    let mut unit = || Unit::from_code(measure, parts.next()?);
    let (typed_in, shown_in) = (unit()?, unit()?);
    Some(Entry {
        typed: parts.next()?.to_owned(),
        typed_in,
        shown_in,
    })
}
