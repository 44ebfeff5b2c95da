//! The fleet: a table chosen, its plans shown, the table of plans handed out.

use gloo::timers::callback::Timeout;
use pourcard::app::{
    desk::{Desk, DeskAction},
    fleet::{
        FleetAction, FleetDesk,
        message::{FleetView, RowView},
    },
    words,
};
use yew::Html;

use super::{
    Context,
    field::view_more,
    hand::{Deed, Send, change, click},
    head::view_button,
    tag::{nothing, several, tag, text},
};
use crate::browser::{self, background::Background};

/// Where the part of the page is found.
const PLACE: &str = "fleet";

fn did(action: FleetAction) -> Deed {
    Deed::Desk(DeskAction::Fleet(action))
}

/// The button in the jobs' fold.
pub fn view_fleet_door(context: &Context, desk: &Desk) -> Html {
    let shown = desk.fleet.is_some();
    tag("p", "buttons")
        .with(
            tag("button", "plain-button")
                .set("type", "button")
                .set("aria-expanded", if shown { "true" } else { "false" })
                .text(words::FLEET_OPEN)
                .hand(click(context.send, did(FleetAction::Shown(!shown))))
                .html(),
        )
        .html()
}

/// The part of the page; nothing where it is closed.
pub fn view_fleet(context: &Context, desk: &Desk) -> Html {
    let Some(fleet) = &desk.fleet else {
        return nothing();
    };
    let button = |words: &str, action| view_button(context, "plain-button", words, did(action));
    let file = tag("input", "table-in")
        .set("type", "file")
        .set(
            "accept",
            ".csv,.tsv,.txt,text/csv,text/tab-separated-values,text/plain",
        )
        .hand(change(context.send, Deed::ChooseTable));
    let mut buttons = tag("p", "buttons").with(
        tag("label", "plain-button file")
            .with(file.html())
            .text(words::FLEET_CHOOSE)
            .html(),
    );
    let view = fleet.view.as_ref();
    if fleet.running {
        buttons = buttons.with(button(words::FLEET_STOP, FleetAction::Stopped));
    } else if view.is_some() {
        buttons = buttons.with(button(words::FLEET_EXPORT, FleetAction::Wanted));
    }
    buttons = buttons.with(view_button(
        context,
        "plain-button",
        words::FLEET_TEMPLATE,
        Deed::Save(
            words::FLEET_TEMPLATE_NAME,
            words::FLEET_TEMPLATE_IS.to_owned(),
        ),
    ));
    buttons = buttons.with(button(words::CLOSE, FleetAction::Shown(false)));
    let mut part = tag("section", "fleet")
        .set("id", PLACE)
        .set("aria-labelledby", "fleet-title")
        .set("tabindex", "-1")
        .with(
            tag("h2", "")
                .set("id", "fleet-title")
                .text(words::FLEET)
                .html(),
        )
        .with(text("p", "hint", words::FLEET_IS))
        .with(text("p", "hint", words::FLEET_COLUMNS))
        .with(buttons.html())
        .with(view_told(fleet, view));
    if let Some(view) = view {
        part = part
            .with(view_totals(view))
            .with(view_plans(context, view))
            .with(view_report(view));
    }
    part.html()
}

/// How far it is, or why the table is refused.
fn view_told(fleet: &FleetDesk, view: Option<&FleetView>) -> Html {
    let mut told = tag("p", "fleet-told").set("role", "status");
    if let Some(why) = &fleet.refused {
        told = told.with(tag("span", "error").text(why).html());
    }
    if let Some(view) = view {
        // Said once when it begins and once when it is done, not at every slice.
        let words = if fleet.running {
            words::FLEET_RUNNING
        } else {
            &view.told
        };
        told = told.text(&[&fleet.name, ": ", words].concat());
    }
    let progress = match view {
        Some(view) if fleet.running => tag("progress", "")
            .set("aria-label", words::FLEET_PROGRESS)
            .set("max", "100")
            .set("value", &view.percent.to_string())
            .html(),
        _ => nothing(),
    };
    several(vec![told.html(), progress])
}

fn view_totals(view: &FleetView) -> Html {
    if view.totals.is_empty() {
        return nothing();
    }
    let lines = view
        .totals
        .iter()
        .flat_map(|total| [text("dt", "", &total.name), text("dd", "", &total.amount)]);
    tag("section", "fleet-totals")
        .with(text("h3", "", words::FLEET_TOTALS))
        .with(tag("dl", "").each(lines.collect()).html())
        .html()
}

