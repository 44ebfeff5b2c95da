//! A fleet: a table of vehicles and loops in, a plan for each out, and what it all takes together.
//!
//! The shelf and the usual settings are a job file's. Each row is a loop ([`row`]), answered as [`super::answer`]
//! answers a job of all of them: in the table's order, from one shelf. What is wrong with a row is said beside it and
//! stops nothing. The work is done in slices, so that a page can show how far it is and leave off.
//! Reading order: [`table`] (rows and cells as text), [`column`], [`cell`], [`row`], here the whole, [`buy`]
//! (packs for all), [`out`] and [`write`] (the table of plans).
//!
//! Invariants: rows keep their order and their lines; a refused row adds nothing to the sums.
//! Never done here: planning; words for labels.

pub mod buy;
pub mod cell;
pub mod column;
mod out;
mod row;
pub mod table;
pub mod write;

use super::{
    answer::{CautionEntry, LoopAnswer, Way},
    check::{self, Bottled, Stock},
    file::{Job, Loop, Papers, Quantity},
    money::Terms,
    record::Field,
    reply::one_loop,
    share,
    sheet::unlimited_where_sold,
    units::VolumeUnit,
};
use crate::engine::{dose::SLACK_LITRES, quantity::in_litres};
pub use out::{reasons, way_text};

use cell::{Reader, Wrong};
use column::{Column, FREE, Headings, Odd, Usual};
use table::{Separator, Table};

/// The most rows taken from one table.
pub const MOST_ROWS: usize = 100_000;

/// Why a fleet ends before its table does. What it takes together is then not the whole, and is not said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cut {
    /// It was stopped.
    Stopped,
    /// The table has more than [`MOST_ROWS`].
    MostRows,
}

impl Cut {
    /// In words.
    pub fn words(self) -> String {
        match self {
            Self::Stopped => "it was stopped before the end of the table".to_owned(),
            Self::MostRows => {
                ["only the first ", &MOST_ROWS.to_string(), " rows were read"].concat()
            }
        }
    }
}

/// A fleet being planned.
#[derive(Debug, Clone)]
pub struct Fleet {
    /// The shelf, and a loop for every row that could be read.
    pub job: Job,
    /// One for every row with anything in it, the heading left out.
    pub rows: Vec<Row>,
    /// What is odd about the table as a whole.
    pub notes: Vec<String>,
    /// What the planned rows take together.
    pub sums: Sums,
    /// Why these are not all the table's rows; `None`: they are, or it is not at its end yet.
    pub cut: Option<Cut>,
    /// As the job has them.
    stocks: Vec<Stock>,
    /// The same as if nothing that is sold could run out.
    shelf: Vec<Stock>,
    bottled: Vec<Bottled>,
    terms: Terms,
    pattern: Loop,
    has_pattern: bool,
    table: Table,
    headings: Headings,
    ended: bool,
}

/// A row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The line it begins in, from 1.
    pub line: u32,
    /// The vehicle, as the table has it.
    pub vehicle: String,
    /// The loop, as the table has it.
    pub own: String,
    /// What comes back as it is: of each of [`FREE`] that the table has.
    pub free: Vec<String>,
    /// Its place among the job's loops; `None` where it could not be read.
    pub place: Option<usize>,
    /// Its plan, or all that is wrong with it.
    pub outcome: Result<Plan, Vec<Wrong>>,
}

/// A row's plan, as far as a table shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// How it is done; `None`: not at all, and a caution says why.
    pub way: Option<Way>,
    /// Rounds it takes.
    pub rounds: u32,
    /// Litres drawn off.
    pub drawn: f64,
    /// Litres of additive.
    pub dose: f64,
    /// Litres poured of each stock, in the shelf's order.
    pub poured: Vec<f64>,
    /// Percent afterwards.
    pub percent: Option<f64>,
    /// Where ice begins afterwards, °C.
    pub freezing_c: Option<f64>,
    /// Given instead where no table reaches: at this or below.
    pub freezing_at_most_c: Option<f64>,
    /// Heaviest first.
    pub cautions: Vec<CautionEntry>,
}

