//! Whole packs: against an exhaustive search, and against an integer-program solver that knows neither the theorem
//! nor the search (`microlp`, a general-purpose simplex with branch and bound).

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use pourcard::engine::{
    fluid::Glycol,
    packs::{
        Choice, Need, Pack, Pourable, Source, Wish, choose,
        cover::{Kind, Sets, lightest},
        share::{settled, stretch},
    },
    quantity::{LabelFraction, in_litres, litres},
};
use proptest::prelude::*;

/// The least weight by trying every count up to `most` of every kind.
fn exhaustive(kinds: &[Kind], needs: &[i64], most: u32) -> Option<i128> {
    fn from(kinds: &[Kind], k: usize, rest: &[i64], most: u32) -> Option<i128> {
        if rest.iter().all(|r| *r <= 0) {
            return Some(0);
        }
        let kind = kinds.get(k)?;
        (0..=most)
            .filter_map(|n| {
                let rest: Vec<i64> = rest
                    .iter()
                    .zip(&kind.gives)
                    .map(|(r, g)| r - i64::from(n) * g)
                    .collect();
                Some(from(kinds, k + 1, &rest, most)? + kind.weight * i128::from(n))
            })
            .min()
    }
    from(kinds, 0, needs, most)
}

/// The same by the solver.
fn by_solver(kinds: &[Kind], needs: &[i64], most: u32) -> Option<i128> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let counts: Vec<Variable> = kinds
        .iter()
        .map(|k| problem.add_integer_var(k.weight as f64, (0, most as i32)))
        .collect();
    for (row, need) in needs.iter().enumerate() {
        let gives: Vec<(Variable, f64)> = counts
            .iter()
            .zip(kinds)
            .map(|(n, k)| (*n, k.gives[row] as f64))
            .collect();
        problem.add_constraint(gives, ComparisonOp::Ge, *need as f64);
    }
    let solution = problem.solve().ok()?.into_solution().ok()?;
    let counts: Vec<i128> = counts
        .iter()
        .map(|n| solution[*n].round() as i128)
        .collect();
    Some(counts.iter().zip(kinds).map(|(n, k)| n * k.weight).sum())
}

fn kinds(rows: usize) -> impl Strategy<Value = Vec<Kind>> {
    let kind = (1..60_i128, prop::collection::vec(0..12_i64, rows))
        .prop_map(|(weight, gives)| Kind { weight, gives });
    prop::collection::vec(kind, 1..5)
}

fn program() -> impl Strategy<Value = (Vec<Kind>, Vec<i64>)> {
    (1..4_usize).prop_flat_map(|rows| (kinds(rows), prop::collection::vec(0..30_i64, rows)))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn no_set_is_lighter((kinds, needs) in program()) {
        let found = lightest(&kinds, &needs);
        // No kind is needed more often than the largest need has units.
        let expected = exhaustive(&kinds, &needs, 29);
        let weight = |counts: &[u32]| -> i128 {
            counts.iter().zip(&kinds).map(|(n, k)| i128::from(*n) * k.weight).sum()
        };
        prop_assert_eq!(found.as_ref().map(|c| weight(&c.counts)), expected);
        prop_assert_eq!(by_solver(&kinds, &needs, 29), expected);
        if let Some(cover) = found {
            prop_assert!(cover.proven);
            // The first of all sets that cover the needs is as light, and those after it are no lighter.
            let sets: Vec<i128> = Sets::of(&kinds, &needs).take(5).map(|counts| weight(&counts)).collect();
            prop_assert_eq!(sets.first(), expected.as_ref());
            prop_assert!(sets.is_sorted());
            for (row, need) in needs.iter().enumerate() {
                let sum: i64 = cover.counts.iter().zip(&kinds).map(|(n, k)| i64::from(*n) * k.gives[row]).sum();
                prop_assert!(sum >= *need);
            }
        }
    }
}

/// A shelf, what is to be poured, and what for.
#[derive(Debug, Clone)]
struct Case {
    sources: Vec<Source>,
    needs: Vec<Need>,
}

fn strength(percent: f64) -> LabelFraction {
    LabelFraction::from_percent(percent).unwrap()
}

fn pack(size: f64, price: i64) -> Pack {
    Pack {
        size: litres(size),
        price,
    }
}

