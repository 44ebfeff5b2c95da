//! What several test files need: the data files as numbers, and a least-squares fit.
#![allow(dead_code)] // each test file uses its own part

use std::path::PathBuf;

/// A file of this repository.
pub fn path(relative: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(relative)
}

/// A CSV with `#` comment lines, one header line, and fields that may be quoted.
pub struct Table {
    name: String,
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// One row of a [`Table`].
pub struct Row<'a> {
    table: &'a Table,
    fields: &'a [String],
}

impl Table {
    pub fn read(relative: &str) -> Self {
        let text =
            std::fs::read_to_string(path(relative)).unwrap_or_else(|e| panic!("{relative}: {e}"));
        let mut lines = text
            .lines()
            .filter(|l| !l.starts_with('#') && !l.trim().is_empty())
            .map(split);
        let header = lines
            .next()
            .unwrap_or_else(|| panic!("{relative}: no header"));
        let rows: Vec<_> = lines.collect();
        for row in &rows {
            assert_eq!(row.len(), header.len(), "{relative}: {row:?}");
        }
        Self {
            name: relative.to_owned(),
            header,
            rows,
        }
    }

    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|fields| Row {
            table: self,
            fields,
        })
    }

    /// Columns as numbers, for tables without text.
    pub fn columns(&self, names: &[&str]) -> Vec<Vec<f64>> {
        names
            .iter()
            .map(|n| self.rows().map(|r| r.number(n)).collect())
            .collect()
    }
}

impl<'a> Row<'a> {
    pub fn text(&self, name: &str) -> &'a str {
        let at = self.table.header.iter().position(|h| h == name);
        &self.fields[at.unwrap_or_else(|| panic!("{}: no column {name}", self.table.name))]
    }

    pub fn number(&self, name: &str) -> f64 {
        let text = self.text(name);
        text.trim()
            .parse()
            .unwrap_or_else(|_| panic!("{}: {name} is {text:?}", self.table.name))
    }
}

fn split(line: &str) -> Vec<String> {
    let mut fields = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => fields.push(String::new()),
            c => fields[..].last_mut().unwrap().push(c),
        }
    }
    fields
}

/// Coefficients c that bring Σ c_j a_ij nearest to b_i in the least-squares sense, by modified Gram–Schmidt.
pub fn least_squares(mut a: Vec<Vec<f64>>, mut b: Vec<f64>) -> Vec<f64> {
    let (m, n) = (a.len(), a[0].len());
    let mut r = vec![vec![0.0; n]; n];
    let mut qb = vec![0.0; n];
    for j in 0..n {
        let norm = a.iter().map(|row| row[j] * row[j]).sum::<f64>().sqrt();
        r[j][j] = norm;
        a.iter_mut().for_each(|row| row[j] /= norm);
        for k in j + 1..n {
            let dot = a.iter().map(|row| row[j] * row[k]).sum::<f64>();
            r[j][k] = dot;
            a.iter_mut().for_each(|row| row[k] -= dot * row[j]);
        }
        qb[j] = (0..m).map(|i| a[i][j] * b[i]).sum();
        for i in 0..m {
            b[i] -= qb[j] * a[i][j];
        }
    }
    for j in (0..n).rev() {
        qb[j] = (qb[j] - (j + 1..n).map(|k| r[j][k] * qb[k]).sum::<f64>()) / r[j][j];
    }
    qb
}

/// Least-squares polynomial of a degree, lowest power first.
pub fn polynomial(x: &[f64], y: &[f64], degree: i32) -> Vec<f64> {
    let a = x
        .iter()
        .map(|x| (0..=degree).map(|k| x.powi(k)).collect())
        .collect();
    least_squares(a, y.to_vec())
}

pub fn evaluate(c: &[f64], x: f64) -> f64 {
    c.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// The glycols, as the data files are named.
pub const NAMES: [&str; 2] = ["ethylene", "propylene"];

/// The variable of every curve that is steep when cold, as in the engine.
pub fn inverse(temperature_c: f64) -> f64 {
    100.0 / (temperature_c + 150.0) - 0.5
}

/// The properties tabulated by column, each with the curve it is fitted by.
#[derive(Debug, Clone, Copy)]
pub enum Tabled {
    Density,
    SpecificHeat,
    Conductivity,
    Viscosity,
}

impl Tabled {
    pub fn degree(self) -> i32 {
        match self {
            Self::Density | Self::Conductivity => 2,
            Self::SpecificHeat => 1,
            Self::Viscosity => 5,
        }
    }

    /// One column's rows in the variables they are fitted in.
    pub fn column(self, glycol: &str, tenth: i32) -> Vec<(f64, f64)> {
        Table::read(&format!("data/{glycol}_properties.csv"))
            .rows()
            .filter(|r| (r.number("conc_vol_pct") - 10.0 * f64::from(tenth)).abs() < 1e-9)
            .map(|r| {
                let t = r.number("temp_C");
                match self {
                    Self::Density => (t / 100.0, r.number("rho_kg_m3")),
                    Self::SpecificHeat => (t / 100.0, r.number("cp_J_kgK")),
                    Self::Conductivity => (t / 100.0, r.number("k_W_mK")),
                    Self::Viscosity => (inverse(t), r.number("mu_mPa_s").ln()),
                }
            })
            .collect()
    }

    fn back(self, y: f64) -> f64 {
        if matches!(self, Self::Viscosity) {
            y.exp()
        } else {
            y
        }
    }
}

/// Worst relative error, in percent, where every other temperature of each column is left out of the fit and asked of
/// it: between the rows the curve is as good as this. The ends stay in; nothing here is a continuation.
pub fn between_rows(property: Tabled) -> f64 {
    let mut worst = 0.0f64;
    for glycol in NAMES {
        for tenth in 1..=9 {
            let rows = property.column(glycol, tenth);
            let last = rows.len() - 1;
            let kept = |i: usize| i.is_multiple_of(2) || i == last;
            let (x, y): (Vec<_>, Vec<_>) = rows
                .iter()
                .enumerate()
                .filter(|(i, _)| kept(*i))
                .map(|(_, r)| *r)
                .unzip();
            let c = polynomial(&x, &y, property.degree());
            for (_, (x, y)) in rows.iter().enumerate().filter(|(i, _)| !kept(*i)) {
                worst = worst
                    .max((property.back(evaluate(&c, *x)) / property.back(*y) - 1.0).abs() * 100.0);
            }
        }
    }
    worst
}