/// What planned rows take together, and how many there are.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sums {
    /// Rows with something to do.
    pub to_do: usize,
    /// Rows with nothing to do.
    pub nothing: usize,
    /// Rows read that get no plan by their kind or aim.
    pub no_plan: usize,
    /// Rows refused.
    pub refused: usize,
    /// Litres drawn off.
    pub drawn: f64,
    /// Litres of additive.
    pub dose: f64,
    /// Litres of each stock, in the shelf's order.
    pub poured: Vec<f64>,
}

impl Fleet {
    /// A table to be planned for a job's shelf, with its first loop's settings.
    ///
    /// # Errors
    /// In words: the job's shelf is refused, or the table has no heading that says what the loops hold.
    pub fn new(job: &Job, text: String) -> Result<Self, String> {
        Self::with_units(job, text, Usual::default())
    }

    /// The same, with units for numbers that have none.
    ///
    /// # Errors
    /// See [`Fleet::new`].
    pub fn with_units(job: &Job, text: String, usual: Usual) -> Result<Self, String> {
        let pattern = job.loops.first();
        let first_alone = Job {
            loops: pattern.cloned().into_iter().collect(),
            ..job.clone()
        };
        let (stocks, bottled, terms) = checked(&first_alone).map_err(|fault| fault.message)?;
        let mut table = Table::new(text);
        let Some(first) = table.next_row() else {
            return Err(
                "the table is empty; expected a line of headings and a line for every loop"
                    .to_owned(),
            );
        };
        let (mut headings, odd) = Headings::read(&first);
        headings.usual = usual;
        for needed in [Column::Volume, Column::Now] {
            if !headings.has(needed) {
                let names: Vec<&str> = Column::ALL.iter().map(|c| c.text()).collect();
                return Err([
                    "the heading has no column ",
                    needed.text(),
                    "; the columns known are ",
                    &names.join(", "),
                ]
                .concat());
            }
        }
        let additive = pattern.and_then(|lp| lp.additive.as_ref());
        let mut notes: Vec<String> = odd.iter().map(odd_words).collect();
        if additive.is_some_and(row::is_measured) {
            notes.push("the job's additive goes by a level measured in its own loop, so nothing is dosed here".to_owned());
        }
        Ok(Self {
            sums: Sums::of(job.shelf.len()),
            cut: None,
            pattern: row::pattern(pattern),
            has_pattern: pattern.is_some(),
            job: Job {
                loops: Vec::new(),
                ..first_alone
            },
            rows: Vec::new(),
            notes,
            shelf: stocks.iter().map(unlimited_where_sold).collect(),
            stocks,
            bottled,
            terms,
            table,
            headings,
            ended: false,
        })
    }

    /// All of it at once.
    ///
    /// # Errors
    /// See [`Fleet::new`].
    pub fn planned(job: &Job, text: String) -> Result<Self, String> {
        let mut fleet = Self::new(job, text)?;
        while fleet.step(usize::MAX) {}
        Ok(fleet)
    }

    /// Plans up to so many rows more; `false` once there are none.
    pub fn step(&mut self, rows: usize) -> bool {
        for _ in 0..rows {
            if self.ended {
                return false;
            }
            match self.table.next_row() {
                Some(_) if self.rows.len() >= MOST_ROWS => self.leave_off(Cut::MostRows),
                Some(cells) => self.take(&cells),
                None => self.end(),
            }
        }
        !self.ended
    }

    /// Leaves off here; what was planned stays.
    pub fn stop(&mut self) {
        if !self.ended {
            self.leave_off(Cut::Stopped);
        }
    }

    fn leave_off(&mut self, cut: Cut) {
        self.cut = Some(cut);
        self.notes.push(cut.words());
        self.end();
    }

