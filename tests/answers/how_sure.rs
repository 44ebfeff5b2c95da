//! How sure the figures say they are, against Monte Carlo (JCGM 101:2008): the work is done over and over on a loop that
//! is off the typed one in every input at once, by somebody who pours the last stock *to the true mark*, whatever that
//! takes. The balance in kilograms is the tests' own; of the engine it has only the density of a mix.
//!
//! What is off, and how, is written in the table of `engine::plan::spread`; it is drawn here from the job file alone. Of
//! 10 000 draws 93 to 97 % must lie within what the answer says. Where a reading is safe-sided on purpose (frost scale,
//! hydrometer, contents nobody knows), or one rectangular step of measuring is most of it (a rectangle lies within twice its
//! standard uncertainty altogether), or a slip was measured away, at least 95 % must, and the case says so.

mod afterwards;

use crate::common::{self, Balance, litres, stock};
use crate::normals::Normals;
use pourcard::engine::{
    caution::Caution,
    fluid::Glycol,
    heat,
    level::{FILL_K, GROWTH_SHARE, ROOM_SHARE},
    property::{Freezing, density, freezing_point},
    quantity::{LabelFraction, celsius, in_celsius},
    reading,
};
use pourcard::job::{self, answer::*, file::*, record::Field};

const DRAWS: usize = 10_000;

/// How many of the draws must be covered.
#[derive(Clone, Copy, PartialEq)]
enum Covers {
    /// 93 to 97 %.
    AsSaid,
    /// At least 95 %: a safe-sided reading.
    SafeSided,
    /// At least 95 %: one step of measuring is most of it.
    StepDominated,
}

use Covers::{AsSaid, SafeSided, StepDominated};

/// What one really following of the card comes to.
struct Real {
    percent: f64,
    litres: f64,
    hot: f64,
    room: f64,
    film: f64,
    carried: f64,
}

/// Draws what is off.
struct Chance(Normals);

impl Chance {
    /// Normal, of a 95 % half-width: two standard uncertainties.
    fn normal(&mut self, half_width: f64) -> f64 {
        0.5 * half_width * self.0.next()
    }

    /// Anywhere from minus to plus so much, alike.
    fn anywhere(&mut self, half: f64) -> f64 {
        half * (2.0 * self.0.uniform() - 1.0)
    }
}

fn in_l(q: Quantity<pourcard::job::units::VolumeUnit>) -> f64 {
    q.value * q.unit.litres()
}

fn glycol(lp: &Loop) -> Glycol {
    match lp.glycol {
        GlycolName::Ethylene => Glycol::Ethylene,
        GlycolName::Propylene => Glycol::Propylene,
    }
}

/// Freezing points of pure glycol in water, and the percentage that freezes there: a table in mass %, turned into label
/// percent by the handbook's pairs, ln[(w/(1−w))/(φ/(1−φ))] = a + bφ.
fn pure_percent(glycol: Glycol, t: f64) -> f64 {
    let (name, a, b) = match glycol {
        Glycol::Ethylene => ("eg", 0.131_22, -0.0696),
        Glycol::Propylene => ("pg", 0.059_01, -0.105_29),
    };
    let table = include_str!("../../data/pure_freezing.csv");
    let rows: Vec<(f64, f64)> = table
        .lines()
        .filter_map(|line| {
            let mut cells = line.split(',');
            (cells.next() == Some(name)).then_some(())?;
            Some((
                cells.next()?.parse().unwrap(),
                cells.next()?.parse().unwrap(),
            ))
        })
        .collect();
    let pair = rows
        .windows(2)
        .find(|p| p[1].1 <= t)
        .unwrap_or(&rows[rows.len() - 2..]);
    let share = (t - pair[0].1) / (pair[1].1 - pair[0].1);
    let mass = (pair[0].0 + share * (pair[1].0 - pair[0].0)).clamp(0.01, 99.0) / 100.0;
    let mut phi = mass;
    for _ in 0..30 {
        let odds = mass / (1.0 - mass) / (a + b * phi).exp();
        phi = odds / (1.0 + odds);
    }
    100.0 * phi
}

