//! Logs of drives: files chosen, handed to the thread in the background, and what it makes of them.

use std::cell::RefCell;

use pourcard::app::{
    desk::DeskAction,
    logs::{LogChart, LogsAction, LogsDesk, LogsView, order},
    words,
};
use web_sys::HtmlInputElement;
use yew::Html;

use super::{
    Context,
    after::{details, paragraphs},
    column::label,
    hand::{Deed, Send, change},
    head::view_button,
    tag::{tag, text},
};
use crate::browser::background::Background;

thread_local! {
    /// The thread, once logs were chosen. It keeps the files, so that they can be compared again.
    static THREAD: RefCell<Option<Background>> = const { RefCell::new(None) };
}

/// Hands the files chosen in `input` to the thread; with none, those it has are compared again.
pub fn hand_over(send: &Send, order: &str, after: bool, input: Option<&HtmlInputElement>) {
    let done = THREAD.with_borrow_mut(|thread| {
        if thread.is_none() {
            let send = send.clone();
            *thread = Background::start(move |told| {
                send.emit(DeskAction::Logs(
                    told.map_or(LogsAction::Failed, |(text, _)| LogsAction::Told(text)),
                ));
            });
        }
        let files = input.and_then(HtmlInputElement::files);
        thread.as_ref()?.send_files(order, files.as_ref(), after)
    });
    let action = done.map_or(LogsAction::Failed, |()| LogsAction::Asked);
    send.emit(DeskAction::Logs(action));
}

/// The part of the fold.
pub fn view_logs(context: &Context, desk: Option<&LogsDesk>) -> Vec<Html> {
    let model = &context.page.model;
    let order = order(&model.survey, model.system);
    let file = |words: &str, after: bool| {
        let input = tag("input", "table-in")
            .set("type", "file")
            .set("multiple", "")
            .set("accept", ".csv,.tsv,.txt,text/csv,text/plain")
            .hand(change(context.send, Deed::ChooseLogs(order.clone(), after)));
        tag("label", "plain-button file")
            .with(input.html())
            .text(words)
            .html()
    };
    let mut buttons = tag("p", "buttons")
        .with(file(words::LOGS_BEFORE, false))
        .with(file(words::LOGS_AFTER, true));
    if desk.is_some() {
        buttons = buttons.with(view_button(
            context,
            "plain-button",
            words::LOGS_AGAIN,
            Deed::CompareLogs(order),
        ));
    }
    let mut all = vec![
        text("h3", "", words::LOGS),
        text("p", "hint", words::LOGS_HOW),
        buttons.html(),
    ];
    match desk {
        None => {}
        Some(LogsDesk::Reading) => all.push(text("p", "hint", words::LOGS_READING)),
        Some(LogsDesk::Failed) => all.push(text("p", "hint", words::LOGS_FAILED)),
        Some(LogsDesk::Read(view)) => all.extend(view_read(view)),
    }
    all
}

fn view_read(view: &LogsView) -> Vec<Html> {
    let mut all = paragraphs("says", &view.verdicts);
    all.extend(paragraphs("says", &view.notes));
    all.extend(view.charts.iter().map(view_chart));
    let files = tag("div", "").each(paragraphs("", &view.files)).html();
    all.push(details(words::LOGS_FILES, files));
    all
}

fn view_chart(chart: &LogChart) -> Html {
    let mut parts: Vec<Html> = chart
        .paths
        .iter()
        .map(|p| {
            tag("path", "")
                .set("class", &p.class)
                .set("d", &p.course)
                .html()
        })
        .collect();
    let places = [
        ("scale-end", 44, 124),
        ("scale-end high", 334, 124),
        ("scale-end high", 42, 106),
        ("scale-end high", 42, 16),
    ];
    for (end, (class, x, y)) in chart.ends.iter().zip(places) {
        parts.push(label(class, x, y, end));
    }
    tag("figure", "plot")
        .with(text("figcaption", "", &chart.words))
        .with(
            tag("svg", "")
                .set("viewBox", "0 0 340 130")
                .set("role", "img")
                .set("aria-label", &chart.words)
                .each(parts)
                .html(),
        )
        .html()
}