    /// How much of the table was read, 0 to 1.
    pub fn progress(&self) -> f64 {
        self.table.progress()
    }

    /// The columns that come back as they are.
    pub fn free(&self) -> impl Iterator<Item = Column> + '_ {
        FREE.into_iter().filter(|c| self.headings.has(*c))
    }

    /// What parts its cells.
    pub fn separator(&self) -> Separator {
        self.table.separator
    }

    fn take(&mut self, cells: &table::Cells) {
        let mut reader = Reader::new(&self.headings, cells, self.table.separator);
        let lp = row::read(&mut reader, &self.headings, &self.pattern, self.has_pattern);
        let free = self.free().map(|c| reader.text(c).to_owned()).collect();
        let [vehicle, own] = [Column::Vehicle, Column::Loop].map(|c| reader.text(c).to_owned());
        let whole = |words: &str| Wrong {
            column: "",
            words: words.to_owned(),
        };
        let mut wrong = std::mem::take(&mut reader.wrong);
        let width = self.headings.width;
        if cells.open {
            wrong = vec![whole("a quote is opened and never closed")];
        } else if cells
            .cells
            .iter()
            .skip(width)
            .any(|cell| !column::trimmed(cell).is_empty())
        {
            wrong.insert(0, whole("it has more cells than the heading"));
        }
        let mut row = Row {
            line: cells.line,
            vehicle,
            own,
            free,
            place: None,
            outcome: Err(Vec::new()),
        };
        if wrong.is_empty() {
            let place = self.job.loops.len();
            row.place = Some(place);
            self.job.loops.push(lp);
            let left = share::less(&self.shelf, &self.sums.poured);
            // One bottle is dosed once.
            let whole = self.job.loops[place].additive.as_ref().and_then(|a| a.have);
            bottle_less(&mut self.job.loops[place], self.sums.dose);
            row.outcome = outcome(&one_loop(&self.job, place, &left), &self.shelf);
            if let Some(additive) = &mut self.job.loops[place].additive {
                additive.have = whole;
            }
        } else {
            row.outcome = Err(wrong);
        }
        self.sums.add(&row);
        self.rows.push(row);
    }

    /// A short shelf is allotted among a few loops, as in any job.
    fn end(&mut self) {
        self.ended = true;
        let is_short = |row: &Row| row.place.is_some() && row.outcome.is_err();
        if self.job.loops.len() > share::MOST_LOOPS || !self.rows.iter().any(is_short) {
            return;
        }
        let served = share::serve(&self.job, &self.shelf);
        self.sums = Sums::of(self.shelf.len());
        for row in &mut self.rows {
            if let Some(place) = row.place {
                row.outcome = outcome(&served[place], &self.shelf);
            }
            self.sums.add(row);
        }
    }

    /// A row as a job of its own, with what the rows before it left on the shelf.
    pub fn alone(&self, row: usize) -> Option<Job> {
        let place = self.rows.get(row)?.place?;
        let mut before = Sums::of(self.shelf.len());
        self.rows[..row].iter().for_each(|row| before.add(row));
        let left = share::less(&self.shelf, &before.poured);
        let said = |column| {
            let place = self.free().position(|c| c == column);
            let text = place.map(|place| self.rows[row].free[place].clone());
            text.unwrap_or_default()
        };
        let papers = Papers {
            plate: said(Column::Plate),
            mileage: said(Column::Mileage),
            ..Papers::default()
        };
        let mut job = Job {
            papers: Some(papers).filter(|papers| *papers != Papers::default()),
            title: self.rows[row].vehicle.clone(),
            loops: vec![self.job.loops[place].clone()],
            shelf: self.job.shelf.clone(),
            money: self.job.money.clone(),
            date: self.job.date.clone(),
            water: self.job.water,
            pourcard: self.job.pourcard,
            ..Job::blank()
        };
        bottle_less(&mut job.loops[0], before.dose);
        for (stock, left) in job.shelf.iter_mut().zip(&left) {
            // What nobody has taken of yet stays as the file has it.
            if let Some(left) = left.have.map(in_litres)
                && stock
                    .have
                    .is_none_or(|h| left < h.value * h.unit.litres() - SLACK_LITRES)
            {
                stock.have = Some(Quantity {
                    value: (left * 1e6).round() / 1e6,
                    unit: VolumeUnit::L,
                });
            }
        }
        Some(job)
    }
}