fn source(percent: f64, have: Option<f64>, packs: &[Pack]) -> Source {
    Source {
        glycol: (percent > 0.0).then_some(Glycol::Ethylene),
        strength: strength(percent),
        have: have.map(litres),
        packs: packs.to_vec(),
        poured: litres(0.0),
    }
}

fn need(apart: f64, percent: f64) -> Need {
    Need {
        glycol: Glycol::Ethylene,
        ends: vec![Pourable {
            apart: litres(apart),
            weakest: strength(percent),
            strongest: strength(percent),
        }],
    }
}

fn a_source() -> impl Strategy<Value = Source> {
    let strengths = prop::sample::select(vec![0.0, 33.0, 50.0, 60.0, 100.0]);
    let packs = prop::collection::vec(
        (
            prop::sample::select(vec![0.5, 1.0, 1.5, 4.0, 5.0]),
            100..3000_i64,
        )
            .prop_map(|(s, p)| pack(s, p)),
        0..3,
    );
    let glycol = prop::sample::select(vec![Glycol::Ethylene, Glycol::Propylene]);
    (
        strengths,
        prop::sample::select(vec![0.0, 0.7, 3.0]),
        packs,
        glycol,
    )
        .prop_map(|(percent, have, packs, glycol)| Source {
            glycol: (percent > 0.0).then_some(glycol),
            ..source(percent, Some(have), &packs)
        })
}

fn a_need() -> impl Strategy<Value = Need> {
    let glycol = prop::sample::select(vec![Glycol::Ethylene, Glycol::Propylene]);
    // Half of them are at one strength, half may be anything between two.
    let wide = prop_oneof![Just(0.0), 0.0..40.0];
    (0.2..8.0, 0.0..100.0, wide, glycol).prop_map(|(apart, percent, wide, glycol)| Need {
        glycol,
        ends: vec![Pourable {
            strongest: strength(f64::min(percent + wide, 100.0)),
            ..need(apart, percent).ends[0]
        }],
    })
}

fn a_case() -> impl Strategy<Value = Case> {
    (
        prop::collection::vec(a_source(), 1..6),
        prop::collection::vec(a_need(), 1..4),
    )
        .prop_map(|(sources, needs)| Case { sources, needs })
}

/// The least price by an integer program in which every pass pours so much of every stock: no theorem in it.
fn price_by_solver(case: &Case, spare: f64) -> Option<f64> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let counts: Vec<Vec<Variable>> = case
        .sources
        .iter()
        .map(|s| {
            s.packs
                .iter()
                .map(|p| problem.add_integer_var(p.price as f64, (0, 60)))
                .collect()
        })
        .collect();
    let mut poured: Vec<Vec<Variable>> = vec![Vec::new(); case.sources.len()];
    for need in &case.needs {
        let (mut apart, mut concentrate) = (Vec::new(), Vec::new());
        for (source, poured) in case.sources.iter().zip(&mut poured) {
            if !source.suits(need.glycol) {
                continue;
            }
            let x = problem.add_var(0.0, (0.0, f64::INFINITY));
            let per_litre = source.apart_per_mixed();
            apart.push((x, per_litre));
            concentrate.push((x, per_litre * source.strength.fraction()));
            poured.push(x);
        }
        let end = need.ends[0];
        let litres = in_litres(end.apart);
        problem.add_constraint(apart, ComparisonOp::Eq, litres);
        let (weakest, strongest) = (end.weakest.fraction(), end.strongest.fraction());
        problem.add_constraint(concentrate.clone(), ComparisonOp::Ge, litres * weakest);
        problem.add_constraint(concentrate, ComparisonOp::Le, litres * strongest);
    }
    for ((source, counts), poured) in case.sources.iter().zip(&counts).zip(&poured) {
        let mut row: Vec<(Variable, f64)> = poured.iter().map(|x| (*x, 1.0)).collect();
        row.extend(
            counts
                .iter()
                .zip(&source.packs)
                .map(|(n, p)| (*n, -in_litres(p.size))),
        );
        let there = in_litres(source.have.unwrap()) + spare;
        problem.add_constraint(row, ComparisonOp::Le, there);
    }
    Some(problem.solve().ok()?.into_solution().ok()?.objective())
}

