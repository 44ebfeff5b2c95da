//! The fleet as a whole: slices, sums, packs.

use super::{FLEET, common, many, orchard, plan, planned, report, rows_of, unsold};
use pourcard::job::{file::*, fleet::*};

#[test]
fn slices_come_to_the_same() {
    let (job, table) = (orchard(), many(120));
    let whole = planned(&job, &table);
    let mut fleet = Fleet::new(&job, table).unwrap();
    let mut last = 0.0;
    while fleet.step(7) {
        assert!(fleet.progress() > last && fleet.progress() <= 1.0);
        last = fleet.progress();
    }
    assert_eq!((fleet.rows, fleet.sums), (whole.rows, whole.sums));
}

#[test]
fn stopped_it_keeps_what_it_has() {
    let mut fleet = Fleet::new(&orchard(), many(120)).unwrap();
    fleet.step(30);
    fleet.stop();
    assert!(!fleet.step(30));
    assert_eq!(fleet.rows.len(), 30);
    assert!(
        report(&fleet)[0].contains("stopped"),
        "{:?}",
        report(&fleet)
    );
    assert_eq!(fleet.cut, Some(Cut::Stopped));
    says_it_is_cut(&fleet, 30);
}

/// The table out ends with a line that says so, and with no sums; neither are there any in the report.
fn says_it_is_cut(fleet: &Fleet, rows: usize) {
    let table = rows_of(&fleet.csv(), fleet.separator().byte());
    assert_eq!(table.len(), 1 + rows + 1);
    let last = &table[rows + 1];
    assert_eq!(last[1], "INCOMPLETE");
    let told = fleet.cut.unwrap().words();
    assert_eq!(last[2], told);
    assert!(
        last.iter().all(|cell| cell.parse::<f64>().is_err()),
        "{last:?}"
    );
    assert!(!table.iter().any(|row| row[1] == "All" || row[1] == "Buy"));
    let summary = fleet.summary();
    assert!(summary[1].contains(&told), "{summary:?}");
    assert!(
        !summary.iter().any(|line| line.starts_with("draw ")),
        "{summary:?}"
    );
}

/// Rows that are refused are quick, and rows all the same.
#[test]
fn a_table_of_more_rows_than_are_read_says_so() {
    let table = |rows: usize| ["volume,now\n", &"x,x\n".repeat(rows)].concat();
    let whole = planned(&orchard(), &table(MOST_ROWS));
    assert_eq!((whole.rows.len(), whole.cut), (MOST_ROWS, None));
    let cut = planned(&orchard(), &table(MOST_ROWS + 1));
    assert_eq!((cut.rows.len(), cut.cut), (MOST_ROWS, Some(Cut::MostRows)));
    says_it_is_cut(&cut, MOST_ROWS);
}

#[test]
fn the_orchard_s_fleet() {
    let fleet = planned(&orchard(), FLEET);
    assert_eq!(fleet.rows.len(), 18);
    let refused: Vec<(u32, &str)> = fleet
        .rows
        .iter()
        .filter_map(|row| {
            row.outcome
                .as_ref()
                .err()
                .map(|wrong| (row.line, wrong[0].column))
        })
        .collect();
    assert_eq!(
        refused,
        [(16, "volume"), (17, "volume"), (18, "now"), (19, "missing")],
        "{:#?}",
        report(&fleet)
    );
    let battery = plan(&fleet.rows[11]);
    assert_eq!(battery.way, None);
    assert_eq!(battery.cautions[0].0.code(), "low_conductivity_loop");
    let sums = &fleet.sums;
    assert_eq!((sums.no_plan, sums.refused), (1, 4));
    assert_eq!(sums.to_do + sums.nothing, 13);
    // The sums, added up from the table out.
    let table = rows_of(&fleet.csv(), b',');
    let heading = &table[0];
    let all = &table[19];
    for (place, name) in heading.iter().enumerate() {
        if name.ends_with("[L]") || name.ends_with("[mL]") {
            let number = |row: &Vec<String>| row[place].parse::<f64>().unwrap_or(0.0);
            let sum: f64 = table[1..19].iter().map(number).sum();
            assert!((sum - number(all)).abs() < 1e-6, "{name}");
        }
    }
    assert_eq!(all[1], "All");
    // A name that begins like a formula does not stay one.
    assert_eq!(table[18][1], "'=Trailer 9");
}

/// Whole packs for the sums, each stock by itself: every count tried up to what one kind alone would take.
#[test]
fn packs_for_all() {
    let fleet = planned(&orchard(), FLEET);
    let (taken, total) = fleet.to_buy();
    let mut together = 0.0;
    for taken in &taken {
        let sold = match fleet
            .job
            .shelf
            .iter()
            .find(|stock| stock.name == taken.name)
        {
            Some(stock) => stock.packs.clone(),
            None => orchard().loops[0].additive.clone().unwrap().packs,
        };
        let litres = |p: &Pack| p.size.value * p.size.unit.litres();
        let most = |p: &Pack| (taken.needed / litres(p)).ceil() as u32;
        let mut best = (f64::INFINITY, 0.0);
        let [one, two] = [sold.first(), sold.get(1)];
        for a in 0..=one.map_or(0, most) {
            for b in 0..=two.map_or(0, most) {
                let both = [(a, one), (b, two)]
                    .into_iter()
                    .filter_map(|(n, p)| Some((f64::from(n), p?)));
                let (held, price) = both.fold((0.0, 0.0), |(v, c), (n, p)| {
                    (v + n * litres(p), c + n * p.price)
                });
                if held >= taken.needed - 1e-6 && (price, held) < best {
                    best = (price, held);
                }
            }
        }
        assert!(
            (taken.left.unwrap() - (best.1 - taken.needed)).abs() < 1e-3,
            "{taken:?} {best:?}"
        );
        together += best.0;
    }
    assert_eq!(taken.len(), 5);
    assert_eq!(total.text(), format!("{together:.2}"));
    // Nothing for sale, nothing to buy; of what is for sale, any amount can be had.
    let unsold = planned(&unsold(), FLEET);
    assert!(unsold.to_buy().0.iter().all(|taken| taken.packs.is_empty()));
    // (Prices decide between blends, so only what is drawn is the same.)
    for (a, b) in unsold.rows.iter().zip(&fleet.rows) {
        let drawn = |row: &Row| row.outcome.as_ref().map(|plan| (plan.way, plan.drawn)).ok();
        assert_eq!(drawn(a), drawn(b), "line {}", a.line);
    }
    let mut short = orchard();
    short.shelf[0].have = Some(common::litres(1.0));
    let short = planned(&short, FLEET);
    assert_eq!(short.rows, fleet.rows);
    assert_eq!(short.to_buy().0[0].have, Some(1.0));
    // In the table out as well.
    let bought = rows_of(&fleet.csv(), b',')
        .into_iter()
        .filter(|row| row[1] == "Buy");
    assert_eq!(bought.count(), 5);
}
