//! The quote, below the card.

use pourcard::app::{
    desk::{Desk, DeskAction},
    plain,
    view::{LineView, SheetView, Standing, TakeView},
    words,
};
use yew::Html;

use super::{
    Context,
    card::{view_always, view_caution_list},
    hand::Deed,
    head::view_button,
    link::view_code,
    tag::{nothing, tag, text},
};
use crate::browser::clipboard;

/// The sheet.
pub fn view_sheet(context: &Context, desk: &Desk, sheet: &SheetView) -> Html {
    let standing = match sheet.standing {
        Standing::Blank => "blank",
        Standing::Fresh => "fresh",
        Standing::OutOfDate => "out-of-date",
    };
    let head = tag("div", "card-head")
        .with(
            tag("h2", "")
                .set("id", "sheet-title")
                .text(words::SHEET)
                .with(text("span", "card-loop", &sheet.title))
                .html(),
        )
        .with(text("p", "", &sheet.date));
    tag("section", "card sheet")
        .set("id", "sheet")
        .set("aria-labelledby", "sheet-title")
        .set("data-standing", standing)
        .with(head.html())
        .with(match sheet.standing {
            Standing::Blank => text("p", "blank", words::SHEET_BLANK),
            Standing::OutOfDate => text("p", "out-of-date", words::OUT_OF_DATE),
            Standing::Fresh => nothing(),
        })
        .with(if sheet.standing == Standing::Blank {
            nothing()
        } else {
            view_body(context, desk, sheet)
        })
        .html()
}

fn view_body(context: &Context, desk: &Desk, sheet: &SheetView) -> Html {
    let notes = sheet.notes.iter().map(|n| text("li", "", n)).collect();
    tag("div", "card-body")
        .with(if sheet.words.is_empty() {
            nothing()
        } else {
            text("p", "sheet-words", &sheet.words)
        })
        .with(view_facts(sheet))
        .with(view_loops(sheet))
        .with(view_take(&sheet.take))
        .with(
            tag("div", "sheet-foot")
                .with(view_bill(sheet))
                .with(match desk.link() {
                    Some(link) if sheet.standing == Standing::Fresh => view_code(link),
                    _ => nothing(),
                })
                .html(),
        )
        .with(tag("ul", "sheet-notes").each(notes).html())
        .with(view_caution_list(
            &sheet.cautions.iter().collect::<Vec<_>>(),
        ))
        .with(view_always())
        .with(text("p", "note", words::SHEET_NOTE))
        .with(view_buttons(context, sheet))
        .html()
}

/// Phone, number, until when it holds.
fn view_facts(sheet: &SheetView) -> Html {
    if sheet.facts.is_empty() {
        return nothing();
    }
    let mut rows = Vec::new();
    for (label, words) in &sheet.facts {
        rows.push(text("dt", "", label));
        rows.push(text("dd", "", words));
    }
    tag("dl", "sheet-loops").each(rows).html()
}

fn view_loops(sheet: &SheetView) -> Html {
    let mut rows = Vec::new();
    for (name, does) in &sheet.loops {
        rows.push(text("dt", "", name));
        rows.push(text("dd", "", does));
    }
    tag("dl", "sheet-loops").each(rows).html()
}

/// What to take: the packs big, for a hand that runs down them.
fn view_take(take: &[TakeView]) -> Html {
    let mut rows = Vec::new();
    for one in take {
        let mut note = [&one.needed, " ", words::NEEDED_OF].concat();
        if !one.left.is_empty() {
            note += &[", ", &one.left, " ", words::LEFT_OF].concat();
        }
        let bought = one.packs != words::FROM_SHELF;
        rows.push(
            tag("li", "step take")
                .with(
                    tag("div", "step-line")
                        .with(
                            tag("p", "what-title")
                                .text(&one.name)
                                .with(text("span", "pack-of", &one.kind))
                                .html(),
                        )
                        .with(text(
                            "p",
                            if bought { "amount" } else { "note" },
                            &one.packs,
                        ))
                        .html(),
                )
                .with(text("p", "note", &note))
                .html(),
        );
    }
    tag("section", "sheet-take")
        .with(text("h3", "", words::SHEET_TAKE))
        .with(if take.is_empty() {
            text("p", "note", words::NOTHING_TO_TAKE)
        } else {
            tag("ul", "steps").each(rows).html()
        })
        .html()
}

fn view_bill(sheet: &SheetView) -> Html {
    if sheet.lines.is_empty() {
        return nothing();
    }
    let mut rows: Vec<Html> = sheet.lines.iter().map(view_line).collect();
    let last = sheet.sums.len().saturating_sub(1);
    for (i, (what, amount)) in sheet.sums.iter().enumerate() {
        let class = if i == last { "total" } else { "sum" };
        rows.push(
            tag("tr", class)
                .with(
                    tag("th", "")
                        .set("scope", "row")
                        .set("colspan", "2")
                        .text(what)
                        .html(),
                )
                .with(text("td", "", amount))
                .html(),
        );
    }
    tag("table", "bill")
        .with(text("caption", "aside", words::PRICE))
        .with(tag("tbody", "").each(rows).html())
        .html()
}

fn view_line(line: &LineView) -> Html {
    let count = if line.count.is_empty() {
        String::new()
    } else {
        [&line.count, "\u{a0}× ", &line.each].concat()
    };
    tag("tr", "")
        .with(tag("th", "").set("scope", "row").text(&line.name).html())
        .with(text("td", "count", &count))
        .with(text("td", "", &line.amount))
        .html()
}

fn view_buttons(context: &Context, sheet: &SheetView) -> Html {
    let button = |words: &str, deed: Deed| view_button(context, "plain-button", words, deed);
    let plain = plain::sheet_text(sheet);
    let share = if clipboard::can_share() {
        let title = [words::SHEET, ": ", &sheet.title].concat();
        button(words::SEND, Deed::Share(title, plain.clone()))
    } else {
        nothing()
    };
    tag("p", "card-foot")
        .with(button(words::PRINT_SHEET, Deed::Print("sheet")))
        .with(button(
            words::COPY,
            Deed::Copy(plain, DeskAction::SheetCopied),
        ))
        .with(share)
        .with(
            tag("a", "plain-button")
                .set("href", &clipboard::message(&plain::message(sheet)))
                .text(words::SEND_MESSAGE)
                .html(),
        )
        .html()
}
