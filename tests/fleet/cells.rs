//! Tables as people write them, and what is wrong with them.

use super::{FLEET, orchard, plain_job, planned, report, rows_of};
use pourcard::job::fleet::Fleet;

#[test]
fn what_is_wrong_is_said_by_line_and_column() {
    let head = "vehicle,glycol,volume [L],missing,now,sample,aim [%],side,cap,tank,additive";
    let good = "ok,ethylene,10,,40 %,,50,,,,";
    let cases = [
        ("a,ethylene,,,40 %,,50,,,,", "volume", "is blank"),
        ("a,ethylene,ten,,40 %,,50,,,,", "volume", "is not a number"),
        (
            "a,ethylene,10 gal,,40 %,,50,,,,",
            "volume",
            "US or imperial",
        ),
        ("a,ethylene,10 kg,,40 %,,50,,,,", "volume", "not known here"),
        ("a,ethylene,5000,,40 %,,50,,,,", "volume", "0.2 to 2000"),
        ("a,ethylene,10,1,40 %,,50,,,,", "missing", "has no unit"),
        (
            "a,ethylene,10,11 L,40 %,,50,,,,",
            "missing",
            "no more than the 10 L",
        ),
        ("a,ethylene,10,,,,50,,,,", "now", "is blank"),
        ("a,ethylene,10,,40,,50,,,,", "now", "has no unit"),
        ("a,ethylene,10,,milk,,50,,,,", "now", "is not a number"),
        ("a,ethylene,10,,1.06 SG,,50,,,,", "sample", "is blank"),
        ("a,ethylene,10,,1.06 SG,20,50,,,,", "sample", "has no unit"),
        ("a,ethylene,10,,flushed,,50,,,,", "left_behind", "is blank"),
        ("a,ethylene,10,,140 %,,50,,,,", "now", "0 to 100"),
        ("a,ethylene,10,,40 %,,30,,,,", "aim", "this system's limits"),
        ("a,ethylene,10,,40 %,,50 bar,,,,", "aim", "not known here"),
        (
            "a,methanol,10,,40 %,,50,,,,",
            "glycol",
            "expected ethylene, propylene",
        ),
        ("a,,10,,40 %,,50,,,,", "glycol", "is blank"),
        ("a,ethylene,10,,40 %,,50,,1.1,,", "cap", "has no unit"),
        ("a,ethylene,10,,40 %,,50,,,bucket,", "tank", "pressurised"),
        (
            "a,ethylene,10,,40 %,,50,,,,perhaps",
            "additive",
            "yes or no",
        ),
        (
            "a,ethylene,\"8,4\",,40 %,,50,,,,",
            "volume",
            "decimal comma",
        ),
        ("a,ethylene,10,,40 %,,50,,,,,more", "", "more cells"),
        ("a,ethylene,\"10,,40 %,,50,,,,", "", "never closed"),
    ];
    for (bad, column, words) in cases {
        let table = [head, good, bad, good].join("\n");
        let fleet = planned(&orchard(), &table);
        assert_eq!(fleet.rows.len(), 3, "{bad}");
        assert!(
            fleet.rows[0].outcome.is_ok() && fleet.rows[2].outcome.is_ok(),
            "{bad}"
        );
        let row = &fleet.rows[1];
        assert_eq!(row.line, 3);
        let wrong = row
            .outcome
            .as_ref()
            .err()
            .unwrap_or_else(|| panic!("{bad} was planned"));
        assert!(
            wrong[0].column == column && wrong[0].words.contains(words),
            "{bad}: {wrong:?}"
        );
        let told = report(&fleet);
        assert!(
            told.len() == 1 && told[0].starts_with("line 3, a"),
            "{told:?}"
        );
    }
    // All that is wrong with a row, not only the first.
    let fleet = planned(&orchard(), &[head, "a,methanol,ten,,,,50,,,,"].join("\n"));
    assert_eq!(fleet.rows[0].outcome.as_ref().unwrap_err().len(), 3);
}

