//! The fold of packs, prices and money.

use pourcard::app::{
    action::Action,
    choice::{DoseBy, Per, RoundBy, Wish},
    counter::{self, Deal, Owner, Place},
    desk::{Desk, DeskAction},
    model::Spot,
    prices::{self, ArticleKind},
    view, words,
};
use yew::Html;

use super::{
    Context,
    choice::{Chip, view_chips},
    field::{Size, view_row, view_select, view_spot},
    folds::MONEY,
    hand::{Deed, change},
    head::{view_button, view_link, view_named},
    questions::view_aside,
    shelf::view_choice,
    tag::{nothing, tag, text},
};

/// The fold's inside.
pub fn view_counter(context: &Context, desk: &Desk) -> Vec<Html> {
    let model = &context.page.model;
    let counter = &model.counter;
    let mut list = vec![text("p", "hint", words::PACKS_HINT)];
    if model.shelf.iter().all(|row| !row.on) {
        list.push(text("p", "hint", words::PACKS_NO_SHELF));
    }
    for (i, row) in model.shelf.iter().enumerate().filter(|(_, row)| row.on) {
        let digest = view::stock_digest(row);
        list.push(view_packs(context, Owner::Stock(i), &row.name, &digest));
    }
    let lp = model.current();
    if lp.dose != DoseBy::None {
        let name = match lp.additive_name.trim() {
            "" => words::ADDITIVE,
            name => name,
        };
        list.push(view_packs(context, Owner::Additive, name, ""));
    }
    let wish = counter.wish.unwrap_or(Wish::Cheapest);
    let deal = |deal| Action::Dealt(deal);
    let wishes = Wish::ALL.iter().map(|w| {
        (
            w.text(),
            words::wish(*w),
            *w == wish,
            deal(Deal::Wished(*w)),
        )
    });
    list.push(view_chips(
        context,
        "wish",
        words::WISH,
        true,
        wishes.collect(),
    ));
    list.push(text("h3", "", words::MONEY));
    list.push(view_places(context, &[Place::Currency, Place::Tax]));
    if !counter.tax.is_blank() {
        let tax: Vec<Chip> = vec![
            (
                "top",
                words::TAX_ON_TOP,
                !counter.tax_included,
                deal(Deal::TaxIncluded(false)),
            ),
            (
                "in",
                words::TAX_INCLUDED,
                counter.tax_included,
                deal(Deal::TaxIncluded(true)),
            ),
        ];
        list.push(view_chips(context, "tax-in", words::TAX_IN, true, tax));
    }
    let by = counter.round_by.unwrap_or(RoundBy::Nearest);
    let rounding = RoundBy::ALL.iter().map(|r| {
        (
            r.text(),
            words::round_by(*r),
            *r == by,
            deal(Deal::RoundedBy(*r)),
        )
    });
    let rounding: Vec<Chip> = rounding.collect();
    let digest = view::money_digest(counter);
    list.push(view_aside(context, MONEY, words::MORE, &digest, &|| {
        vec![
            view_decimals(context, counter.decimals),
            view_chips(context, "round-by", words::ROUND_BY, true, rounding.clone()),
            view_places(context, &[Place::RoundTo]),
        ]
    }));
    list.push(view_places(context, &[Place::Hours, Place::Labour]));
    list.push(text("h3", "", words::CHARGES));
    for i in 0..counter.charges.len() {
        list.push(view_charge(
            context,
            i,
            counter.charges[i].per.unwrap_or(Per::Job),
        ));
    }
    list.push(view_link(
        context,
        words::ADD_CHARGE,
        Deed::Act(deal(Deal::ChargeAdded)),
    ));
    list.push(text("h3", "", words::ON_SHEET));
    list.push(view_place(context, Place::Words));
    for i in 0..counter::RECORD {
        list.push(view_place(context, Place::Paper(i)));
    }
    list.push(view_place(context, Place::Date));
    list.push(view_prices(context, desk));
    list
}

/// What the service record says of the vehicle and the work.
pub fn view_vehicle(context: &Context) -> Html {
    let fields =
        (counter::RECORD..counter::PAPERS.len()).map(|i| view_place(context, Place::Paper(i)));
    tag("section", "list")
        .with(text("h3", "", words::VEHICLE))
        .with(view_row("row", fields.collect()))
        .html()
}

