//! The folds: everything that is not one of the four questions.

use pourcard::app::{
    action::Pick,
    choice::{CapAge, Choice, DoseBy, DrainBy, EarlierDose, Kind, LimitBy, RateBy, TankBy},
    desk::Desk,
    field::Field,
    model::Spot,
    view, words,
};
use yew::{Html, html};

use super::{
    Context,
    choice::{Chips, view_chips},
    field::{Size, view_row, view_spot},
    jobs::view_jobs,
};

/// All of them.
pub fn view_folds(context: &Context, desk: &Desk) -> Html {
    let (tank, additive) = view::fold_digest(&context.page);
    html! {
        <section class="folds" aria-label={words::FOLDS}>
            { view_fold(words::FOLD_TANK, tank, view_tank(context)) }
            { view_fold(words::FOLD_ADDITIVE, additive, view_additive(context)) }
            { view_fold(words::FOLD_JOBS, String::new(), view_jobs(context, desk)) }
        </section>
    }
}

fn view_fold(name: &'static str, digest: String, inside: Html) -> Html {
    html! {
        <details class="fold">
            <summary><span class="fold-name">{ name }</span><span class="fold-digest">{ digest }</span></summary>
            <div class="fold-inside">{ inside }</div>
        </details>
    }
}

fn field(context: &Context, field: Field) -> Html {
    view_spot(context, Spot::Loop(field), Size::Small)
}

fn chips<C: Copy>(
    name: &'static str,
    legend: &'static str,
    options: &'static [C],
    chosen: C,
) -> Chips<'static, C> {
    Chips {
        name,
        legend,
        seen: true,
        options,
        chosen: Some(chosen),
    }
}

fn view_tank(context: &Context) -> Html {
    let lp = context.page.model.current();
    html! {
        <>
            { view_chips(context, &chips("drain", words::GROUP_DRAIN, DrainBy::ALL, lp.drain), Pick::Drain) }
            { match lp.drain {
                DrainBy::Volume => view_row("", vec![field(context, Field::DrawLimit)]),
                DrainBy::Share => view_row("", vec![field(context, Field::DrainShare)]),
                DrainBy::Tap | DrainBy::TapAndBlock | DrainBy::Dry => Html::default(),
            } }
            { view_chips(context, &chips("tank", words::GROUP_TANK, TankBy::ALL, lp.tank), Pick::Tank) }
            { view_row("", vec![field(context, Field::TankRoom), field(context, Field::FillTemperature)]) }
            { view_chips(context, &chips("cap-age", words::GROUP_CAP, CapAge::ALL, lp.cap_age), Pick::CapAge) }
            if lp.cap_age == CapAge::Own {
                { view_row("", vec![field(context, Field::CapShare)]) }
            }
            { view_row("", vec![field(context, Field::Cap), field(context, Field::Altitude), field(context, Field::OtherCap)]) }
            <h3>{ words::GROUP_HEAT }</h3>
            { view_row("", vec![field(context, Field::Peak), field(context, Field::Running)]) }
            <h3>{ words::GROUP_LIMITS }</h3>
            { view_row("", vec![field(context, Field::Low), field(context, Field::High), field(context, Field::MeasureStep)]) }
            { view_row("", vec![view_spot(context, Spot::LoopName, Size::Small)]) }
            { view_chips(context, &chips("kind", words::KIND, Kind::ALL, lp.kind), Pick::Kind) }
        </>
    }
}

fn view_additive(context: &Context) -> Html {
    let lp = context.page.model.current();
    let dose = chips("dose", words::FOLD_ADDITIVE, DoseBy::ALL, lp.dose);
    html! {
        <>
            { view_chips(context, &Chips { seen: false, ..dose }, Pick::Dose) }
            if lp.dose == DoseBy::Some {
                { view_row("", vec![view_spot(context, Spot::AdditiveName, Size::Small)]) }
                { view_chips(context, &chips("rate", words::GROUP_RATE, RateBy::ALL, lp.rate), Pick::Rate) }
                { view_row("", rate_fields(lp.rate).iter().map(|f| field(context, *f)).collect()) }
                { view_chips(context, &chips("limit", words::GROUP_LIMIT, limits(lp.rate, lp.limit), lp.limit), Pick::Limit) }
                { view_row("", limit_fields(lp.limit).iter().map(|f| field(context, *f)).collect()) }
                { view_chips(context, &chips("earlier", words::GROUP_EARLIER, EarlierDose::ALL, lp.earlier), Pick::Earlier) }
                if lp.earlier == EarlierDose::Amount {
                    { view_row("", vec![field(context, Field::Already)]) }
                }
                { view_row("", vec![field(context, Field::DoseStep)]) }
            }
        </>
    }
}

const fn rate_fields(rate: RateBy) -> &'static [Field] {
    match rate {
        RateBy::Ratio => &[Field::RateRatio],
        RateBy::Percent => &[Field::RatePercent],
        RateBy::OneIn | RateBy::OneTo => &[Field::RateParts],
        RateBy::Bottle => &[Field::BottleSize, Field::TreatsFrom, Field::TreatsTo],
        RateBy::Level => &[Field::LevelNow, Field::LevelAim, Field::LevelRaises],
    }
}

/// The forms a limit may have beside a rate; one kept from a file only where there is one.
fn limits(rate: RateBy, limit: LimitBy) -> &'static [LimitBy] {
    use LimitBy::{Kept, Level, None, OneIn, OneTo, Percent, Ratio};
    match (rate == RateBy::Level, limit == Kept) {
        (false, false) => &[Ratio, Percent, OneIn, OneTo, None],
        (true, false) => &[Level, Ratio, Percent, OneIn, OneTo, None],
        (_, true) => LimitBy::ALL,
    }
}

const fn limit_fields(limit: LimitBy) -> &'static [Field] {
    match limit {
        LimitBy::None | LimitBy::Kept => &[],
        LimitBy::Ratio => &[Field::LimitRatio],
        LimitBy::Percent => &[Field::LimitPercent],
        LimitBy::OneIn | LimitBy::OneTo => &[Field::LimitParts],
        LimitBy::Level => &[Field::LimitLevel],
    }
}