/// Takes litres off what there is of a loop's additive.
fn bottle_less(lp: &mut Loop, gone: f64) {
    if let Some(have) = lp.additive.as_mut().and_then(|a| a.have.as_mut())
        && gone > 0.0
    {
        have.value = (have.value - gone / have.unit.litres()).max(0.0);
    }
}

/// The shelf, the additive's bottles and the money of a job.
fn checked(job: &Job) -> Result<(Vec<Stock>, Vec<Bottled>, Terms), check::Refused> {
    let terms = check::terms(job)?;
    Ok((
        check::shelf(job, &terms)?,
        check::bottles(job, &terms)?,
        terms,
    ))
}

impl Sums {
    fn of(stocks: usize) -> Self {
        Self {
            poured: vec![0.0; stocks],
            ..Self::default()
        }
    }

    fn add(&mut self, row: &Row) {
        match &row.outcome {
            Err(_) => self.refused += 1,
            Ok(plan) => {
                match plan.way {
                    None => self.no_plan += 1,
                    Some(Way::Nothing) if plan.dose <= 0.0 => self.nothing += 1,
                    Some(_) => self.to_do += 1,
                }
                self.drawn += plan.drawn;
                self.dose += plan.dose;
                for (sum, poured) in self.poured.iter_mut().zip(&plan.poured) {
                    *sum += poured;
                }
            }
        }
    }
}

/// What a table shows of an answer.
fn outcome(answer: &LoopAnswer, shelf: &[Stock]) -> Result<Plan, Vec<Wrong>> {
    if let Some(fault) = &answer.error {
        let key = fault.key.split_once("].").map_or("", |(_, key)| key);
        let name = key.split(['.', '[']).next().unwrap_or_default();
        let own = key.strip_prefix("limits.").unwrap_or(match key {
            "volume.plus_minus" => "volume_plus_minus",
            "missing.plus_minus" => "missing_plus_minus",
            "now.plus_minus" => "now_plus_minus",
            "now.at" => "sample",
            "now.left_behind" => "left_behind",
            "aim.within" => "within",
            "additive.already" => "already",
            _ => name,
        });
        let known = Column::ALL.iter().find(|c| c.text() == own);
        let start = [&fault.key, ": "].concat();
        let words = fault.message.strip_prefix(&start).unwrap_or(&fault.message);
        return Err(vec![Wrong {
            column: known.map_or("", |c| c.text()),
            words: words.to_owned(),
        }]);
    }
    let amount = |s: &Stock| {
        let found = answer.used.0.iter().find(|(name, _)| *name == s.name);
        found.map_or(0.0, |(_, litres)| *litres)
    };
    let after = answer.after.unwrap_or_default();
    Ok(Plan {
        way: answer.way,
        rounds: answer.steps.last().map_or(0, |step| step.round),
        drawn: answer.dispose_litres,
        dose: answer.dose.map_or(0.0, |dose| dose.litres),
        poured: shelf.iter().map(amount).collect(),
        percent: after.percent,
        freezing_c: after.freezing_point_c,
        freezing_at_most_c: after.freezing_at_most_c,
        cautions: answer.cautions.clone(),
    })
}

fn odd_words(odd: &Odd) -> String {
    match odd {
        Odd::Unknown(name) => ["the column \"", name, "\" is not known and was left out"].concat(),
        Odd::Twice(name) => [
            "the column \"",
            name,
            "\" stands twice; the first one counts",
        ]
        .concat(),
    }
}
