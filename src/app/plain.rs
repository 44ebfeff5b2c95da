//! The card as plain text: for a message, a note, a printer without a browser.

use super::{
    view::{Card, CautionView, SheetView, Standing},
    words,
};

/// The card, line by line.
pub fn text(title: &str, card: &Card) -> String {
    let mut lines = vec![[&words::job_title(title), ": ", &card.loop_name].concat()];
    let headline: String = card.headline.iter().map(|p| p.text.as_str()).collect();
    if card.standing == Standing::OutOfDate {
        lines.push(words::OUT_OF_DATE.to_owned());
    }
    lines.extend(
        card.refusal
            .as_ref()
            .map(|r| [words::NO_PLAN, ": ", &r.text].concat()),
    );
    let said = |c: &CautionView| [c.word, ": ", &c.text].concat();
    let (stops, others): (Vec<_>, Vec<_>) = card.cautions.iter().partition(|c| c.code == "stop");
    lines.extend(stops.into_iter().map(said));
    if let Some(verdict) = &card.verdict {
        for (when, holds) in &verdict.lines {
            lines.push([when, ": ", holds, "."].concat());
        }
        lines.extend(Some(verdict.against.clone()).filter(|a| !a.is_empty()));
    }
    if !headline.is_empty() {
        lines.push([&headline, "."].concat());
    }
    lines.push(String::new());
    for step in &card.steps {
        lines.extend(step.round.clone());
        let tick = if step.done { "[x] " } else { "[ ] " };
        let amount = step
            .amount
            .as_ref()
            .map(|a| [": ", a].concat())
            .unwrap_or_default();
        lines.push(
            [
                tick,
                &step.number.to_string(),
                ". ",
                &step.title,
                &amount,
                " (",
                &step.note,
                ")",
            ]
            .concat(),
        );
    }
    if !card.totals.is_empty() {
        lines.push(card.totals.clone());
    }
    lines.push(String::new());
    if let Some(margins) = &card.margins {
        for row in &margins.rows {
            lines.push(
                [
                    &row.name,
                    ": ",
                    words::NOW,
                    " ",
                    &row.before,
                    ", ",
                    words::AFTER,
                    " ",
                    &row.after,
                ]
                .concat(),
            );
        }
        lines.push(String::new());
    }
    lines.extend(others.into_iter().map(said));
    for standing in words::STANDING {
        lines.push([words::ALWAYS, ": ", standing].concat());
    }
    lines.join("\n")
}

/// The counter sheet, line by line.
pub fn sheet_text(sheet: &SheetView) -> String {
    let mut lines = vec![[words::SHEET, ": ", &sheet.title, ", ", &sheet.date].concat()];
    if sheet.standing == Standing::OutOfDate {
        lines.push(words::OUT_OF_DATE.to_owned());
    }
    if !sheet.words.is_empty() {
        lines.push(sheet.words.clone());
    }
    lines.push(String::new());
    for (name, does) in &sheet.loops {
        lines.push([name, ": ", does, "."].concat());
    }
    lines.push(String::new());
    for take in &sheet.take {
        let mut line = [&take.name, ": ", &take.packs].concat();
        line += &[", ", &take.needed, " ", words::NEEDED_OF].concat();
        if !take.left.is_empty() {
            line += &[", ", &take.left, " ", words::LEFT_OF].concat();
        }
        lines.push(line);
    }
    if !sheet.lines.is_empty() {
        lines.push(String::new());
    }
    for line in &sheet.lines {
        let mut text = line.name.clone();
        if !line.count.is_empty() {
            text += &[", ", &line.count, " × ", &line.each].concat();
        }
        lines.push([&text, ": ", &line.amount].concat());
    }
    for (what, amount) in &sheet.sums {
        lines.push([what, ": ", amount].concat());
    }
    lines.push(String::new());
    lines.extend(sheet.notes.iter().cloned());
    for caution in &sheet.cautions {
        lines.push([caution.word, ": ", &caution.text].concat());
    }
    for standing in words::STANDING {
        lines.push([words::ALWAYS, ": ", standing].concat());
    }
    lines.join("\n")
}

/// The quote as a short message: what to take and what it comes to.
pub fn message(sheet: &SheetView) -> String {
    let mut lines = vec![[words::SHEET, ": ", &sheet.title].concat()];
    for (label, text) in &sheet.facts[..] {
        lines.push([label, ": ", text].concat());
    }
    for take in &sheet.take {
        lines.push([&take.packs, " ", &take.name].concat());
    }
    if !sheet.total.is_empty() {
        lines.push([words::TOTAL, ": ", &sheet.total].concat());
    }
    lines.join("\n")
}