/// Percent that freezes at `t` on the handbook's curve.
fn handbook_percent(glycol: Glycol, t: f64) -> f64 {
    let (mut low, mut high) = (0.0, 57.8);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        let phi = LabelFraction::from_percent(middle).unwrap();
        match freezing_point(glycol, phi).unwrap() {
            Freezing::At(at) if in_celsius(at) > t => low = middle,
            _ => high = middle,
        }
    }
    low
}

/// The percentage that may really be in a loop whose instrument shows what was typed.
fn really(lp: &Loop, chance: &mut Chance) -> f64 {
    let fluid = glycol(lp);
    let percent = match lp.now {
        Now::Percent { value, plus_minus } => value + chance.normal(plus_minus.unwrap_or(2.0)),
        Now::Flushed { percent, .. } if percent > 0.0 => percent + chance.normal(2.0),
        // A refractometer whose scale was drawn for inhibited coolant or for pure glycol: nobody knows which.
        Now::FreezingPoint {
            value,
            unit,
            plus_minus,
            ..
        } => {
            let t = unit.to_celsius(value) + chance.normal(plus_minus.unwrap_or(1.0));
            if chance.0.uniform() < 0.5 {
                handbook_percent(fluid, t)
            } else {
                pure_percent(fluid, t)
            }
        }
        // Inhibitors make a coolant heavier, by anything up to what the handbook's has: with fewer, it is stronger than it
        // reads. A hydrometer by itself is good to 4 K of frost (ASTM D3321).
        Now::SpecificGravity {
            value,
            at,
            plus_minus,
        } => {
            let read = |plus_minus| {
                let reading = reading::Reading::SpecificGravity {
                    value,
                    temperature: celsius(at.unit.to_celsius(at.value)),
                    plus_minus: Some(plus_minus),
                };
                let found = reading::composition(fluid, &reading).unwrap();
                (found.value.percent(), 100.0 * found.plus_minus)
            };
            let (percent, inhibitors) = read(0.0);
            let instrument = match plus_minus {
                Some(p) => (read(p).1 - inhibitors) * chance.normal(1.0),
                None => {
                    let phi = LabelFraction::from_percent(percent).unwrap();
                    let Freezing::At(t) = freezing_point(fluid, phi).unwrap() else {
                        panic!("off the table")
                    };
                    let moved = in_celsius(t) + chance.normal(4.0);
                    handbook_percent(fluid, moved) - percent
                }
            };
            percent + instrument + inhibitors * chance.0.uniform()
        }
        Now::Unknown {} => 100.0 * chance.0.uniform(),
        _ => 0.0,
    };
    percent.clamp(0.0, 100.0)
}

/// A loop drawn at random around the typed one, and what is poured into it.
struct World {
    balance: Balance,
    /// What it really holds at its mark.
    mark: f64,
    /// What each stock really is, percent.
    label: Vec<f64>,
    /// Half of what amounts are measured to, and of what a level by eye is.
    half_step: f64,
    half_eye: f64,
    /// It was empty or flushed before.
    refilled: bool,
}