fn view_plans(context: &Context, view: &FleetView) -> Html {
    if view.rows.is_empty() {
        return nothing();
    }
    let turn = |words: &str, first: Option<u32>| match first {
        Some(first) => view_button(
            context,
            "plain-button",
            words,
            did(FleetAction::Turned(first)),
        ),
        None => nothing(),
    };
    let mut head = Vec::new();
    for words in &view.headings {
        head.push(tag("th", "").set("scope", "col").text(words).html());
    }
    head.push(
        tag("th", "")
            .set("scope", "col")
            .with(view_more(words::OPEN))
            .html(),
    );
    let columns = view.headings.len() - 2;
    let rows = view
        .rows
        .iter()
        .map(|row| view_row(context, row, columns))
        .collect();
    tag("div", "")
        .with(
            tag("div", "fleet-table")
                .set("role", "region")
                .set("aria-label", words::FLEET_PLANS)
                .set("tabindex", "0")
                .with(
                    tag("table", "")
                        .with(
                            tag("thead", "")
                                .with(tag("tr", "").each(head).html())
                                .html(),
                        )
                        .with(tag("tbody", "").each(rows).html())
                        .html(),
                )
                .html(),
        )
        .with(
            tag("p", "buttons")
                .with(text("span", "hint", &view.range))
                .with(turn(words::FLEET_EARLIER, view.earlier))
                .with(turn(words::FLEET_LATER, view.later))
                .html(),
        )
        .html()
}

fn view_row(context: &Context, row: &RowView, columns: usize) -> Html {
    let mut line = tag("tr", if row.wrong { "wrong" } else { "" })
        .key(&row.line)
        .with(text("td", "", &row.line))
        .with(tag("th", "").set("scope", "row").text(&row.name).html());
    for cell in &row.cells {
        let cell = tag("td", "").text(cell);
        let cell = if row.wrong {
            cell.set("colspan", &columns.to_string())
        } else {
            cell
        };
        line = line.with(cell.html());
    }
    let open = if row.opens {
        tag("button", "link")
            .set("type", "button")
            .text(words::OPEN)
            .with(view_more(&[" ", &row.name].concat()))
            .hand(click(context.send, Deed::OpenRow(row.place)))
            .html()
    } else {
        nothing()
    };
    line.with(tag("td", "").with(open).html()).html()
}

fn view_report(view: &FleetView) -> Html {
    if view.report.is_empty() {
        return nothing();
    }
    let mut lines: Vec<Html> = view
        .report
        .iter()
        .map(|line| text("li", "", line))
        .collect();
    if view.more > 0 {
        lines.push(text("li", "", &words::fleet_more(view.more as usize)));
    }
    tag("section", "fleet-report")
        .with(text("h3", "", words::FLEET_REPORT))
        .with(tag("ul", "").each(lines).html())
        .html()
}

/// The planner, once there is something for it to do.
pub type Planner = Option<Background>;

/// What the browser does beside drawing once the desk has taken an action: brings the part into sight, hands out the
/// file, and sends the planner its orders.
pub fn follow(send: &Send, planner: &mut Planner, action: Option<&FleetAction>, desk: &mut Desk) {
    match action {
        Some(FleetAction::Shown(true)) => {
            // Once it is drawn.
            Timeout::new(0, || _ = browser::go_to(PLACE)).forget();
        }
        Some(FleetAction::Failed) => *planner = None,
        _ => {}
    }
    let Some(fleet) = &mut desk.fleet else {
        *planner = None;
        return;
    };
    if let Some(csv) = fleet.csv() {
        // Denied: nothing is lost, it is still here.
        let _ = browser::file::save(words::FLEET_FILE, "text/csv;charset=utf-8", &csv);
    }
    for (order, table) in fleet.orders() {
        if planner.is_none() {
            *planner = start(send);
        }
        let sent = planner
            .as_ref()
            .and_then(|planner| planner.send(&order, table.as_deref()));
        if sent.is_none() {
            // Not at once: an action is being taken.
            let send = send.clone();
            Timeout::new(0, move || {
                send.emit(DeskAction::Fleet(FleetAction::Failed));
            })
            .forget();
        }
    }
}

fn start(send: &Send) -> Planner {
    let send = send.clone();
    Background::start(move |told| {
        send.emit(DeskAction::Fleet(match told {
            Some((told, csv)) => FleetAction::Told(told, csv),
            None => FleetAction::Failed,
        }));
    })
}
