//! The true volume from a re-reading: the trade's formula, an independent balance, Monte Carlo.

use super::near;
use crate::{common::Balance, normals::Normals};
use pourcard::engine::after::check_back::{
    Cause, Finding, NoVolume, Product, Start, Told, Went, causes, on_other_scale, shown,
};
use pourcard::engine::fluid::Glycol;
use pourcard::engine::mix::{Blend, Carrier};
use pourcard::engine::quantity::{LabelFraction, Measured, celsius, in_litres, litres};
use pourcard::engine::reading::{Instrument, Reading, Strength, composition};
use pourcard::job::file::GlycolName;

fn percent(p: f64) -> LabelFraction {
    LabelFraction::from_percent(p).unwrap()
}

/// A product whose label is right.
fn sure(p: f64) -> Product {
    Product {
        stock: p as usize,
        strength: percent(p),
        plus_minus: 0.0,
    }
}

fn read(p: f64, plus_minus: f64) -> Strength {
    Strength {
        value: percent(p),
        plus_minus: plus_minus / 100.0,
    }
}

fn told(volume: f64, before: Strength, went: &[Went]) -> Told<'_> {
    Told {
        blend: Blend::of(Glycol::Ethylene),
        volume: Measured {
            value: litres(volume),
            plus_minus: litres(0.05 * volume),
        },
        start: Start::BelowMark(litres(0.0)),
        held: litres(volume),
        level_plus_minus: litres(0.0),
        before,
        additive: litres(0.0),
        carrier: Carrier::Water,
        went,
        step: litres(0.05),
    }
}

/// V = d(s − c1)/(c2 − c1). It lets volumes add without shrinking, which the mass balance does not: 1 %.
#[test]
fn the_trades_formula_is_the_simple_case() {
    for (d, s, c1, c2) in [
        (4.0, 100.0, 0.0, 50.0),
        (2.0, 100.0, 30.0, 45.0),
        (3.0, 0.0, 60.0, 40.0),
        (4.2, 100.0, 0.0, 43.75),
    ] {
        let went = [Went::Drew(litres(d)), Went::Poured(litres(d), sure(s))];
        let told = told(8.0, read(c1, 0.2), &went);
        let found = told.true_volume(read(c2, 0.2)).unwrap();
        let simple = d * (s - c1) / (c2 - c1);
        near(in_litres(found.value) / simple, 1.0, 0.01);
    }
}

/// First order by the simple formula's own derivatives: dV/V = dc2/(c2 − c1) and dc1 (1/(c2 − c1) − 1/(s − c1)). With
/// readings good to 0.8 points that is at most 11 % on a change of 10 points and 6 % on 20.
#[test]
fn its_range_is_as_wide_as_the_formula_says() {
    for (change, most) in [(10.0, 0.113), (20.0, 0.057)] {
        let d = 8.0 * change / 60.0;
        let went = [Went::Drew(litres(d)), Went::Poured(litres(d), sure(100.0))];
        let mut told = told(8.0, read(40.0, 0.8), &went);
        told.step = litres(0.001);
        let found = told.true_volume(read(40.0 + change, 0.8)).unwrap();
        let half = in_litres(found.high - found.low) / 2.0 / in_litres(found.value);
        let (first, second) = (0.8 / change - 0.8 / 60.0, 0.8 / change);
        near(half, f64::hypot(first, second), 0.004);
        assert!(half < most, "{half}");
    }
}

/// Two rounds with a dose between, through a balance in kilograms: what the balance holds is what is found again.
#[test]
fn all_rounds_count() {
    for (book, real) in [(8.4, 9.6), (8.4, 7.9), (24.0, 20.0)] {
        let mut balance = Balance::empty(GlycolName::Ethylene);
        balance.pour(real - 0.6, 12.0);
        balance.draw(3.0);
        balance.additive_l += 0.2;
        balance.pour(3.2, 100.0);
        balance.draw(2.5);
        balance.pour(2.7, 50.0);
        let went = [
            Went::Drew(litres(3.0)),
            Went::Dosed(litres(0.2)),
            Went::Poured(litres(3.2), sure(100.0)),
            Went::Drew(litres(2.5)),
            Went::Poured(litres(2.7), sure(50.0)),
        ];
        let mut told = told(book, read(12.0, 1.0), &went);
        told.start = Start::BelowMark(litres(0.6));
        told.held = litres(book - 0.6);
        let found = told.true_volume(read(balance.percent(), 1.0)).unwrap();
        near(in_litres(found.value), real, 1e-4);
        assert!(found.low < found.value && found.value < found.high);
    }
}

/// After a flush the reading tells what stayed behind, and with what was poured the volume.
#[test]
fn a_flush_tells_what_stayed_behind() {
    let mut balance = Balance::empty(GlycolName::Ethylene);
    balance.pour(2.6, 0.0);
    balance.pour(4.2, 100.0);
    balance.pour(1.1, 50.0);
    let went = [
        Went::Poured(litres(4.2), sure(100.0)),
        Went::Poured(litres(1.1), sure(50.0)),
    ];
    let mut told = told(7.2, read(0.0, 0.0), &went);
    told.start = Start::LeftBehind;
    told.held = litres(1.9);
    let found = told.true_volume(read(balance.percent(), 1.0)).unwrap();
    near(in_litres(found.held), 2.6, 1e-4);
    near(in_litres(found.value), balance.litres(), 1e-4);
    let list = causes(
        &told,
        &percent_reading(balance.percent()),
        read(balance.percent(), 1.0),
        Some(true),
    );
    assert_eq!(list[0], Cause::LeftBehind);
}