impl World {
    fn drawn(job: &Job, answer: &LoopAnswer, chance: &mut Chance) -> Self {
        let typed = &job.loops[0];
        let usual = typed.measure_step.map_or(0.05, in_l);
        let finer = answer.cautions.iter().find_map(|c| match c.0 {
            Caution::FinerStep { step_litres } => Some(step_litres),
            _ => None,
        });
        let volume = typed.volume.value * typed.volume.unit.litres();
        let spread = typed
            .volume
            .plus_minus
            .map_or(0.05 * volume, |p| p * typed.volume.unit.litres());
        let moved = chance.normal(spread);
        let mark = volume + moved;
        let label: Vec<f64> = job
            .shelf
            .iter()
            .map(|s| {
                let usual = if s.percent > 0.0 { 1.0 } else { 0.0 };
                s.percent + chance.normal(s.plus_minus.unwrap_or(usual))
            })
            .collect();
        let missing = typed.missing.map_or(0.0, |m| m.value * m.unit.litres());
        let by_eye = (0.2 * missing).max(0.5 * usual);
        let by_eye = typed
            .missing
            .and_then(|m| Some(m.plus_minus? * m.unit.litres()))
            .unwrap_or(by_eye);
        let held = match typed.now {
            Now::Empty {} => 0.0,
            // What came out was measured, so what stayed is the rest of the loop that is really there.
            Now::Flushed { left_behind, .. } => {
                in_l(left_behind) + moved + chance.normal(0.5 * usual)
            }
            _ => mark - missing + chance.normal(by_eye),
        };
        let already = typed
            .additive
            .as_ref()
            .and_then(|a| a.already)
            .map_or(0.0, in_l);
        let mut balance = Balance::empty(typed.glycol);
        let percent = really(typed, chance);
        balance.pour(held - already, percent);
        balance.additive_l = already;
        Self {
            balance,
            mark,
            label,
            half_step: 0.5 * finer.unwrap_or(usual),
            half_eye: 0.5 * usual,
            refilled: matches!(typed.now, Now::Empty {} | Now::Flushed { .. }),
        }
    }

    fn label(&self, job: &Job, step: &Step) -> f64 {
        let name = step.stock.as_deref().unwrap();
        self.label[job.shelf.iter().position(|s| s.name == name).unwrap()]
    }

    /// Filled until it stands at the mark, by eye, on so much air: what that took.
    fn filled(&mut self, percent: f64, air: f64, chance: &mut Chance) -> f64 {
        let level = self.mark - air + chance.anywhere(self.half_eye);
        let mut amount = 0.0;
        for _ in 0..4 {
            let more = level - self.balance.litres();
            self.balance.pour(more, percent);
            amount += more;
        }
        amount
    }

    /// A step as the card says it; `entered` ones went by measure, others to the mark.
    fn follow(
        &mut self,
        job: &Job,
        answer: &LoopAnswer,
        step: &Step,
        entered: bool,
        chance: &mut Chance,
    ) {
        match (step.what, step.litres) {
            // All that is in it comes out, and is not measured.
            (Do::Draw, Some(amount))
                if !self.refilled && amount > answer.before.unwrap().litres - 1e-6 =>
            {
                self.balance.draw(f64::INFINITY);
            }
            (Do::Draw, Some(amount)) => self.balance.draw(amount + chance.anywhere(self.half_step)),
            (Do::Pour, Some(amount)) => {
                let percent = self.label(job, step);
                if step.to_the_mark && !entered {
                    self.filled(percent, 0.0, chance);
                } else {
                    let amount = amount + chance.anywhere(self.half_step);
                    self.balance.pour(amount, percent);
                }
            }
            _ => self.balance.step(step, &job.shelf),
        }
    }
}

/// The card followed on a loop drawn at random around the typed one.
fn followed(job: &Job, answer: &LoopAnswer, chance: &mut Chance) -> Real {
    let typed = &job.loops[0];
    let mut world = World::drawn(job, answer, chance);
    for step in answer.so_far.iter().chain(&answer.steps) {
        let entered = typed
            .done
            .iter()
            .any(|d| d.id == step.id && d.amount.is_some());
        world.follow(job, answer, step, entered, chance);
    }
    let World { balance, mark, .. } = world;
    let strength = LabelFraction::from_percent(balance.percent().clamp(0.0, 100.0)).unwrap();
    let percent = balance.percent();
    let litres = balance.litres();
    let mut real = Real {
        percent,
        litres,
        hot: 0.0,
        room: 0.0,
        film: 0.0,
        carried: 0.0,
    };
    let (Some(peak), Some(room)) = (typed.peak_temperature, typed.tank_room) else {
        return real;
    };
    let fluid = glycol(typed);
    let rho = |t: f64| density(fluid, strength, celsius(t)).unwrap().value;
    let fill = typed.fill_temperature.map_or(20.0, |q| q.value) + chance.normal(FILL_K);
    let room = in_l(room);
    let running = celsius(typed.running_temperature.map_or(90.0, |q| q.value));
    let film = heat::film_vs_water(fluid, strength, running).unwrap().value;
    let carried = heat::heat_carried_vs_water(fluid, strength, running)
        .unwrap()
        .value;
    real.hot = litres * rho(fill) / rho(peak.value) * (1.0 + chance.normal(GROWTH_SHARE));
    real.room = mark + room + chance.normal(ROOM_SHARE * room) - real.hot;
    real.film = film * (1.0 + chance.normal(heat::FILM_ERROR));
    real.carried = carried * (1.0 + chance.normal(heat::CARRIED_ERROR));
    real
}