#[test]
fn a_heading_that_will_not_do() {
    for (table, words) in [
        ("", "empty"),
        ("a,b\n1,2", "no column volume"),
        ("volume [L],aim [%]\n10,50", "no column now"),
    ] {
        let why = Fleet::planned(&orchard(), table.to_owned()).unwrap_err();
        assert!(why.contains(words), "{why}");
    }
    let mut broken = orchard();
    broken.shelf[0].percent = 120.0;
    assert!(
        Fleet::planned(&broken, FLEET.to_owned())
            .unwrap_err()
            .contains("percent")
    );
    let fleet = planned(
        &orchard(),
        "Vehicle, VOLUME (litres) ,Now [%],garage,Peak-Temperature [°F],volume [L],\nx,10,40,P 1,220,99,\n",
    );
    assert!(fleet.rows[0].outcome.is_ok(), "{:?}", report(&fleet));
    let told = report(&fleet);
    assert!(
        told.len() == 2 && told[0].contains("garage") && told[1].contains("twice"),
        "{told:?}"
    );
    let lp = &fleet.job.loops[0];
    assert!((lp.volume.value - 10.0).abs() < 1e-12);
    assert!((lp.peak_temperature.unwrap().value - 220.0).abs() < 1e-12);
}

/// One table three ways: commas and points, semicolons and decimal commas, tabs.
#[test]
fn separators_and_decimal_marks() {
    let with = |rows: &[[&str; 4]], separator: &str, end: &str| {
        rows.iter()
            .map(|row| row.join(separator))
            .collect::<Vec<_>>()
            .join(end)
    };
    let points = [
        ["vehicle", "volume [L]", "missing [L]", "now"],
        ["A", "8.4", "0.6", "42.5 %"],
        ["B", "3.25 US_gal", "1 US_qt", "water"],
    ];
    let commas = points.map(|row| {
        row.map(|cell| {
            if cell == "vehicle" {
                cell.to_owned()
            } else {
                cell.replace('.', ",")
            }
        })
    });
    let commas: Vec<[&str; 4]> = commas
        .iter()
        .map(|row| row.each_ref().map(String::as_str))
        .collect();
    let plain = planned(&orchard(), &with(&points, ",", "\n"));
    assert!(
        plain.rows.iter().all(|row| row.outcome.is_ok()),
        "{:?}",
        report(&plain)
    );
    for (table, separator) in [
        (with(&commas, ";", "\r\n"), b';'),
        (with(&commas, "\t", "\r\n"), b'\t'),
        (with(&points, "\t", "\r"), b'\t'),
        (
            ["sep=;\n\u{feff}", &with(&commas, ";", "\n")].concat(),
            b';',
        ),
        (["\u{feff}", &with(&points, ",", "\r\n")].concat(), b','),
    ] {
        let fleet = planned(&orchard(), &table);
        let outcomes = |fleet: &Fleet| {
            fleet
                .rows
                .iter()
                .map(|row| row.outcome.clone())
                .collect::<Vec<_>>()
        };
        assert_eq!(outcomes(&fleet), outcomes(&plain), "{table:?}");
        let out = rows_of(&fleet.csv(), separator);
        let draw = if separator == b';' { "," } else { "." };
        assert!(out[1][5].contains(draw), "{:?}", out[1]);
    }
}

#[test]
fn no_cell_of_the_table_out_becomes_a_formula() {
    let mut job = plain_job();
    job.shelf[0].name = "=HYPERLINK(\"x\")".to_owned();
    job.shelf[1].name = "@premix;=1+1".to_owned();
    let table = "vehicle,loop,volume [L],now [%]\n\
        =cmd|'/C calc'!A0,+1+1,10,30\n-2+3,@x,10,30\n\"\t=1\",\"a\r\n=1\",10,30\n-7,+5.5,10,30\n\
        \"x;=1\",\"=1\",ten,30\n\"=\"\"q\"\"\",-,-1,30\n";
    let fleet = planned(&job, table);
    let text = fleet.csv();
    for separator in [b',', b';', b'\t'] {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator)
            .flexible(true)
            .has_headers(false)
            .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
        for record in reader.records() {
            for cell in record.unwrap().iter() {
                let number = cell.replace(',', ".").parse::<f64>().is_ok();
                let danger = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
                assert!(number || !danger, "{cell:?}");
            }
        }
    }
    let rows = rows_of(&text.replace("a\r\n'=1", "a '=1"), b',');
    assert_eq!(rows[1][1], "'=cmd|''/C calc'!A0".replace("''/C", "'/C"));
    assert_eq!(rows[4][1..3], ["-7", "+5.5"], "plain numbers stay");
}

