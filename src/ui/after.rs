//! The fold of afterwards: the re-reading, levels, spots, the record.

use pourcard::app::{
    action::Action,
    after::{self, LevelPart, update::After},
    choice::ReadingBy,
    desk::Desk,
    model::Spot,
    view::{self, AfterView, Finding, Plot},
    words,
};
use yew::Html;

use super::{
    Context,
    choice::{chips, view_chips},
    column::path,
    field::{Size, view_row, view_spot},
    hand::Deed,
    head::{view_button, view_named},
    tag::{nothing, tag, text},
};

pub(super) fn button(context: &Context, words: &str, what: After) -> Html {
    view_button(
        context,
        "plain-button",
        words,
        Deed::Act(Action::After(what)),
    )
}

pub(super) fn remove(context: &Context, of: &str, what: After) -> Html {
    view_named(context, words::REMOVE, of, Deed::Act(Action::After(what)))
}

pub(super) fn fields(context: &Context, spots: Vec<Spot>) -> Html {
    let fields = spots.into_iter();
    view_row(
        "row",
        fields.map(|s| view_spot(context, s, Size::Small)).collect(),
    )
}

pub(super) fn paragraphs(class: &'static str, lines: &[String]) -> Vec<Html> {
    lines.iter().map(|line| text("p", class, line)).collect()
}

fn list(name: &'static str, class: &'static str, lines: &[String]) -> Html {
    let items = lines.iter().map(|line| text("li", "", line)).collect();
    tag(name, class).each(items).html()
}

pub(super) fn details(summary: &str, inside: Html) -> Html {
    tag("details", "all-margins")
        .with(text("summary", "", summary))
        .with(inside)
        .html()
}

/// All of it.
pub fn view_after(context: &Context, desk: &Desk, view: &AfterView) -> Vec<Html> {
    let mut all = vec![text("h3", "", words::BACK)];
    all.extend(view_back(context, view));
    all.push(text("h3", "", words::LEVELS));
    all.extend(view_levels(context, view));
    all.push(text("h3", "", words::SURVEY));
    all.extend(super::survey::view_survey(context, view));
    all.extend(super::logs::view_logs(context, desk.logs.as_ref()));
    if !view.why.is_empty() {
        all.push(details(words::WHY_THIS, list("ul", "whys", &view.why)));
    }
    if !view.record.is_empty() {
        all.push(view_record(context, view));
    }
    all
}

fn view_back(context: &Context, view: &AfterView) -> Vec<Html> {
    let by = after::instrument(context.page.model.current());
    let instruments = chips(
        &[
            ReadingBy::Percent,
            ReadingBy::Frost,
            ReadingBy::Gravity,
            ReadingBy::Index,
            ReadingBy::Brix,
        ],
        Some(by),
        |by| Action::After(After::BackBy(by)),
    );
    let field = view.fields.iter().enumerate().map(|(i, spot)| {
        let size = if i == 0 { Size::Big } else { Size::Small };
        view_spot(context, spot.clone(), size)
    });
    let found = view.finding.as_ref();
    vec![
        text("p", "should", &view.should),
        view_chips(context, "back-by", words::BACK_BY, false, instruments),
        view_row("row lead", field.collect()),
        found.map_or(nothing(), |finding| view_finding(context, finding)),
        view.was
            .as_ref()
            .map_or(nothing(), |was| text("p", "hint", was)),
    ]
}

fn view_finding(context: &Context, finding: &Finding) -> Html {
    let class = if finding.good {
        "caution note"
    } else {
        "caution mind"
    };
    let mut block = tag("div", class)
        .set("id", "finding")
        .with(tag("p", "").with(text("b", "", &finding.heading)).html());
    if !finding.causes.is_empty() {
        block =
            block
                .with(text("p", "", words::CAUSES))
                .with(list("ol", "causes", &finding.causes));
    }
    block = block.each(paragraphs("", &finding.lines));
    if let Some(then) = &finding.then {
        block = block.with(text("p", "", then));
    }
    if !finding.good {
        let mut buttons = tag("p", "buttons");
        if let Some(take) = &finding.take {
            buttons = buttons.with(button(context, take, After::Taken(true)));
        }
        let plan_on = button(context, words::PLAN_ON, After::Taken(false));
        block = block.with(buttons.with(plan_on).html());
    }
    block.html()
}