type Figure = (&'static str, Option<f64>, Option<f64>, fn(&Real) -> f64);

fn judge(name: &str, figure: &str, share: f64, covers: Covers) {
    println!("{name}, {figure}: {:.2} % covered", 100.0 * share);
    let (least, most) = match covers {
        AsSaid => (0.93, 0.97),
        SafeSided | StepDominated => (0.95, 1.0),
    };
    assert!(
        (least..=most).contains(&share),
        "{name}, {figure}: {:.2} % covered",
        100.0 * share
    );
}

/// The job's strength; where it has a peak and room, its levels and its heat too.
fn check(name: &str, job: &Job, strength: Covers, level: Covers) {
    let card = job::answer(job).loops.remove(0);
    let after = card
        .after
        .unwrap_or_else(|| panic!("{name}: {:?}", card.error));
    let mut chance = Chance(Normals::from(7));
    let real: Vec<Real> = (0..DRAWS)
        .map(|_| followed(job, &card, &mut chance))
        .collect();
    let figures: [(Covers, Figure); 6] = [
        (
            strength,
            ("percent", after.percent, after.plus_minus, |r| r.percent),
        ),
        (
            level,
            ("litres", Some(after.litres), after.litres_plus_minus, |r| {
                r.litres
            }),
        ),
        (
            level,
            ("hot", after.hot_litres, after.hot_litres_plus_minus, |r| {
                r.hot
            }),
        ),
        (
            level,
            (
                "room",
                after.tank_room_litres,
                after.tank_room_litres_plus_minus,
                |r| r.room,
            ),
        ),
        (
            strength,
            (
                "film",
                after.film_vs_water,
                after.film_vs_water_plus_minus,
                |r| r.film,
            ),
        ),
        (
            strength,
            (
                "heat",
                after.heat_carried_vs_water,
                after.heat_carried_vs_water_plus_minus,
                |r| r.carried,
            ),
        ),
    ];
    let all = job.loops[0].peak_temperature.is_some() && job.loops[0].tank_room.is_some();
    for (covers, (figure, value, said, of)) in figures.into_iter().take(if all { 6 } else { 2 }) {
        let (value, said) = (value.unwrap(), said.unwrap());
        let within = real
            .iter()
            .filter(|r| (of(r) - value).abs() <= said)
            .count();
        println!("{name}, {figure}: {value:.3} \u{b1} {said:.4}");
        judge(name, figure, within as f64 / DRAWS as f64, covers);
    }
}

fn case(text: &str) -> Job {
    job::read(text).unwrap()
}

/// Three loops that differ in how their volume and their jug are known, and one past its peak.
fn vans() -> [(&'static str, Job); 5] {
    let van = common::van();
    let mut unsure = van.clone();
    unsure.loops[0].volume.plus_minus = Some(0.8);
    unsure.loops[0].tank_room = Some(litres(0.9));
    let mut small = van.clone();
    small.loops[0].measure_step = Some(litres(0.25));
    let mut coarse = small.clone();
    coarse.loops[0].volume.value = 42.0;
    coarse.loops[0].missing = Some(litres(3.0).into());
    coarse.loops[0].draw_limit = None;
    let mut propylene = van.clone();
    propylene.loops[0].glycol = GlycolName::Propylene;
    for stock in &mut propylene.shelf {
        stock.glycol = stock.glycol.map(|_| GlycolName::Propylene);
    }
    [
        ("the van", van),
        ("an unsure volume", unsure),
        ("a finer jug than usual asked for", small),
        ("a coarse jug", coarse),
        ("propylene", propylene),
    ]
}

fn thin() -> Job {
    let mut thin = common::van();
    thin.loops[0].volume.plus_minus = Some(0.8);
    thin.loops[0].now = Now::Percent {
        value: 6.0,
        plus_minus: Some(0.5),
    };
    thin.loops[0].draw_limit = Some(litres(6.0));
    thin
}

fn flushed(percent: f64) -> Job {
    let mut flushed = common::van();
    flushed.loops[0].missing = None;
    flushed.loops[0].now = Now::Flushed {
        left_behind: litres(1.9),
        percent,
    };
    flushed
}

#[test]
fn strength_levels_and_heat_are_as_sure_as_they_say() {
    for (name, job) in vans() {
        // A coarse jug in a small loop: the level at the mark is one rectangle.
        let level = match name {
            "a finer jug than usual asked for" => StepDominated,
            _ => AsSaid,
        };
        check(name, &job, AsSaid, level);
    }
    check("a thin mix and an unsure volume", &thin(), AsSaid, AsSaid);
}

#[test]
fn refills_follow_the_true_mark() {
    check("flushed", &flushed(0.0), AsSaid, AsSaid);
    check(
        "flushed, some coolant left in",
        &flushed(20.0),
        AsSaid,
        AsSaid,
    );
    let empty = case(include_str!("../cases/D3_empty_spread.json"));
    check("empty, concentrate and water", &empty, AsSaid, AsSaid);
    let premix = case(include_str!("../cases/H_premix.json"));
    check("empty, premix", &premix, AsSaid, AsSaid);
    // By hand: 10 L ± 5 % holds a measured 5 L of concentrate, so ± 5 % of 50; all of premix's is its label's, 1 point.
    let half_width = |job: &Job| job::answer(job).loops[0].after.unwrap().plus_minus.unwrap();
    assert!((half_width(&empty) - 2.5).abs() < 0.3);
    assert!((half_width(&premix) - 1.0).abs() < 0.01);
}

#[test]
fn rounds_and_premix() {
    let premix = case(include_str!("../cases/G_premix_rounds.json"));
    check("premix in rounds", &premix, AsSaid, AsSaid);
    let mut rounds = premix.clone();
    rounds.shelf = vec![stock("Concentrate", 100.0), stock("Water", 0.0)];
    rounds.loops[0].now = Now::Percent {
        value: 15.0,
        plus_minus: Some(1.0),
    };
    check("concentrate in rounds", &rounds, AsSaid, AsSaid);
    let mut renewed = premix;
    renewed.loops[0].renew = Some(Share { fraction: 0.8 });
    renewed.shelf.push(stock("Concentrate", 100.0));
    check("renewed", &renewed, AsSaid, AsSaid);
    let mut top_up = common::van();
    top_up.loops[0].now = Now::Percent {
        value: 46.0,
        plus_minus: Some(1.0),
    };
    top_up.loops[0].missing = Some(litres(1.0).into());
    top_up.loops[0].additive = None;
    assert_eq!(job::answer(&top_up).loops[0].way, Some(Way::TopUp));
    check("a top-up", &top_up, AsSaid, AsSaid);
}

#[test]
fn what_is_missing_has_a_range_of_its_own() {
    let guessed = case(include_str!("../cases/Z_missing0.json"));
    check("missing by eye", &guessed, AsSaid, StepDominated);
    let mut measured = guessed.clone();
    measured.loops[0].missing.as_mut().unwrap().plus_minus = Some(0.0);
    check("missing for certain", &measured, AsSaid, StepDominated);
    measured.shelf[0].plus_minus = Some(0.0);
    check(
        "and the label's word",
        &measured,
        StepDominated,
        StepDominated,
    );
    let said = |job: &Job| job::answer(job).loops[0].after.unwrap().plus_minus.unwrap();
    assert!(said(&measured) < 0.3 * said(&guessed));
    // A loop that nothing is done to stands where it was seen to.
    let mut idle = guessed;
    idle.loops[0].now = Now::Percent {
        value: 50.0,
        plus_minus: Some(1.0),
    };
    idle.loops[0].missing = None;
    assert_eq!(job::answer(&idle).loops[0].way, Some(Way::Nothing));
    check("nothing to do", &idle, AsSaid, AsSaid);
    let mut full = common::van();
    full.loops[0].missing = None;
    assert_eq!(job::answer(&full).loops[0].way, Some(Way::DrawAndPour));
    check("nothing missing", &full, AsSaid, AsSaid);
    let seen = case(include_str!("../cases/X_missing_true11.json"));
    check("entered as it went", &seen, AsSaid, StepDominated);
}

#[test]
fn a_label_has_a_range_of_its_own() {
    let mut job = case(include_str!("../cases/G_premix_rounds.json"));
    job.shelf[0].plus_minus = Some(3.0);
    check("a vague label", &job, AsSaid, AsSaid);
    let mut plain = common::van();
    plain.shelf[0].plus_minus = Some(4.0);
    check("a vague concentrate", &plain, AsSaid, AsSaid);
}

#[test]
fn every_instrument() {
    let degrees = |value| Quantity {
        value,
        unit: pourcard::job::units::TemperatureUnit::DegC,
    };
    let job = |now: Now, glycol: GlycolName| {
        let mut job = common::van();
        job.loops[0].glycol = glycol;
        for stock in job.shelf.iter_mut().filter(|s| s.percent > 0.0) {
            stock.glycol = Some(glycol);
        }
        job.loops[0].now = now;
        // Of what follows from the strength only the strength.
        job.loops[0].peak_temperature = None;
        job
    };
    for glycol in [GlycolName::Ethylene, GlycolName::Propylene] {
        for t in [-12.0, -22.0, -30.0] {
            let now = Now::FreezingPoint {
                value: t,
                unit: pourcard::job::units::TemperatureUnit::DegC,
                plus_minus: None,
                side: None,
            };
            check("a frost scale", &job(now, glycol), SafeSided, AsSaid);
        }
        for (value, plus_minus) in [(1.030, None), (1.040, Some(0.001))] {
            let now = Now::SpecificGravity {
                value,
                at: degrees(20.0),
                plus_minus,
            };
            check("a hydrometer", &job(now, glycol), SafeSided, AsSaid);
        }
    }
    let mut unknown = job(Now::Unknown {}, GlycolName::Ethylene);
    check("nobody knows, a draw's limit", &unknown, SafeSided, AsSaid);
    unknown.loops[0].draw_limit = None;
    check("nobody knows, drained dry", &unknown, AsSaid, AsSaid);
    let strips = case(include_str!("../cases/STRIP.json"));
    check("a strip", &strips, AsSaid, AsSaid);
}

/// Something else than the card said was done, measured and entered; the rest by the card made anew.
#[test]
fn what_was_entered_is_as_sure_as_it_says() {
    for (name, job) in [("the van", common::van()), ("a thin mix", thin())] {
        for times in [0.6, 1.6] {
            let card = job::answer(&job).loops.remove(0);
            let step = &card.steps[0];
            let mut entered = job.clone();
            entered.loops[0].done.push(Done {
                id: step.id.clone(),
                amount: step.litres.map(|l| litres(l * times)),
                ..Done::blank()
            });
            let answer = job::answer(&entered).loops.remove(0);
            assert!(!answer.so_far.is_empty() && answer.steps.iter().any(|s| s.litres.is_some()));
            check(&format!("{name}, {times} times"), &entered, AsSaid, AsSaid);
        }
    }
}

/// Ticked one by one, at last all of it: what was done is no surer than what was to be done.
#[test]
fn what_was_ticked_is_as_sure_as_it_says() {
    let mut jobs = vans().to_vec();
    // The rest of a card that asks for a finer measure may do with the usual one, and is then less sure.
    jobs.retain(|(name, _)| *name != "a finer jug than usual asked for");
    jobs.push(("flushed", flushed(0.0)));
    for (name, mut job) in jobs {
        let card = job::answer(&job).loops.remove(0);
        for step in &card.steps {
            job.loops[0].done.push(Done {
                id: step.id.clone(),
                ..Done::blank()
            });
        }
        check(&format!("{name}, ticked"), &job, AsSaid, AsSaid);
    }
}
