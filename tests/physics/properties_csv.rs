//! The bulk query: header, units, refusals in place, the run going on.

use crate::support::{self, Table};
use pourcard::job::properties::answer_csv;

const HEADER: &str = "glycol,basis,percent,temperature_c,pressure_kpa,property";

/// Answers rows given without header; each answer as `value`, `unit`, `error`.
fn ask(rows: &[&str]) -> Vec<[String; 3]> {
    let out = answer_csv(&format!("{HEADER}\n{}\n", rows.join("\n"))).unwrap();
    let mut reader = csv::Reader::from_reader(out.as_bytes());
    let header: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    assert_eq!(header.join(","), format!("{HEADER},value,unit,error"));
    let answers: Vec<_> = reader
        .records()
        .map(|r| r.unwrap())
        .map(|r| [6, 7, 8].map(|i| r[i].to_owned()))
        .collect();
    assert_eq!(answers.len(), rows.len(), "every row keeps its place");
    answers
}

#[track_caller]
fn check(row: &str, value: f64, slack: f64, unit: &str) {
    let [found, found_unit, error] = &ask(&[row])[0];
    assert_eq!((found_unit.as_str(), error.as_str()), (unit, ""), "{row}");
    let found: f64 = found.parse().unwrap();
    assert!((found - value).abs() <= slack, "{row}: {found}");
}

// ASHRAE rows, and check values of IAPWS and CRC; slack is the stated accuracy.
#[test]
fn one_of_each() {
    check("ethylene,volume,50,25,,density", 1071.11, 0.11, "kg/m3");
    check(
        "propylene,volume,50,25,,specific_heat",
        3551.0,
        1.8,
        "J/(kg K)",
    );
    check(
        "ethylene,volume,50,25,,conductivity",
        0.384,
        0.0027,
        "W/(m K)",
    );
    check("propylene,volume,60,-20,,viscosity", 137.96, 4.2, "mPa s");
    check("ethylene,mass,50,,,freezing_point", -33.8, 0.3, "degC");
    check("ethylene,volume,47.6,,,freezing_point", -33.8, 0.3, "degC");
    check(
        "ethylene,mass,46.74,,101.3,boiling_point",
        106.32,
        0.15,
        "degC",
    );
    check("propylene,volume,0,,,boiling_point", 99.974, 0.01, "degC");
    check("ethylene,mass,40,20,,refractive_index", 1.3728, 1e-4, "1");
    check("propylene,mass,50,25,,refractive_index", 1.3878, 3e-4, "1");
    check(
        "ethylene,volume,40,20,,specific_gravity",
        1059.68 / 998.207,
        2e-4,
        "1",
    );
    check("propylene,volume,0,20,,viscosity", 1.0016, 1e-3, "mPa s");
}

// Worked from the handbook's tables elsewhere (the file names its source); slack as in tests/reference/heat.rs.
#[test]
fn heat_against_water() {
    let table = Table::read("tests/reference/heat_transfer_relative_to_water.csv");
    for row in table.rows() {
        let glycol = match row.text("glycol") {
            "pg" => "propylene",
            _ => "ethylene",
        };
        let (percent, t) = (row.number("vol_pct"), row.number("temp_C"));
        for (property, column, share) in [
            ("film_vs_water", "h_ratio_DB", 0.017),
            ("heat_carried_vs_water", "rho_cp_ratio", 0.0006),
        ] {
            let wanted = row.number(column);
            let asked = format!("{glycol},volume,{percent},{t},,{property}");
            check(&asked, wanted, share * wanted + 1e-4, "1");
        }
    }
}

