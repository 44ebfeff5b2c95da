//! Temperatures before and after: places, runs, the verdict of each place and its chart.

use pourcard::app::{
    after::{
        self, Much, RunPart, STUDY_PARTS, SpotSide, StudyPart, Surface, ThermostatPlace, When,
        update::{After, List, Ran},
    },
    model::Spot,
    view::{AfterView, SpotChart, SpotView},
    words,
};
use yew::Html;

use super::{
    Context,
    after::{button, details, dot, fields, group, paragraphs, remove, table},
    column::{label, path},
    field::{Size, view_row, view_select, view_spot},
    hand::{Deed, change},
    tag::{nothing, tag, text},
};

/// The survey.
pub fn view_survey(context: &Context, view: &AfterView) -> Vec<Html> {
    let survey = &context.page.model.survey;
    let mut all = vec![text("p", "hint", words::SURVEY_HOW)];
    for i in 0..survey.places.len() {
        all.push(view_place(context, i));
    }
    let mut buttons = tag("p", "buttons");
    if survey.places.is_empty() {
        buttons = buttons.with(button(context, words::USUAL, After::UsualPlaces));
    }
    buttons = buttons.with(button(context, words::ADD_PLACE, After::PlaceAdded));
    all.push(buttons.html());
    all.push(fields(context, vec![Spot::Study(StudyPart::Accuracy)]));
    all.push(view_study(context));
    if survey.places.is_empty() {
        return all;
    }
    let mut counts = [0, 0];
    let mut runs = tag("div", "runs");
    for (i, run) in survey.runs.iter().enumerate() {
        let count = &mut counts[run.kept.when as usize];
        *count += 1;
        let name = words::run_name(run.kept.when, *count);
        runs = runs.with(view_run(context, i, &name));
    }
    all.push(runs.html());
    let add = |words, when| button(context, words, After::RunAdded(when));
    let adds = tag("p", "buttons")
        .with(add(words::ADD_BEFORE, When::Before))
        .with(add(words::ADD_AFTER, When::After));
    all.push(adds.html());
    all.push(if view.spots.is_empty() {
        text("p", "hint", &view.verdicts)
    } else {
        view_verdicts(view)
    });
    all
}

/// A list of the fold: what may be chosen, and what is; blank: not said.
fn view_list(
    context: &Context,
    list: List,
    id: &str,
    heard: &str,
    chosen: &str,
    options: Vec<(&str, &str)>,
) -> Html {
    let owned = options.into_iter();
    let owned: Vec<(String, String)> = owned
        .map(|(code, words)| (code.to_owned(), words.to_owned()))
        .collect();
    view_select(id, heard, chosen, &owned)
        .hand(change(context.send, Deed::ChooseAfter(list)))
        .html()
}

const NOT_SAID: (&str, &str) = ("", words::NOT_SAID);

/// What is stated of all of it, folded away.
fn view_study(context: &Context) -> Html {
    let survey = &context.page.model.survey;
    let mut inside: Vec<Html> = STUDY_PARTS[1..]
        .iter()
        .map(|part| view_spot(context, Spot::Study(part.0), Size::Small))
        .collect();
    for (after, words) in [(false, words::SITS), (true, words::SITS_AFTER)] {
        let mut options = vec![NOT_SAID];
        options.extend(
            ThermostatPlace::ALL
                .iter()
                .map(|&p| (p.text(), words::sits(p))),
        );
        let id = if after { "sits-after" } else { "sits" };
        let chosen = survey.sits[usize::from(after)].map_or("", ThermostatPlace::text);
        inside.push(labelled(
            words,
            id,
            view_list(context, List::Sits(after), id, "", chosen, options),
        ));
    }
    details(words::THERMOSTAT, view_row("row", inside))
}

fn labelled(words: &str, id: &str, list: Html) -> Html {
    tag("div", "field small")
        .with(tag("label", "").set("for", id).text(words).html())
        .with(list)
        .html()
}

fn view_place(context: &Context, i: usize) -> Html {
    let row = &context.page.model.survey.places[i];
    let name = after::file::place_name(&context.page.model.survey, i);
    let numbered = |id: &str| [id, &i.to_string()].concat();
    let heard = |what: &str| [what, ": ", &name].concat();
    let surfaces = Surface::ALL.iter().map(|&s| (s.text(), words::surface(s)));
    let surface = view_list(
        context,
        List::Surface(i),
        &numbered("surface-"),
        &heard(words::SURFACE),
        row.surface().text(),
        surfaces.collect(),
    );
    let mut sides = vec![("", words::SIDE_NOT_SAID)];
    sides.extend(SpotSide::ALL.iter().map(|&s| (s.text(), words::side(s))));
    let side = view_list(
        context,
        List::Side(i),
        &numbered("side-"),
        &heard(words::GOES_BY),
        row.kept.side.map_or("", SpotSide::text),
        sides,
    );
    view_row(
        "row place",
        vec![
            view_spot(context, Spot::Place(i), Size::Small),
            surface,
            side,
            remove(context, &name, After::PlaceRemoved(i)),
        ],
    )
}