proptest::proptest! {
    /// Whatever stands in the cells: every line with anything in it is planned or refused with a reason, in its place.
    #[test]
    fn no_table_breaks_it(
        rows in proptest::collection::vec(
            proptest::collection::vec(
                "[0-9.,;\"+=-]{0,4} ?(L|mL|%|degC|°C|US_gal|gal|SG|nD|Bx|water|flushed|empty|unknown|ethylene|propylene|yes|no|engine|battery|\\PC{0,4})",
                8,
            ),
            0..12,
        ),
        separator in proptest::sample::select(vec![",", ";", "\t"]),
    ) {
        let head = ["vehicle", "volume [L]", "missing [L]", "now", "sample [degC]", "aim [%]", "kind", "additive"];
        let mut table = head.join(separator);
        for row in &rows {
            table += "\n";
            table += &row.join(separator);
        }
        let fleet = planned(&orchard(), &table);
        let mut last = 1;
        for row in &fleet.rows {
            proptest::prop_assert!(row.line > last);
            last = row.line;
            if let Err(wrong) = &row.outcome {
                proptest::prop_assert!(wrong.iter().all(|wrong| !wrong.words.is_empty()) && !wrong.is_empty());
            }
        }
        let out = rows_of(&fleet.csv().replace("\r\n", "\n").replace(['\n', '\r'], "\r\n"), match separator {
            "," => b',',
            ";" => b';',
            _ => b'\t',
        });
        proptest::prop_assert!(out.len() > fleet.rows.len());
        let counted = [fleet.sums.to_do, fleet.sums.nothing, fleet.sums.no_plan, fleet.sums.refused];
        proptest::prop_assert_eq!(counted.iter().sum::<usize>(), fleet.rows.len());
    }
}

/// The page says which units go without saying; a table without any is read in them.
#[test]
fn units_of_the_page_go_without_saying_and_a_low_says_the_aim() {
    let table = "Vehicle;Plate;Mileage;Glycol;Volume;Missing;Now;Coldest;Cap\n\
        Orchard tractor;B 12;81 000;ethylene;12,5;0,8;-18;-25;1,0\n\
        Bakery van;;;ethylene;8,4 L;;38 %;-20;\n";
    let units = ["L", "degC", "bar", "m", "mL"];
    let mut job = plain_job();
    job.loops.clear();
    let mut fleet = Fleet::with_units(&job, table.to_owned(), units).unwrap();
    while fleet.step(10) {}
    let planned: Vec<_> = fleet.rows.iter().map(|row| row.outcome.is_ok()).collect();
    assert_eq!(planned, [true, true], "{:?}", report(&fleet));
    // 5 K below the low that was given, which is common practice: −30 °C or colder.
    let first = fleet.rows[0].outcome.as_ref().unwrap();
    assert!(first.freezing_c.unwrap() <= -29.5, "{first:?}");
    // Plate and mileage come back as they were, at the end of each row.
    let csv = fleet.csv();
    let lines: Vec<&str> = csv.trim_start_matches('\u{feff}').lines().collect();
    assert!(lines[0].ends_with(";wrong;plate;mileage"), "{}", lines[0]);
    assert!(lines[1].ends_with(";B 12;81 000"), "{}", lines[1]);
    let cells = |line: &str| line.matches(';').count();
    assert!(
        lines.iter().all(|line| cells(line) == cells(lines[0])),
        "{csv}"
    );
    let papers = fleet.alone(0).unwrap().papers.unwrap();
    assert_eq!(
        (papers.plate.as_str(), papers.mileage.as_str()),
        ("B 12", "81 000")
    );
    // Without them nothing is guessed.
    let mut asked = Fleet::new(&job, table.to_owned()).unwrap();
    while asked.step(10) {}
    assert!(asked.rows[0].outcome.is_err());
    let us = ["US_qt", "degF", "psi", "ft", "US_fl_oz"];
    let us_table = "vehicle,glycol,volume,now,coldest\nTruck,ethylene,12,38 %,-13\n";
    let mut fleet = Fleet::with_units(&job, us_table.to_owned(), us).unwrap();
    while fleet.step(10) {}
    assert!(fleet.rows[0].outcome.is_ok(), "{:?}", report(&fleet));
}