// Every row of the handbook's tables through the bulk query.
#[test]
fn the_handbook_s_rows() {
    for glycol in support::NAMES {
        let table = Table::read(&format!("data/{glycol}_properties.csv"));
        let properties = [
            ("density", "rho_kg_m3", 1e-4),
            ("specific_heat", "cp_J_kgK", 5e-4),
            ("conductivity", "k_W_mK", 7e-3),
            ("viscosity", "mu_mPa_s", 0.03),
        ];
        for (property, column, share) in properties {
            let rows: Vec<String> = table
                .rows()
                .map(|r| {
                    format!(
                        "{glycol},volume,{},{},,{property}",
                        r.text("conc_vol_pct"),
                        r.text("temp_C")
                    )
                })
                .collect();
            let answers = ask(&rows.iter().map(String::as_str).collect::<Vec<_>>());
            for ((row, answer), line) in table.rows().zip(answers).zip(&rows) {
                let value: f64 = answer[0]
                    .parse()
                    .unwrap_or_else(|_| panic!("{line}: {answer:?}"));
                assert!(
                    (value / row.number(column) - 1.0).abs() <= share,
                    "{line}: {value}"
                );
            }
        }
    }
}

#[test]
fn refusals_keep_their_place_and_say_why() {
    let rows = [
        (
            "ethylene,volume,50,-40,,density",
            "temperature -40 degC is outside -35 to 125 degC",
        ),
        (
            "ethylene,volume,20,-20,,density",
            "below this mix's freezing point",
        ),
        (
            "ethylene,volume,95,20,,viscosity",
            "strength 95 vol% is outside 0 to 90 vol%",
        ),
        ("ethylene,volume,65,,,freezing_point", "-45 degC or below"),
        (
            "propylene,volume,65,,,freezing_point",
            "strength 65 vol% is outside",
        ),
        (
            "propylene,volume,80,,,boiling_point",
            "strength 80 vol% is outside",
        ),
        (
            "ethylene,volume,50,,40,boiling_point",
            "pressure 40 kPa is outside 50 to 350 kPa",
        ),
        (
            "propylene,volume,50,50,,refractive_index",
            "outside 15 to 35 degC",
        ),
        (
            "ethylene,volume,50,-5,,film_vs_water",
            "temperature -5 degC is outside 0 to 125 degC",
        ),
        (
            "propylene,volume,95,20,,heat_carried_vs_water",
            "strength 95 vol% is outside 0 to 90 vol%",
        ),
        ("ethylene,volume,50,,,density", "temperature_c is empty"),
        ("ethylene,volume,,20,,density", "percent is empty"),
        ("ethylene,volume,120,20,,density", "outside 0 to 100"),
        ("ethylene,volume,NaN,20,,density", "not a number"),
        ("ethylene,volume,50,warm,,density", "not a number"),
        ("methanol,volume,50,20,,density", "unknown glycol"),
        ("ethylene,molar,50,20,,density", "unknown basis"),
        ("ethylene,volume,50,20,,colour", "unknown property"),
        ("ethylene,volume,50,20,density", "5 fields, wanted 6"),
        ("ethylene,volume,50,20,,density,", "7 fields, wanted 6"),
    ];
    let mut asked: Vec<&str> = rows.iter().map(|(row, _)| *row).collect();
    asked.push("ethylene,volume,50,20,,density");
    let answers = ask(&asked);
    for ((row, why), [value, _, error]) in rows.iter().zip(&answers) {
        assert_eq!(value, "", "{row}");
        assert!(error.contains(why), "{row}: {error}");
    }
    let [value, unit, error] = &answers[rows.len()];
    assert!(
        !value.is_empty() && unit == "kg/m3" && error.is_empty(),
        "the run went on"
    );
}

#[test]
fn the_header_is_looked_at_first() {
    for bad in [
        "",
        "glycol,basis,percent\n",
        "a,b,c,d,e,f\nethylene,volume,50,20,,density\n",
    ] {
        let why = answer_csv(bad).unwrap_err();
        assert!(
            why.contains("glycol,basis,percent,temperature_c,pressure_kpa,property"),
            "{why}"
        );
    }
    assert_eq!(
        answer_csv(HEADER).unwrap(),
        format!("{HEADER},value,unit,error\n")
    );
}

#[test]
fn windows_line_ends_spaces_and_a_byte_order_mark_are_no_trouble() {
    let out = answer_csv(&format!(
        "\u{feff}{HEADER}\r\n ethylene , volume,50, 20,,density\r\n"
    ))
    .unwrap();
    assert!(
        out.lines()
            .nth(1)
            .unwrap()
            .starts_with("ethylene,volume,50,20,,density,1073."),
        "{out}"
    );
}