/// The price list: its articles to take, and files in and out.
fn view_prices(context: &Context, desk: &Desk) -> Html {
    let file = tag("input", "")
        .set("type", "file")
        .set("accept", ".csv,text/csv,text/plain")
        .hand(change(context.send, Deed::ImportPrices));
    let button = |words: &str, deed: Deed| view_button(context, "plain-button", words, deed);
    let mut buttons = tag("p", "buttons").with(
        tag("label", "plain-button file")
            .with(file.html())
            .text(words::IMPORT_PRICES)
            .html(),
    );
    if let Some(record) = desk.price_record() {
        buttons = buttons
            .with(button(
                words::EXPORT_PRICES,
                Deed::Save(words::PRICES_NAME, record),
            ))
            .with(button(
                words::EMPTY_PRICES,
                Deed::Desk(DeskAction::PricesEmptied),
            ));
    }
    let report = &desk.price_report;
    let mut told = Vec::new();
    if !report.missing.is_empty() {
        told.push(words::missing_columns(&report.missing));
    }
    told.extend(report.refused.iter().map(words::refused_row));
    if !report.passed_over.is_empty() {
        told.push(words::passed_over(&report.passed_over));
    }
    let report_is_empty = told.is_empty();
    let told = told.iter().map(|line| text("li", "", line)).collect();
    let currency = &context.page.model.counter.currency;
    let mut rows = Vec::new();
    for packs in prices::articles(&desk.prices) {
        let packs: Vec<_> = packs.iter().map(|&i| desk.prices[i].clone()).collect();
        rows.push(view_article(context, packs, currency));
    }
    tag("section", "prices")
        .with(text("h3", "", words::PRICE_LIST))
        .with(text("p", "hint", words::PRICE_LIST_HINT))
        .with(tag("ul", "articles").each(rows).html())
        .with(buttons.html())
        .with(
            tag("div", "report")
                .set("role", "status")
                .with(if report_is_empty {
                    nothing()
                } else {
                    tag("ul", "").each(told).html()
                })
                .html(),
        )
        .html()
}

fn view_article(context: &Context, packs: Vec<prices::Article>, currency: &str) -> Html {
    let article = &packs[0];
    let take = match article.kind {
        ArticleKind::Additive => words::TAKE_ADDITIVE,
        ArticleKind::Coolant(..) | ArticleKind::Water => words::TAKE_ARTICLE,
    };
    let sizes: Vec<String> = packs.iter().map(|p| p.in_words(currency)).collect();
    let line = tag("li", "").with(
        tag("span", "job-title")
            .text(&article.name)
            .with(text("span", "pack-of", &sizes.join(", ")))
            .html(),
    );
    let name = article.name.clone();
    let deal = Action::Dealt(Deal::ArticleTaken(packs));
    line.with(view_named(context, take, &name, Deed::Act(deal)))
        .html()
}

fn view_place(context: &Context, place: Place) -> Html {
    view_spot(context, Spot::Counter(place), Size::Small)
}

fn view_places(context: &Context, places: &[Place]) -> Html {
    let fields = places.iter().map(|p| view_place(context, *p)).collect();
    view_row("row", fields)
}

/// A stock's or an additive's packs, a row each.
fn view_packs(context: &Context, owner: Owner, name: &str, digest: &str) -> Html {
    let add = match owner {
        Owner::Stock(_) => words::ADD_PACK,
        Owner::Additive => words::ADD_BOTTLE,
    };
    let mut rows = Vec::new();
    for i in 0..counter::packs(&context.page.model, owner).len() {
        let remove = view_remove(context, name, Deal::PackRemoved(owner, i));
        rows.push(
            tag("li", "pack")
                .with(view_place(context, Place::PackSize(owner, i)))
                .with(view_place(context, Place::PackPrice(owner, i)))
                .with(remove)
                .html(),
        );
    }
    let deal = Action::Dealt(Deal::PackAdded(owner));
    tag("section", "packs")
        .with(
            tag("h3", "")
                .text(name)
                .with(text("span", "pack-of", digest))
                .html(),
        )
        .with(tag("ul", "").each(rows).html())
        .with(view_named(context, add, name, Deed::Act(deal)))
        .html()
}

fn view_remove(context: &Context, of: &str, deal: Deal) -> Html {
    view_named(context, words::REMOVE, of, Deed::Act(Action::Dealt(deal)))
}

fn view_decimals(context: &Context, chosen: Option<u32>) -> Html {
    let chosen = chosen.unwrap_or(counter::USUAL_DECIMALS);
    let chips = [("0", 0), ("1", 1), ("2", 2), ("3", 3)];
    let chips = chips.map(|(code, n)| {
        (
            code,
            code,
            n == chosen,
            Action::Dealt(Deal::DecimalsChosen(n)),
        )
    });
    view_chips(context, "decimals", words::DECIMALS, true, chips.to_vec())
}

fn view_charge(context: &Context, i: usize, per: Per) -> Html {
    let id = ["charge-per-", &i.to_string()].concat();
    let options: Vec<_> = Per::ALL
        .iter()
        .map(|p| (p.text().to_owned(), words::per(*p).to_owned()))
        .collect();
    let select =
        view_select(&id, "", per.text(), &options).hand(change(context.send, Deed::ChoosePer(i)));
    tag("div", "pack")
        .with(view_place(context, Place::ChargeName(i)))
        .with(view_place(context, Place::ChargeAmount(i)))
        .with(view_choice(&id, words::CHARGED_PER, select))
        .with(view_remove(context, words::CHARGE, Deal::ChargeRemoved(i)))
        .html()
}
