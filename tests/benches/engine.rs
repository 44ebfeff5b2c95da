//! How long the engine's single questions take. `cargo bench --bench engine`.
#![allow(missing_docs, clippy::unwrap_used)] // a bench, not a library

use criterion::{Criterion, criterion_group, criterion_main};
use pourcard::app::{action::Action, field::Field, import, model::Spot, page::Page, saved, view};
use pourcard::engine::fluid::Glycol::{Ethylene, Propylene};
use pourcard::engine::heat;
use pourcard::engine::property::*;
use pourcard::engine::quantity::{LabelFraction, MassFraction, celsius, kilopascals, metres};
use pourcard::engine::reading::{Instrument, composition, expected};
use pourcard::job::file::{Do, Done, Quantity};
use pourcard::job::fleet::Fleet;
use pourcard::job::properties::answer_csv;
use pourcard::job::record::Field as _;
use pourcard::job::units::VolumeUnit;
use std::hint::black_box;

fn percent(p: f64) -> LabelFraction {
    LabelFraction::from_percent(p).unwrap()
}

fn properties(c: &mut Criterion) {
    let mut group = c.benchmark_group("property");
    let (s, t) = (percent(43.7), celsius(61.3));
    group.bench_function("density", |b| {
        b.iter(|| density(Ethylene, black_box(s), black_box(t)))
    });
    group.bench_function("specific_heat", |b| {
        b.iter(|| specific_heat(Ethylene, black_box(s), black_box(t)))
    });
    group.bench_function("conductivity", |b| {
        b.iter(|| conductivity(Ethylene, black_box(s), black_box(t)))
    });
    group.bench_function("viscosity", |b| {
        b.iter(|| viscosity(Ethylene, black_box(s), black_box(t)))
    });
    group.bench_function("specific_gravity", |b| {
        b.iter(|| specific_gravity(Ethylene, black_box(s), black_box(t)))
    });
    let cool = celsius(23.0);
    group.bench_function("refractive_index", |b| {
        b.iter(|| refractive_index(Propylene, black_box(s), black_box(cool)))
    });
    group.bench_function("freezing_point", |b| {
        b.iter(|| freezing_point(Ethylene, black_box(s)))
    });
    group.bench_function("mass_fraction", |b| {
        b.iter(|| mass_fraction(Ethylene, black_box(s)))
    });
    group.bench_function("air_pressure", |b| {
        b.iter(|| air_pressure(black_box(metres(1234.0))))
    });
    let p = kilopascals(187.0);
    group.bench_function("water_saturation_temperature", |b| {
        b.iter(|| water_saturation_temperature(black_box(p)))
    });
    group.bench_function("film_vs_water", |b| {
        b.iter(|| heat::film_vs_water(Ethylene, black_box(s), black_box(t)))
    });
    group.finish();
}

fn bubble_point(c: &mut Criterion) {
    let mut group = c.benchmark_group("bubble_point");
    for (name, glycol, p) in [
        ("ethylene_50", Ethylene, 50.0),
        ("ethylene_85", Ethylene, 85.0),
        ("propylene_50", Propylene, 50.0),
    ] {
        let (s, pressure) = (percent(p), kilopascals(211.0));
        group.bench_function(name, |b| {
            b.iter(|| boiling_point(glycol, black_box(s), black_box(pressure)))
        });
    }
    group.finish();
}

fn inverses(c: &mut Criterion) {
    let mut group = c.benchmark_group("inverse");
    let t = celsius(-27.0);
    group.bench_function("strength_for_freezing", |b| {
        b.iter(|| strength_for_freezing(Ethylene, black_box(t)))
    });
    let w = MassFraction::new(0.437).unwrap();
    group.bench_function("label_fraction", |b| {
        b.iter(|| label_fraction(Ethylene, black_box(w)))
    });
    let warm = celsius(23.0);
    for (name, instrument) in [
        ("frost_scale", Instrument::FreezingPoint),
        ("gravity", Instrument::SpecificGravity(warm)),
        ("refractive_index", Instrument::RefractiveIndex(warm)),
        ("brix", Instrument::Brix(warm)),
    ] {
        let shown = expected(Ethylene, percent(43.7), instrument).unwrap();
        group.bench_function(name, |b| {
            b.iter(|| composition(Ethylene, black_box(&shown)))
        });
    }
    group.finish();
}

fn bulk(c: &mut Criterion) {
    let mut rows = String::from("glycol,basis,percent,temperature_c,pressure_kpa,property\n");
    for i in 0..1000 {
        rows += &format!("ethylene,volume,{},60,,density\n", f64::from(i) * 0.09);
    }
    c.bench_function("bulk/1000 rows of density", |b| {
        b.iter(|| answer_csv(black_box(&rows)))
    });
}

/// The demo job read, answered and written: one loop with a draw, a dose and a pour.
fn whole_answer(c: &mut Criterion) {
    let text = include_str!("../../data/demo/bakery_van.json");
    let job = pourcard::job::read(text).unwrap();
    c.bench_function("answer/one loop", |b| {
        b.iter(|| pourcard::job::answer(black_box(&job)))
    });
    c.bench_function("answer/file to text", |b| {
        b.iter(|| pourcard::job::answer_text(black_box(text)))
    });
}