fn price(case: &Case, choice: &Choice) -> i64 {
    case.sources
        .iter()
        .zip(&choice.counts)
        .flat_map(|(s, n)| s.packs.iter().zip(n))
        .map(|(p, n)| p.price * i64::from(*n))
        .sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_cheapest_is_what_the_solver_finds(case in a_case()) {
        let found = choose(&case.sources, &case.needs, Wish::Cheapest);
        // A set may fall short by 0.05 mL, so that the solver must be no dearer without and no cheaper with it.
        let (strict, eased) = (price_by_solver(&case, 0.0), price_by_solver(&case, 1e-3));
        match found {
            None => prop_assert!(strict.is_none(), "the solver pays {strict:?}"),
            Some(choice) => {
                prop_assert!(choice.proven);
                let paid = price(&case, &choice) as f64;
                prop_assert!(eased.is_some_and(|e| e <= paid + 0.01), "paid {paid}, the solver {eased:?}");
                prop_assert!(strict.is_none_or(|s| s >= paid - 0.01), "paid {paid}, the solver {strict:?}");
            }
        }
    }

    #[test]
    fn what_was_chosen_can_be_shared_out(case in a_case()) {
        if let Some(choice) = choose(&case.sources, &case.needs, Wish::Cheapest) {
            let mut left: Vec<_> = case.sources.iter().zip(&choice.counts).map(|(s, n)| {
                let bought: f64 = s.packs.iter().zip(n).map(|(p, n)| in_litres(p.size) * f64::from(*n)).sum();
                // The slack of a set, and what sharing itself rounds.
                Some(litres(in_litres(s.have.unwrap()) + bought + 1e-3))
            }).collect();
            let needs = settled(&case.sources, &left, &case.needs);
            prop_assert!(needs.is_some(), "{:?} of {left:?}", case.needs);
            for (need, asked) in needs.unwrap().iter().zip(&case.needs) {
                let (end, asked) = (need.ends[0], asked.ends[0]);
                let strength = end.weakest.fraction();
                prop_assert!(end.weakest == end.strongest && end.apart == asked.apart);
                prop_assert!(strength >= asked.weakest.fraction() - 1e-9);
                prop_assert!(strength <= asked.strongest.fraction() + 1e-9);
                let amounts = stretch(&case.sources, &left, need);
                prop_assert!(amounts.is_some(), "{need:?} of {left:?}");
                let (mut apart, mut concentrate) = (0.0, 0.0);
                for ((source, left), amount) in case.sources.iter().zip(&mut left).zip(amounts.unwrap()) {
                    let there = in_litres(left.unwrap()) - in_litres(amount);
                    prop_assert!(there > -1e-9);
                    *left = Some(litres(there.max(0.0)));
                    prop_assert!(source.suits(need.glycol) || in_litres(amount) < 1e-12);
                    apart += in_litres(amount) * source.apart_per_mixed();
                    concentrate += in_litres(amount) * source.apart_per_mixed() * source.strength.fraction();
                }
                let wanted = in_litres(end.apart);
                prop_assert!((apart - wanted).abs() < 1e-6);
                prop_assert!((concentrate - wanted * strength).abs() < 1e-4);
            }
        }
    }

    /// Each wish is best in what it asks for, by the exhaustive comparison with the other two.
    #[test]
    fn each_wish_is_best_in_its_own(case in a_case()) {
        let wishes = [Wish::Cheapest, Wish::LeastLeft, Wish::Fewest];
        let found = wishes.map(|w| choose(&case.sources, &case.needs, w));
        prop_assert!(found.iter().all(|f| f.is_some() == found[0].is_some()));
        let [Some(cheapest), Some(least), Some(fewest)] = found else { return Ok(()) };
        let volume = |choice: &Choice| -> f64 {
            case.sources.iter().zip(&choice.counts).flat_map(|(s, n)| s.packs.iter().zip(n))
                .map(|(p, n)| in_litres(p.size) * f64::from(*n)).sum()
        };
        let packs = |choice: &Choice| -> u32 { choice.counts.iter().flatten().sum() };
        for other in [&cheapest, &least, &fewest] {
            prop_assert!(price(&case, &cheapest) <= price(&case, other));
            prop_assert!(volume(&least) <= volume(other) + 1e-9);
            prop_assert!(packs(&fewest) <= packs(other));
        }
    }
}

