//! The table of plans, and the report of what was wrong, as texts.

use super::{Cut, Fleet, Row, write::Writer};
use crate::engine::caution::Weight;
use crate::job::{
    answer::Way,
    figure::{fixed, plain},
};

impl Fleet {
    /// The table of plans as CSV: a row for every row, refused ones with the reason, and the sums.
    pub fn csv(&self) -> String {
        let mut out = Writer::new(self.separator());
        for heading in [
            "line",
            "vehicle",
            "loop",
            "way",
            "rounds",
            "draw [L]",
            "dose [mL]",
        ] {
            out.words(heading);
        }
        for stock in &self.job.shelf {
            out.words(&["pour ", &stock.name, " [L]"].concat());
        }
        for heading in ["percent", "freezes [degC]", "weight", "cautions", "wrong"] {
            out.words(heading);
        }
        for column in self.free() {
            out.words(column.text());
        }
        out.end();
        for row in &self.rows {
            self.put(&mut out, row);
        }
        if let Some(cut) = self.cut {
            self.end_early(&mut out, cut);
            return out.done();
        }
        out.number("");
        out.words("All");
        let counts = [self.sums.to_do, self.sums.nothing, self.sums.no_plan];
        out.words(&[&counts.iter().sum::<usize>().to_string(), " planned"].concat());
        out.words("");
        out.number("");
        out.number(&amount(self.sums.drawn));
        out.number(&amount(self.sums.dose * 1000.0));
        for litres in &self.sums.poured {
            out.number(&amount(*litres));
        }
        for _ in 0..4 {
            out.words("");
        }
        out.words(&[&self.sums.refused.to_string(), " refused"].concat());
        self.none_free(&mut out);
        out.end();
        let (taken, _) = self.to_buy();
        for taken in taken.iter().filter(|taken| !taken.packs.is_empty()) {
            out.number("");
            out.words("Buy");
            out.words(&taken.name);
            out.words(&taken.packs_text());
            for _ in 0..8 + self.job.shelf.len() {
                out.words("");
            }
            self.none_free(&mut out);
            out.end();
        }
        out.done()
    }

    /// Instead of sums, which would look like those of the whole table.
    fn end_early(&self, out: &mut Writer, cut: Cut) {
        out.number("");
        out.words("INCOMPLETE");
        out.words(&cut.words());
        for _ in 0..8 + self.job.shelf.len() {
            out.words("");
        }
        out.words("no sums: rows are missing");
        self.none_free(out);
        out.end();
    }

    /// Of no vehicle.
    fn none_free(&self, out: &mut Writer) {
        for _ in self.free() {
            out.words("");
        }
    }

    fn put(&self, out: &mut Writer, row: &Row) {
        out.number(&row.line.to_string());
        out.words(&row.vehicle);
        out.words(&row.own);
        let plan = match &row.outcome {
            Ok(plan) => plan,
            Err(_) => {
                for _ in 0..8 + self.job.shelf.len() {
                    out.words("");
                }
                out.words(&reasons(row));
                row.free.iter().for_each(|text| out.words(text));
                out.end();
                return;
            }
        };
        out.words(plan.way.map_or("", way_text));
        out.number(&plan.rounds.to_string());
        out.number(&amount(plan.drawn));
        out.number(&amount(plan.dose * 1000.0));
        for litres in &plan.poured {
            out.number(&amount(*litres));
        }
        out.number(&plan.percent.map_or(String::new(), |p| fixed(p, 1)));
        match (plan.freezing_c, plan.freezing_at_most_c) {
            (Some(at), _) => out.number(&fixed(at, 0)),
            (None, Some(most)) => out.words(&["at most ", &fixed(most, 0)].concat()),
            (None, None) => out.words(""),
        }
        let heaviest = plan.cautions.first().map(|c| c.0.weight());
        out.words(heaviest.map_or("", Weight::code));
        let mut codes: Vec<&str> = plan.cautions.iter().map(|c| c.0.code()).collect();
        codes.dedup();
        out.words(&codes.join(" "));
        out.words("");
        row.free.iter().for_each(|text| out.words(text));
        out.end();
    }

    /// What was wrong, a line each: with the table as a whole, then by its lines.
    pub fn report(&self) -> impl Iterator<Item = String> {
        let rows = self.rows.iter().filter(|row| row.outcome.is_err());
        let lines = rows.map(|row| {
            let names: Vec<&str> = [&*row.vehicle, &row.own]
                .into_iter()
                .filter(|name| !name.is_empty())
                .collect();
            [
                "line ",
                &row.line.to_string(),
                ", ",
                &names.join(", "),
                ": ",
                &reasons(row),
            ]
            .concat()
        });
        self.notes.iter().cloned().chain(lines)
    }

    /// What it takes together, a line each.
    pub fn summary(&self) -> Vec<String> {
        let sums = &self.sums;
        let count = |n: usize, words: &str| [&n.to_string(), words].concat();
        let mut lines = vec![
            [
                count(sums.to_do, " to do, "),
                count(sums.nothing, " with nothing to do, "),
                count(sums.no_plan, " without a plan, "),
                count(sums.refused, " refused"),
            ]
            .concat(),
        ];
        if let Some(cut) = self.cut {
            lines.push(["incomplete: ", &cut.words(), "; so there are no sums"].concat());
            return lines;
        }
        lines.push(["draw ", &amount(sums.drawn), " L"].concat());
        if sums.dose > 0.0 {
            lines.push(["dose ", &amount(sums.dose * 1000.0), " mL"].concat());
        }
        for (stock, litres) in self.job.shelf.iter().zip(&sums.poured) {
            lines.push(["pour ", &amount(*litres), " L of ", &stock.name].concat());
        }
        let (taken, total) = self.to_buy();
        for taken in &taken {
            if !taken.packs.is_empty() {
                lines.push(["buy ", &taken.packs_text(), " of ", &taken.name].concat());
            }
        }
        if taken.iter().any(|taken| !taken.packs.is_empty()) {
            lines.push(["packs together ", &total.text(), " without tax and charges"].concat());
        }
        lines
    }
}

/// All that is wrong with a row, in one line.
pub fn reasons(row: &Row) -> String {
    let Err(wrong) = &row.outcome else {
        return String::new();
    };
    let each = wrong.iter().map(|wrong| {
        if wrong.column.is_empty() {
            wrong.words.clone()
        } else {
            [wrong.column, ": ", &wrong.words].concat()
        }
    });
    each.collect::<Vec<_>>().join("; ")
}

/// To a tenth of a millilitre, or of a microlitre.
fn amount(value: f64) -> String {
    plain((value * 1e4).round() / 1e4)
}

/// A way by its name.
pub const fn way_text(way: Way) -> &'static str {
    match way {
        Way::Nothing => "nothing",
        Way::Retest => "retest",
        Way::TopUp => "top_up",
        Way::DrawAndPour => "draw_and_pour",
        Way::Rounds => "rounds",
        Way::Refill => "refill",
    }
}