fn percent_reading(p: f64) -> Reading {
    Reading::Percent {
        strength: percent(p),
        plus_minus: None,
    }
}

/// The litres before that lead to `after`, by halving, through the balance in kilograms.
fn solved(before: f64, drawn: f64, poured: f64, after: f64) -> f64 {
    let (mut low, mut high) = (drawn + 1e-6, 1000.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        let mut balance = Balance::empty(GlycolName::Ethylene);
        balance.pour(middle, before);
        balance.draw(drawn);
        balance.pour(poured, 100.0);
        if balance.percent() > after {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// JCGM 101:2008: the readings and amounts redrawn, the volume solved by the independent balance each time; the range
/// is where 95 % of them lie, to within a twentieth of its own width, lopsided as they are.
#[test]
fn its_range_is_monte_carlos() {
    for (before, after, pm, drawn, poured) in [
        (42.0, 52.0, 1.0, 1.5, 1.5),
        (0.0, 43.75, 1.0, 4.2, 4.2),
        (20.0, 45.0, 2.0, 3.0, 3.2),
    ] {
        let mut normals = Normals::from(7);
        let step = 0.05;
        let mut found: Vec<f64> = (0..6000)
            .map(|_| {
                let mut off = |u: f64| u * normals.next();
                let b = if before > 0.0 {
                    before + off(pm / 2.0)
                } else {
                    0.0
                };
                solved(
                    b.max(0.0),
                    drawn + off(step / 4.0),
                    poured + off(step / 4.0),
                    after + off(pm / 2.0),
                )
            })
            .collect();
        found.sort_by(f64::total_cmp);
        let at = |share: f64| found[(share * found.len() as f64) as usize];
        let went = [
            Went::Drew(litres(drawn)),
            Went::Poured(litres(poured), sure(100.0)),
        ];
        let first = read(before, if before > 0.0 { pm } else { 0.0 });
        let told = told(9.0, first, &went);
        let range = told.true_volume(read(after, pm)).unwrap();
        let width = at(0.975) - at(0.025);
        // Two standard uncertainties are 95.4 %, not 95.
        near(in_litres(range.low), at(0.0228), 0.05 * width);
        near(in_litres(range.high), at(0.9772), 0.05 * width);
    }
}

#[test]
fn too_small_a_change_is_refused_and_says_how_much_would_do() {
    let went = [
        Went::Drew(litres(0.4)),
        Went::Poured(litres(0.4), sure(100.0)),
    ];
    let told_small = told(8.4, read(48.0, 2.0), &went);
    let Err(NoVolume::TooSmall { changed, needed }) = told_small.true_volume(read(50.0, 2.0))
    else {
        panic!("{:?}", told_small.true_volume(read(50.0, 2.0)))
    };
    near(changed, 0.02, 1e-9);
    assert!((0.10..0.13).contains(&needed), "{needed}");
    // So much change does do, and a tenth less does not.
    for (share, does) in [(1.03, true), (0.9, false)] {
        let d = 8.4 * share * needed / 0.52;
        let went = [Went::Drew(litres(d)), Went::Poured(litres(d), sure(100.0))];
        let mut more = told(8.4, read(48.0, 2.0), &went);
        more.step = litres(0.001);
        let after = read(more.expected().value.percent(), 2.0);
        assert_eq!(more.true_volume(after).is_ok(), does, "{share}");
    }
    // Moved the wrong way, beyond what the instruments can be off: no volume does that.
    assert_eq!(
        told_small.true_volume(read(30.0, 2.0)),
        Err(NoVolume::Unexplained)
    );
    assert_eq!(
        told(8.4, read(48.0, 2.0), &[]).true_volume(read(50.0, 2.0)),
        Err(NoVolume::NothingBefore)
    );
}

#[test]
fn likely_causes_come_first() {
    let went = [
        Went::Drew(litres(4.2)),
        Went::Poured(litres(4.2), sure(100.0)),
    ];
    let told = told(8.4, read(0.0, 0.0), &went);
    let expected = told.expected();
    assert_eq!(
        Finding::of(expected, expected.value, read(49.5, 1.0)),
        Finding::AsPlanned
    );
    let weak = read(43.75, 1.0);
    assert_eq!(Finding::of(expected, expected.value, weak), Finding::Weaker);
    let first = |ran| causes(&told, &percent_reading(43.75), weak, ran)[0];
    assert_eq!(first(Some(true)), Cause::Volume);
    assert_eq!(first(Some(false)), Cause::NotMixed);
    // A volume three times the book's is less likely than a mix that was not run.
    let far = read(16.0, 1.0);
    assert_eq!(
        causes(&told, &percent_reading(16.0), far, None)[0],
        Cause::NotMixed
    );
    // Read on the other glycol's scale: propylene mix of 50 % on a scale drawn for ethylene.
    let index = shown(
        Glycol::Propylene,
        read(50.0, 0.0),
        percent(50.0),
        Instrument::RefractiveIndex(celsius(20.0)),
        None,
    )
    .unwrap()[1];
    let on_ethylene = composition(Glycol::Ethylene, &index).unwrap().value;
    let back = on_other_scale(Glycol::Propylene, &percent_reading(on_ethylene.percent())).unwrap();
    near(back.percent(), 50.0, 0.01);
}