/// Every golden job read, planned and answered: one of each way there is, and two loops from one short jug.
fn ways(c: &mut Criterion) {
    let mut group = c.benchmark_group("way");
    group.sample_size(20);
    group.measurement_time(std::time::Duration::from_secs(2));
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let job = pourcard::job::read(&std::fs::read_to_string(&path).unwrap()).unwrap();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        group.bench_function(name, |b| b.iter(|| pourcard::job::answer(black_box(&job))));
    }
    group.finish();
}

/// What the search for the least plan finds hard: renewals with a short stock, a top-up of two, packs, a short shelf.
fn hard(c: &mut Criterion) {
    let mut group = c.benchmark_group("hard");
    group.sample_size(20);
    for (name, text) in [
        ("renewal", include_str!("../cases/W1_renew_waste.json")),
        (
            "renewal to the edge",
            include_str!("../cases/R1_renew_refused.json"),
        ),
        (
            "top-up of two",
            include_str!("../cases/D1_topup_ignored.json"),
        ),
        ("short stock", include_str!("../cases/N1_limit_large.json")),
        ("rounds", include_str!("../cases/G_premix_rounds.json")),
        ("packs", include_str!("../cases/P1_dearer_set.json")),
        ("one short shelf", include_str!("../cases/SH1_split.json")),
    ] {
        let job = pourcard::job::read(text).unwrap();
        group.bench_function(name, |b| b.iter(|| pourcard::job::answer(black_box(&job))));
    }
    group.finish();
}

/// A letter typed, without a browser: the answer, the card as it is shown, the record that is kept.
fn page(c: &mut Criterion) {
    let text = include_str!("../../data/demo/bakery_van.json");
    let page = Page::new(import::model(&pourcard::job::read(text).unwrap()));
    let typed = || Action::Typed(Spot::Loop(Field::Volume), "8.45".to_owned());
    let mut group = c.benchmark_group("page");
    group.bench_function("typed to answer", |b| {
        b.iter(|| black_box(&page).act(typed()))
    });
    group.bench_function("card", |b| b.iter(|| view::card(black_box(&page))));
    group.bench_function("record", |b| {
        b.iter(|| saved::encode(black_box(&page.model)))
    });
    group.finish();
}

/// Fleets: from ten rows to ten thousand, so that the cost can be seen to grow in proportion.
fn fleet(c: &mut Criterion) {
    let job = pourcard::job::read(include_str!("../../data/demo/orchard_fleet.json")).unwrap();
    let table = include_str!("../../data/demo/orchard_fleet.csv");
    let (head, rows) = table.split_once('\n').unwrap();
    let rows: Vec<&str> = rows.lines().collect();
    let mut group = c.benchmark_group("fleet");
    group.sample_size(10);
    for count in [10, 100, 1_000, 10_000] {
        let mut text = head.to_owned();
        for row in rows.iter().cycle().take(count) {
            text += "\n";
            text += row;
        }
        group.throughput(criterion::Throughput::Elements(count as u64));
        group.bench_function(format!("{count} loops"), |b| {
            b.iter(|| Fleet::planned(black_box(&job), text.clone()).unwrap().csv())
        });
    }
    group.finish();
}

/// What is slow to answer: nobody knows what is in it, and everything is sold in packs. From one to many, so that the
/// cost can be seen to grow in proportion.
fn loops(c: &mut Criterion) {
    let text = include_str!("../golden/unknown.json");
    let mut job = pourcard::job::read(text).unwrap();
    let priced = pourcard::job::read(include_str!("../../data/demo/orchard_fleet.json")).unwrap();
    let packs = priced.shelf.iter().map(|stock| &stock.packs);
    let packs = packs.max_by_key(|packs| packs.len()).unwrap().clone();
    for stock in &mut job.shelf {
        stock.packs = packs.clone();
    }
    let one = job.loops[0].clone();
    let mut group = c.benchmark_group("loops");
    group.sample_size(10);
    for count in [1, 16, 64] {
        job.loops = vec![one.clone(); count];
        group.throughput(criterion::Throughput::Elements(count as u64));
        group.bench_function(format!("{count} of unknown mix, with packs"), |b| {
            b.iter(|| pourcard::job::answer(black_box(&job)))
        });
    }
    group.finish();
}

/// As many entries as a loop may have: the plan is worked out again after each.
fn entries(c: &mut Criterion) {
    let text = include_str!("../../data/demo/bakery_van.json");
    let mut job = pourcard::job::read(text).unwrap();
    let most = pourcard::job::limits::DONE.high as usize;
    let mut group = c.benchmark_group("entries");
    group.sample_size(10);
    for count in [most / 10, most] {
        job.loops[0].done = vec![
            Done {
                id: "1".to_owned(),
                step: Some(Do::Draw),
                amount: Some(Quantity {
                    value: 0.05,
                    unit: VolumeUnit::L,
                }),
                ..Done::blank()
            };
            count
        ];
        group.throughput(criterion::Throughput::Elements(count as u64));
        group.bench_function(format!("{count} draws"), |b| {
            b.iter(|| pourcard::job::answer(black_box(&job)))
        });
    }
    group.finish();
}

criterion_group!(
    benches,
    properties,
    bubble_point,
    inverses,
    bulk,
    whole_answer,
    ways,
    hard,
    page,
    fleet,
    loops,
    entries
);
criterion_main!(benches);