/// Worked by hand: 8 litres (apart) at 50 %: 4 L of concentrate and 4 L of water, or premix, or both.
#[test]
fn concentrate_against_premix_against_water() {
    let shelf = |concentrate: i64, premix: i64, water: i64| {
        vec![
            source(
                100.0,
                Some(0.0),
                &[pack(1.0, concentrate), pack(5.0, concentrate * 4)],
            ),
            source(50.0, Some(0.0), &[pack(5.0, premix)]),
            source(0.0, Some(0.0), &[pack(5.0, water)]),
        ]
    };
    #[track_caller]
    fn takes_for(apart: f64, sources: &[Source], counts: [&[u32]; 3]) {
        let choice = choose(sources, &[need(apart, 50.0)], Wish::Cheapest).unwrap();
        assert_eq!(choice.counts, counts.map(<[u32]>::to_vec));
    }
    let takes = |sources: &[Source], counts| takes_for(8.0, sources, counts);
    // Two premixes at 12 against four litres of concentrate at 5 and a water at 3.
    takes(&shelf(500, 1200, 300), [&[4, 0], &[0], &[1]]);
    takes(&shelf(500, 1100, 300), [&[0, 0], &[2], &[0]]);
    // Of seven litres, five of premix leave 1 L of concentrate and 1 L of water to be mixed: 13 + 6 + 0.1, against
    // 4·6 + 0.1 without premix and 26 of nothing else.
    takes_for(7.0, &shelf(600, 1300, 10), [&[1, 0], &[1], &[1]]);
    // Water there is enough of.
    let mut free = shelf(500, 1100, 300);
    free[2] = source(0.0, None, &[]);
    takes(&free, [&[4, 0], &[0], &[]]);
}

/// What is there already is used first, and poured stock is gone.
#[test]
fn what_is_there_counts() {
    let mut sources = vec![
        source(100.0, Some(0.5), &[pack(1.0, 900)]),
        source(0.0, None, &[]),
    ];
    let one = choose(&sources, &[need(1.5, 100.0)], Wish::Cheapest).unwrap();
    assert_eq!(one.counts, [vec![1], vec![]]);
    sources[0].poured = litres(0.25);
    let two = choose(&sources, &[need(1.5, 100.0)], Wish::Cheapest).unwrap();
    assert_eq!(two.counts, [vec![2], vec![]]);
    // Poured alone: 1.6 L of it are half a litre there and two packs.
    sources[0].poured = litres(1.6);
    assert_eq!(
        choose(&sources, &[], Wish::Cheapest).unwrap().counts,
        [vec![2], vec![]]
    );
}

/// Two loops that average out are not one: a premix cannot be parted again.
#[test]
fn a_premix_cannot_be_parted() {
    let premix_only = [source(50.0, None, &[])];
    assert!(choose(&premix_only, &[need(4.0, 50.0)], Wish::Cheapest).is_some());
    let apart = [need(2.0, 60.0), need(2.0, 40.0)];
    assert_eq!(choose(&premix_only, &apart, Wish::Cheapest), None);
}

/// Ten thousand loops' worth in packs of three sizes.
#[test]
fn a_fleet_of_loops() {
    let sources = [
        source(
            100.0,
            Some(3.0),
            &[pack(1.0, 690), pack(5.0, 2990), pack(205.0, 98_000)],
        ),
        source(50.0, Some(0.0), &[pack(5.0, 1690), pack(25.0, 7400)]),
        source(0.0, Some(0.0), &[pack(5.0, 350), pack(25.0, 1500)]),
    ];
    let needs: Vec<Need> = (0..10_000)
        .map(|i| need(0.5 + f64::from(i % 97) / 7.0, 40.0 + f64::from(i % 21)))
        .collect();
    for wish in [Wish::Cheapest, Wish::Fewest] {
        assert!(choose(&sources, &needs, wish).unwrap().proven);
    }
    // Sizes that are multiples of each other leave countless sets of nearly the same volume: this one is a good set
    // and says that it may not be the best.
    let least = choose(&sources, &needs, Wish::LeastLeft).unwrap();
    let apart: f64 = needs.iter().map(|n| in_litres(n.ends[0].apart)).sum();
    let volume: f64 = sources
        .iter()
        .zip(&least.counts)
        .flat_map(|(s, n)| s.packs.iter().zip(n))
        .map(|(p, n)| in_litres(p.size) * f64::from(*n))
        .sum();
    assert!(
        volume > apart * 0.99 && volume < apart * 1.001,
        "{volume} of {apart}"
    );
}