fn view_run(context: &Context, i: usize, name: &str) -> Html {
    let at = |part| Spot::Run(i, part);
    let places = &context.page.model.survey.places;
    let mut told = vec![at(RunPart::Ambient), at(RunPart::Minutes)];
    // What an infrared thermometer needs, and no gauge.
    if places.iter().any(|row| row.surface() != Surface::Gauge) {
        told.extend([at(RunPart::Setting), at(RunPart::Reflected)]);
    }
    let places = 0..places.len();
    // Each keeps what was unfolded in it, whatever is added.
    tag("details", "run")
        .key(&i.to_string())
        .flag("open", true)
        .with(text("summary", "", name))
        .with(group(
            name,
            vec![
                fields(context, told),
                fields(context, places.map(|k| at(RunPart::Shown(k))).collect()),
                view_ran(context, i),
                remove(context, name, After::RunRemoved(i)),
            ],
        ))
        .html()
}

/// What a run belongs to and what it ran with, folded away.
fn view_ran(context: &Context, i: usize) -> Html {
    let run = &context.page.model.survey.runs[i];
    let mut inside: Vec<Html> = [RunPart::Pair, RunPart::Stop]
        .map(|part| view_spot(context, Spot::Run(i, part), Size::Small))
        .into();
    for (k, ran) in Ran::ALL.into_iter().enumerate() {
        let mut options = vec![NOT_SAID];
        options.extend(Much::ALL.iter().map(|&m| (m.text(), words::much(m))));
        let id = ["ran-", &i.to_string(), "-", &k.to_string()].concat();
        let chosen = ran.of(&run.kept).map_or("", Much::text);
        inside.push(labelled(
            words::ran(ran),
            &id,
            view_list(context, List::Ran(i, ran), &id, "", chosen, options),
        ));
    }
    details(words::RAN, view_row("row", inside))
}

fn view_verdicts(view: &AfterView) -> Html {
    let verdicts = view.spots.iter().map(|spot| {
        tag("li", "")
            .set("data-verdict", spot.code)
            .with(view_place_chart(spot))
            .html()
    });
    let rows = view.spots.iter().map(|spot| {
        let mut row = vec![spot.name.clone()];
        row.extend(spot.row.clone());
        row
    });
    tag("div", "survey")
        .with(text("p", "says", &view.verdicts))
        .each(paragraphs("says", &view.notes))
        .with(tag("ul", "verdicts").each(verdicts.collect()).html())
        .with(details(
            words::AS_TABLE,
            table(
                &[words::SPOT, words::BEFORE, words::AFTER, words::CHANGE],
                rows.collect(),
            ),
        ))
        .html()
}

/// A place: its verdict in words, and its chart under it.
pub fn view_place_chart(spot: &SpotView) -> Html {
    let verdict = tag("figcaption", "")
        .with(text("b", "", &spot.name))
        .text(": ")
        .text(&spot.verdict)
        .html();
    tag("figure", "spot")
        .with(verdict)
        .with(spot.chart.as_ref().map_or(nothing(), view_chart))
        .html()
}

fn view_chart(chart: &SpotChart) -> Html {
    let x = |at: i32| 12 + at * 316 / 1000;
    let mut parts = vec![path("axis", &[("M", 12), (" ", 46), ("H", 328)])];
    for ((side, class), y) in chart.sides.iter().zip(["dot before", "dot"]).zip([12, 32]) {
        if let Some((low, high)) = side.range {
            let (low, high) = (x(low), x(high));
            parts.push(path(
                "sure",
                &[
                    ("M", low),
                    (" ", y - 5),
                    ("v", 10),
                    ("m0 ", -5),
                    ("H", high),
                    ("m0 ", -5),
                    ("v", 10),
                ],
            ));
        }
        parts.extend(side.dots.iter().map(|&at| dot(class, x(at), y)));
    }
    for (end, (class, at)) in chart
        .scale
        .iter()
        .zip([("scale-end", 12), ("scale-end high", 328)])
    {
        parts.push(label(class, at, 62, end));
    }
    tag("svg", "")
        .set("viewBox", "0 0 340 68")
        .set("role", "img")
        .set("aria-label", &chart.words)
        .each(parts)
        .html()
}