pub(super) fn group(name: &str, inside: Vec<Html>) -> Html {
    tag("fieldset", "look")
        .with(text("legend", "", name))
        .each(inside)
        .html()
}

fn view_levels(context: &Context, view: &AfterView) -> Vec<Html> {
    let lp = context.page.model.current();
    let mut all = vec![text("p", "hint", words::LEVELS_HOW)];
    for (i, look) in lp.levels.iter().enumerate() {
        let parts = [
            LevelPart::Date,
            LevelPart::Missing,
            LevelPart::At,
            after::read_part(lp, look),
            LevelPart::Added,
        ];
        let spots = parts.map(|part| Spot::Level(i, part));
        let name = words::look_name(i);
        all.push(group(
            &name,
            vec![
                fields(context, spots.to_vec()),
                remove(context, &name, After::LevelRemoved(i)),
            ],
        ));
    }
    let add = button(context, words::ADD_LEVEL, After::LevelAdded);
    all.push(tag("p", "buttons").with(add).html());
    all.extend(paragraphs("says", &view.levels));
    all.extend(view.plot.as_ref().map(view_plot));
    all
}

fn view_plot(plot: &Plot) -> Html {
    let (mut last, mut parts) = ((0, 0), vec![path("axis", &[("M", 8), (" 10H", 332)])]);
    for (i, (across, down)) in plot.points.iter().enumerate() {
        let (x, y) = (12 + across * 316 / 1000, 10 + down * 90 / 1000);
        if i > 0 {
            parts.push(path(
                "course",
                &[("M", last.0), (" ", last.1), ("L", x), (" ", y)],
            ));
        }
        last = (x, y);
    }
    for (across, down) in &plot.points {
        parts.push(dot("dot", 12 + across * 316 / 1000, 10 + down * 90 / 1000));
    }
    let drawing = tag("svg", "")
        .set("viewBox", "0 0 340 110")
        .set("role", "img")
        .set("aria-label", words::LEVEL_PLOT);
    let rows = plot.rows.iter();
    let rows = rows.map(|(day, lost)| vec![day.clone(), lost.clone()]);
    tag("figure", "plot")
        .with(text("figcaption", "", words::LEVEL_PLOT))
        .with(drawing.each(parts).html())
        .with(details(
            words::AS_TABLE,
            table(&[words::LEVEL_DAY, words::LEVEL_LOST], rows.collect()),
        ))
        .html()
}

pub(super) fn table(heads: &[&str], rows: Vec<Vec<String>>) -> Html {
    let head = heads
        .iter()
        .map(|words| tag("th", "").set("scope", "col").text(words).html());
    let mut lines = vec![tag("tr", "").each(head.collect()).html()];
    for row in rows {
        let cells = row.iter().enumerate().map(|(i, cell)| match i {
            0 => tag("th", "").set("scope", "row").text(cell).html(),
            _ => text("td", "", cell),
        });
        lines.push(tag("tr", "").each(cells.collect()).html());
    }
    tag("table", "")
        .with(tag("tbody", "").each(lines).html())
        .html()
}

pub(super) fn dot(class: &'static str, x: i32, y: i32) -> Html {
    tag("circle", class)
        .set("cx", &x.to_string())
        .set("cy", &y.to_string())
        .set("r", "5")
        .html()
}

fn view_record(context: &Context, view: &AfterView) -> Html {
    let title = view::field(context.page, &Spot::Title);
    let title = if title.text.trim().is_empty() {
        title.placeholder
    } else {
        title.text
    };
    let mut inside = tag("div", "record").with(text("h3", "record-title", &title));
    for (heading, lines) in &view.record {
        inside = inside
            .with(text("h4", "", heading))
            .each(paragraphs("", lines));
    }
    let charts = view.spots.iter().filter(|s| s.chart.is_some());
    inside = inside.each(charts.map(super::survey::view_place_chart).collect());
    let print = view_button(
        context,
        "plain-button",
        words::PRINT_RECORD,
        Deed::Print("record"),
    );
    tag("details", "all-margins record-fold")
        .with(text("summary", "", words::RECORD))
        .with(inside.html())
        .with(tag("p", "buttons").with(print).html())
        .html()
}
