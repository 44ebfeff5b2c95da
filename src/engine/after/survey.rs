//! Spot temperatures before and after, compared fairly.
//!
//! A spot that the thermostat holds is judged by its temperature, one that follows the air by its rise above ambient, and
//! one of which neither is known by both, with a verdict only where they agree ([`super::held`]). One stop is one figure
//! ([`super::equal`]). Stops are paired only where the user pairs them, so the order they are written in means nothing:
//! three pairs or more give their mean difference with Student's t, else the two sides are compared by Welch's t with the
//! smaller n − 1 degrees of freedom, which errs on the safe side. Fewer than three of a side prove nothing. Several spots are
//! judged together by Holm's step-down, and looks one after the other share the chance of a false verdict
//! ([`super::power::chance`]). A mean below the instrument's own accuracy is no difference seen, whatever chance says.
//!
//! Never done here: guessing an emissivity, pairing what nobody paired, or saying what brought a difference about.

use super::equal::{Reading, at_equal_minutes};
use super::held::{Behaves, Thermostats, behaves};
use super::power::{AT_PLAN, Sought, chance, upper_80};
use super::student::{holm, mean, t_95, two_sided};
use crate::engine::quantity::{TemperatureInterval, ThermodynamicTemperature, kelvins};
use crate::engine::source::Source;

/// What an infrared thermometer shows, corrected; in kelvin.
pub const SURFACE_FORMULA: &str = "T\u{2074} \u{2212} T_r\u{2074} = (\u{3b5}_set/\u{3b5}) (T_shown\u{2074} \u{2212} T_r\u{2074}), r what the surface mirrors: the air unless said";
/// The comparison of two sides, or of n pairs.
pub const COMPARISON_FORMULA: &str = "d \u{b1} t(0.975, n \u{2212} 1) e, d the mean after less the mean before, e\u{b2} = s\u{2081}\u{b2}/n\u{2081} + s\u{2082}\u{b2}/n\u{2082}, n the smaller; of pairs e = s/\u{221a}n of their differences";
/// What an infrared thermometer shows, corrected: sources.
pub const SURFACE_SOURCE: Source = Source {
    citation: "Stefan\u{2013}Boltzmann for a grey surface that also mirrors its surroundings, as in radiation thermometry \
               texts (Michalski et al., Temperature Measurement, 2nd ed., ch. 8; from memory)",
    stated_error: "the instrument's, times how much the correction stretches it; hand-held instruments see 8 to 14 \u{b5}m \
                   only, which this whole-spectrum form meets to about 1 K for emissivities above 0.8",
};
/// The comparison: sources.
pub const COMPARISON_SOURCE: Source = Source {
    citation: "Welch's t (Biometrika 34 (1947) 28\u{2013}35) with the smaller n \u{2212} 1 degrees of freedom; pairs by \
               Student's t; several spots by S. Holm, Scand. J. Statist. 6 (1979) 65\u{2013}70; nothing below the \
               instrument's accuracy",
    stated_error: "95 % for each interval; one chance in twenty of any wrong verdict among all the spots together and all \
                   looks one after the other",
};

/// A surface that sends out less than this mirrors more than it shows: bare metal, to be taped (common practice; polished
/// aluminium has 0.05, paint, rubber and tape 0.95).
pub const MIRROR: f64 = 0.5;
/// Emissivity of paint, rubber and tape, and the usual setting of the instrument.
pub const USUAL: f64 = 0.95;
/// Accuracy of an instrument, where none is given: 2 K (ours).
pub const ACCURACY_K: f64 = 2.0;

/// The temperature of a surface of `emissivity` that an instrument set to `setting` shows as `shown`, with the
/// surroundings it mirrors at `reflected`: T⁴ − T_r⁴ = (ε_set/ε)(T_shown⁴ − T_r⁴), in kelvin. `None` where no
/// temperature above absolute zero fits, or the emissivities are not above 0.
pub fn surface(
    shown: ThermodynamicTemperature,
    reflected: ThermodynamicTemperature,
    setting: f64,
    emissivity: f64,
) -> Option<ThermodynamicTemperature> {
    let fourth = |t: ThermodynamicTemperature| t.value * t.value * t.value * t.value;
    let mirrored = fourth(reflected);
    let power = mirrored + setting / emissivity * (fourth(shown) - mirrored);
    (power > 0.0 && emissivity > 0.0 && setting > 0.0).then(|| {
        let mut t = shown;
        t.value = power.sqrt().sqrt();
        t
    })
}

/// How much a correction stretches the instrument's own error: dT/dT_shown, at least 1.
pub fn stretch(
    shown: ThermodynamicTemperature,
    corrected: ThermodynamicTemperature,
    setting: f64,
    emissivity: f64,
) -> f64 {
    let ratio = shown.value / corrected.value;
    (setting / emissivity * ratio * ratio * ratio).max(1.0)
}

/// One stop: when it was, what it is paired with, and what was read of one spot.
#[derive(Debug, Clone, PartialEq)]
pub struct Stop {
    /// After the change.
    pub after: bool,
    /// What it is paired with on the other side: the same number.
    pub pair: Option<u32>,
    /// Its readings, in any order; none: not measured here.
    pub readings: Vec<Reading>,
}

/// One spot, over all stops.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Its stops.
    pub stops: Vec<Stop>,
    /// Where it is, if that is known.
    pub side: Option<super::held::Side>,
    /// The surface mirrors more than it shows.
    pub mirrors: bool,
}

/// What was stated of the study beforehand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Study {
    /// Accuracy of the instrument, K.
    pub accuracy_k: f64,
    /// The difference that is looked for, K; `None`: what the instrument can just tell.
    pub sought_k: Option<f64>,
    /// Runs of each side that are planned.
    pub planned: Option<u32>,
    /// Before and after.
    pub thermostats: Thermostats,
}

/// What can be said of a spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Cooler, beyond chance and the instrument.
    Cooler,
    /// Warmer, likewise.
    Warmer,
    /// Less than the instrument can tell.
    NoneSeen,
    /// The runs scatter too much.
    CannotTell,
    /// By temperature it says one thing and by rise another, because the air differed.
    AirDiffered,
    /// Fewer than three of a side.
    FewRuns,
    /// The planned runs are not in.
    Planned,
    /// Not measured both before and after.
    NoPair,
    /// Bare metal: not judged.
    Mirrors,
}

impl Verdict {
    /// As the answer spells it.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Cooler => "cooler",
            Self::Warmer => "warmer",
            Self::NoneSeen => "none_seen",
            Self::CannotTell => "cannot_tell",
            Self::AirDiffered => "air_differed",
            Self::FewRuns => "few_runs",
            Self::Planned => "planned",
            Self::NoPair => "no_pair",
            Self::Mirrors => "mirrors",
        }
    }
}

/// As many stops of each side, or pairs, are needed before anything can be told.
pub const FEW: usize = 3;
/// Air that differed by less than this does not explain two judgements. Ours.
pub const AIR_K: f64 = 1.0;

/// What one judgement of a spot comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Judged {
    difference_k: f64,
    /// Standard error.
    error: Option<f64>,
    freedom: u32,
    /// Standard deviation of a run, or of a pair's difference.
    scatter_k: f64,
}

/// Temperature, °C, and rise, K, of each stop: before and after.
pub type BothSides = (Vec<(f64, f64)>, Vec<(f64, f64)>);

/// One spot judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// Stops before and after that count (pairs: as many of each).
    pub runs: (u32, u32),
    /// They are pairs.
    pub paired: bool,
    /// What the spot does.
    pub behaves: Behaves,
    /// It was judged by the rise above ambient; else by temperature.
    pub by_rise: bool,
    /// What each stop gave, before and after, in rising order.
    pub figures: BothSides,
    /// After less before, as judged: of two judgements, the less sure.
    pub difference: Option<TemperatureInterval>,
    /// The same of temperature and of rise.
    pub both: Option<(TemperatureInterval, TemperatureInterval)>,
    /// Half-width of its 95 % interval.
    pub plus_minus: Option<TemperatureInterval>,
    /// The probability of such a difference by chance, for this spot alone.
    pub probability: Option<f64>,
    /// The same, all spots judged together.
    pub together: Option<f64>,
    /// Below this a difference is not seen: the instrument's accuracy, stretched by the correction.
    pub floor: TemperatureInterval,
    /// So many more runs of each would tell the difference that is looked for, from and to; no end: over
    /// [`super::power::MOST`] of each.
    pub more: Option<(u32, Option<u32>)>,
    /// The worst stop is off by so many minutes; 0: all are alike.
    pub minutes_off: f64,
    /// What can be said.
    pub verdict: Verdict,
}

/// All spots judged together.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// In the order given.
    pub spots: Vec<Compared>,
    /// The chance of a false verdict that was allowed at this look; `None`: the planned runs are not in.
    pub chance: Option<f64>,
    /// Stops that are paired with nothing while others are in pairs.
    pub unpaired: u32,
    /// After less before, of the air, K.
    pub air_k: Option<f64>,
}

/// All spots, judged together.
pub fn compare(places: &[Place], study: &Study) -> Found {
    let timed: Vec<Timed> = places.iter().map(at_minutes).collect();
    let full_open = timed.iter().zip(places).any(|(t, place)| {
        let (before, after) = t.sides();
        place.side.is_some()
            && behaves(place.side, &before, &after, &study.thermostats, false) == Behaves::Free
            && place.side != Some(super::held::Side::Air)
    });
    let look = Look::of(places, study);
    let alone = timed.iter().zip(places);
    let mut spots: Vec<(Compared, Vec<Judged>)> = alone
        .map(|(t, place)| one(t, place, study, &look, full_open))
        .collect();
    let tested: Vec<usize> = (0..spots.len())
        .filter(|&i| spots[i].0.probability.is_some())
        .collect();
    let probabilities: Vec<f64> = tested
        .iter()
        .filter_map(|&i| spots[i].0.probability)
        .collect();
    for (&i, adjusted) in tested.iter().zip(holm(&probabilities)) {
        spots[i].0.together = Some(adjusted);
    }
    let air_k = air(places);
    for (spot, judged) in &mut spots {
        settle(spot, judged, &look, air_k.unwrap_or(0.0));
        more(spot, judged, study, tested.len());
    }
    Found {
        spots: spots.into_iter().map(|s| s.0).collect(),
        chance: look.chance,
        unpaired: look.unpaired,
        air_k,
    }
}

/// How many stops there are, in pairs or not, and what that allows.
struct Look {
    pairs: Vec<u32>,
    /// Three pairs or more: they are what counts.
    paired: bool,
    chance: Option<f64>,
    unpaired: u32,
}

impl Look {
    fn of(places: &[Place], study: &Study) -> Self {
        // Every place has the same stops; one that no place was measured at is none.
        let count = places.first().map_or(0, |p| p.stops.len());
        let met = |i: &usize| places.iter().any(|p| !p.stops[*i].readings.is_empty());
        let stops: Vec<&Stop> = (0..count)
            .filter(met)
            .map(|i| &places[0].stops[i])
            .collect();
        let side = |after: bool| stops.iter().filter(|s| s.after == after).count() as u32;
        let mut pairs: Vec<u32> = Vec::new();
        for stop in stops.iter().filter(|s| !s.after) {
            let other = |s: &&&Stop| s.after && s.pair.is_some() && s.pair == stop.pair;
            if let Some(pair) = stop.pair.filter(|p| !pairs.contains(p))
                && stops.iter().any(|s| other(&s))
            {
                pairs.push(pair);
            }
        }
        crate::engine::order::in_order(&mut pairs, u32::cmp);
        let paired = pairs.len() >= FEW;
        let (before, after) = (side(false), side(true));
        let (runs, extra) = if paired {
            let n = pairs.len() as u32;
            (n, n.saturating_sub(study.planned.unwrap_or(n)))
        } else {
            let runs = before.min(after);
            let planned = 2 * study.planned.unwrap_or(runs);
            (runs, (before + after).saturating_sub(planned))
        };
        let alone = stops
            .iter()
            .filter(|s| !s.pair.is_some_and(|p| pairs.contains(&p)));
        Self {
            unpaired: if paired { alone.count() as u32 } else { 0 },
            paired,
            chance: chance(runs, extra, study.planned),
            pairs,
        }
    }
}

/// A place at equal minutes: each stop's side, pair and figure.
struct Timed {
    list: Vec<(bool, Option<u32>, Reading)>,
    off: f64,
}

impl Timed {
    fn sides(&self) -> (Vec<f64>, Vec<f64>) {
        let of = |after: bool| {
            let of_side = self.list.iter().filter(move |s| s.0 == after);
            of_side.map(|s| s.2.spot_c).collect()
        };
        (of(false), of(true))
    }
}

fn at_minutes(place: &Place) -> Timed {
    let readings: Vec<Vec<Reading>> = place.stops.iter().map(|s| s.readings.clone()).collect();
    let (points, off) = at_equal_minutes(&readings);
    let stops = place.stops.iter().zip(points);
    Timed {
        list: stops
            .filter_map(|(s, point)| Some((s.after, s.pair, point?)))
            .collect(),
        off,
    }
}

/// After less before, of the air over all stops.
fn air(places: &[Place]) -> Option<f64> {
    let mean_of = |after: bool| {
        let stops = places
            .iter()
            .flat_map(|p| &p.stops)
            .filter(|s| s.after == after);
        let all: Vec<f64> = stops
            .flat_map(|s| &s.readings)
            .map(|r| r.ambient_c)
            .collect();
        (!all.is_empty()).then(|| mean(&all).0)
    };
    Some(mean_of(true)? - mean_of(false)?)
}

/// What counts of a spot: the figures of both sides, pair by pair where there are pairs.
fn figures(timed: &Timed, look: &Look) -> BothSides {
    let figure = |r: &Reading| (r.spot_c, r.spot_c - r.ambient_c);
    let side = |after: bool, pair: Option<u32>| -> Vec<(f64, f64)> {
        let mut list: Vec<(f64, f64)> = timed
            .list
            .iter()
            .filter(|s| s.0 == after && (pair.is_none() || s.1 == pair))
            .map(|s| figure(&s.2))
            .collect();
        crate::engine::order::in_order(&mut list, |a, b| {
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        list
    };
    if !look.paired {
        return (side(false, None), side(true, None));
    }
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for &pair in &look.pairs {
        let (b, a) = (side(false, Some(pair)), side(true, Some(pair)));
        if !b.is_empty() && !a.is_empty() {
            before.push(middle(&b));
            after.push(middle(&a));
        }
    }
    (before, after)
}

fn middle(list: &[(f64, f64)]) -> (f64, f64) {
    let n = list.len() as f64;
    let (t, r) = list.iter().fold((0.0, 0.0), |s, f| (s.0 + f.0, s.1 + f.1));
    (t / n, r / n)
}

/// One spot by itself.
fn one(
    timed: &Timed,
    place: &Place,
    study: &Study,
    look: &Look,
    full_open: bool,
) -> (Compared, Vec<Judged>) {
    let (before, after) = figures(timed, look);
    let (t_before, t_after) = timed.sides();
    let behaves = behaves(
        place.side,
        &t_before,
        &t_after,
        &study.thermostats,
        full_open,
    );
    let some = !before.is_empty() && !after.is_empty() && !place.mirrors;
    let pick = |list: &[(f64, f64)], rise: bool| -> Vec<f64> {
        let of = |f: &(f64, f64)| if rise { f.1 } else { f.0 };
        list.iter().map(of).collect()
    };
    let judge = |rise: bool| {
        let (b, a) = (pick(&before, rise), pick(&after, rise));
        if look.paired {
            of_pairs(&b, &a)
        } else {
            of_sides(&b, &a)
        }
    };
    let judged: Vec<Judged> = match behaves {
        _ if !some => Vec::new(),
        Behaves::Held => vec![judge(false)],
        Behaves::Free => vec![judge(true)],
        Behaves::Unknown => vec![judge(false), judge(true)],
    };
    let stretch = timed
        .list
        .iter()
        .fold(1.0, |most: f64, s| most.max(s.2.stretch));
    let shown = least_sure(&judged);
    let few = before.len().min(after.len()) < FEW;
    let compared = Compared {
        runs: (before.len() as u32, after.len() as u32),
        paired: look.paired,
        behaves,
        by_rise: behaves != Behaves::Held && (judged.len() < 2 || shown == 1),
        difference: judged.get(shown).map(|j| kelvins(j.difference_k)),
        both: some.then(|| {
            let k = |rise| kelvins(judge(rise).difference_k);
            (k(false), k(true))
        }),
        plus_minus: judged
            .get(shown)
            .and_then(|j| Some(kelvins(j.error? * t_95(j.freedom)))),
        probability: judged
            .get(shown)
            .filter(|_| !few && look.chance.is_some())
            .and_then(Judged::probability),
        together: None,
        floor: kelvins(study.accuracy_k * stretch),
        more: None,
        minutes_off: timed.off,
        verdict: if place.mirrors {
            Verdict::Mirrors
        } else if !some {
            Verdict::NoPair
        } else if look.chance.is_none() {
            Verdict::Planned
        } else if few {
            Verdict::FewRuns
        } else {
            Verdict::NoneSeen
        },
        figures: (before, after),
    };
    (compared, judged)
}

/// The place of the judgement that chance explains best; of none that can be tested, of the smaller difference.
fn least_sure(judged: &[Judged]) -> usize {
    let [first, second] = judged else { return 0 };
    match (first.probability(), second.probability()) {
        (Some(a), Some(b)) if a.total_cmp(&b).is_ne() => usize::from(b > a),
        _ => usize::from(second.difference_k.abs() < first.difference_k.abs()),
    }
}

impl Judged {
    /// Figures that agree to the last digit leave chance nothing to explain, or nothing to be explained.
    fn probability(&self) -> Option<f64> {
        self.error.map(|e| match e > 1e-9 {
            true => two_sided(self.difference_k / e, self.freedom),
            false => f64::from(u8::from(self.difference_k.abs() < 1e-9)),
        })
    }

    fn says(&self, chance: f64, probability: f64, floor_k: f64) -> Verdict {
        if self.difference_k.abs() < floor_k {
            return Verdict::NoneSeen;
        }
        match (probability < chance, self.difference_k < 0.0) {
            (false, _) => Verdict::CannotTell,
            (true, true) => Verdict::Cooler,
            (true, false) => Verdict::Warmer,
        }
    }
}

fn of_pairs(before: &[f64], after: &[f64]) -> Judged {
    let differences: Vec<f64> = before.iter().zip(after).map(|(b, a)| a - b).collect();
    let (difference_k, error) = mean(&differences);
    let n = differences.len() as f64;
    Judged {
        difference_k,
        error,
        freedom: (differences.len() as u32).saturating_sub(1),
        scatter_k: error.unwrap_or(0.0) * n.sqrt(),
    }
}

fn of_sides(before: &[f64], after: &[f64]) -> Judged {
    let ((b, eb), (a, ea)) = (mean(before), mean(after));
    let error = eb.zip(ea).map(|(eb, ea)| (eb * eb + ea * ea).sqrt());
    let (n, m) = (before.len() as f64, after.len() as f64);
    let squares = |e: Option<f64>, n: f64| e.unwrap_or(0.0) * e.unwrap_or(0.0) * n * (n - 1.0);
    let freedom = (n + m - 2.0).max(1.0);
    Judged {
        difference_k: a - b,
        error,
        freedom: (before.len().min(after.len()) as u32)
            .saturating_sub(1)
            .max(1),
        scatter_k: ((squares(eb, n) + squares(ea, m)) / freedom).sqrt(),
    }
}

/// The verdict, once all spots are judged together.
fn settle(spot: &mut Compared, judged: &[Judged], look: &Look, air_k: f64) {
    let (Some(together), Some(chance)) = (spot.together, look.chance) else {
        return;
    };
    let floor_k = spot.floor.value;
    let of = |j: &Judged| {
        let p = j.probability().unwrap_or(1.0);
        // The surer of two judgements is raised as the other was.
        let p = if judged.len() > 1 { p } else { together };
        j.says(chance, p, floor_k)
    };
    let verdicts: Vec<Verdict> = judged.iter().map(of).collect();
    let agree = verdicts.windows(2).all(|v| v[0] == v[1]);
    spot.verdict = match verdicts.first() {
        Some(&Verdict::Cooler | &Verdict::Warmer) if agree && together >= chance => {
            Verdict::CannotTell
        }
        Some(&v) if agree => v,
        _ if air_k.abs() >= AIR_K => Verdict::AirDiffered,
        _ => Verdict::CannotTell,
    };
}

/// How many more runs would tell what is looked for, where these do not.
fn more(spot: &mut Compared, judged: &[Judged], study: &Study, spots: usize) {
    let open = matches!(
        spot.verdict,
        Verdict::CannotTell | Verdict::FewRuns | Verdict::Planned
    );
    let have = spot.runs.0.min(spot.runs.1);
    let known = if spot.paired {
        have
    } else {
        (spot.runs.0 + spot.runs.1).saturating_sub(1)
    };
    let Some(j) = judged.get(usize::from(judged.len() > 1 && spot.by_rise)) else {
        return;
    };
    // Two of each are the least that say how much runs vary.
    if !open || have < 2 || known < 3 {
        return;
    }
    let runs = |scatter_k: f64, chance: f64| {
        let sought = Sought {
            difference_k: study.sought_k.unwrap_or(spot.floor.value),
            scatter_k,
            paired: spot.paired,
            chance,
        };
        sought.runs().map(|n| n.saturating_sub(have))
    };
    // Planned from now on; several spots are judged together at worst as one of so many.
    let from = runs(j.scatter_k, AT_PLAN);
    let high = upper_80(known - 1) * j.scatter_k;
    let to = runs(high, AT_PLAN / spots.max(1) as f64);
    spot.more = Some((
        from.unwrap_or(super::power::MOST),
        to.filter(|_| from.is_some()),
    ));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::quantity::{celsius, in_celsius};

    /// Stops of a spot in air of 20 °C: its rises before and after.
    fn place(before: &[f64], after: &[f64], paired: bool) -> Place {
        let of = |after: bool| {
            move |(i, &k): (usize, &f64)| Stop {
                after,
                pair: paired.then_some(i as u32),
                readings: vec![Reading {
                    minutes: None,
                    spot_c: 20.0 + k,
                    ambient_c: 20.0,
                    stretch: 1.0,
                }],
            }
        };
        let stops = before.iter().enumerate().map(of(false));
        Place {
            stops: stops
                .chain(after.iter().enumerate().map(of(true)))
                .collect(),
            side: None,
            mirrors: false,
        }
    }

    const STUDY: Study = Study {
        accuracy_k: ACCURACY_K,
        sought_k: None,
        planned: None,
        thermostats: Thermostats {
            before: None,
            after: None,
        },
    };

    fn verdicts(list: &[Place], study: &Study) -> Vec<&'static str> {
        let found = compare(list, study);
        found.spots.iter().map(|c| c.verdict.code()).collect()
    }

    #[test]
    fn a_surface_that_is_what_the_instrument_is_set_to_is_as_shown() {
        let t = surface(celsius(80.0), celsius(20.0), 0.95, 0.95).unwrap();
        assert!((in_celsius(t) - 80.0).abs() < 1e-9);
        // Everything as warm as its surroundings looks so, whatever it is made of.
        let t = surface(celsius(20.0), celsius(20.0), 0.95, 0.3).unwrap();
        assert!((in_celsius(t) - 20.0).abs() < 1e-9);
        assert_eq!(surface(celsius(0.0), celsius(90.0), 1.0, 0.1), None);
        assert_eq!(surface(celsius(50.0), celsius(20.0), 1.0, 0.0), None);
    }

    #[test]
    fn each_verdict() {
        let before = [60.0, 61.0, 59.0, 60.5];
        let sure = place(&before, &[50.0, 51.5, 49.0, 50.0], false);
        let bare = Place {
            mirrors: true,
            ..sure.clone()
        };
        for (place, expected) in [
            (sure.clone(), "cooler"),
            (place(&[50.0, 51.5, 49.0, 50.0], &before, false), "warmer"),
            (
                place(&before, &[59.0, 60.1, 58.0, 59.9], false),
                "none_seen",
            ),
            (
                place(&before, &[50.0, 66.0, 42.0, 60.0], false),
                "cannot_tell",
            ),
            (place(&before, &[50.0, 51.0], false), "few_runs"),
            (place(&before, &[], false), "no_pair"),
            (bare, "mirrors"),
        ] {
            assert_eq!(verdicts(&[place], &STUDY), [expected]);
        }
        let planned = Study {
            planned: Some(5),
            ..STUDY
        };
        assert_eq!(verdicts(&[sure], &planned), ["planned"]);
        assert!(compare(&[], &STUDY).spots.is_empty());
    }

    #[test]
    fn figures_that_agree_to_the_last_digit() {
        let same = place(&[60.0; 3], &[60.0; 3], false);
        let apart = place(&[60.0; 3], &[50.0; 3], false);
        let found = compare(&[same, apart], &STUDY).spots;
        assert_eq!(found[0].verdict, Verdict::NoneSeen);
        assert_eq!(found[0].probability, Some(1.0));
        assert_eq!(found[1].verdict, Verdict::Cooler);
    }

    /// Two places that scatter much and move alike: pairs tell what sides apart cannot.
    #[test]
    fn pairs_count_where_the_user_made_three() {
        let (before, after) = ([40.0, 50.0, 60.0, 70.0], [37.0, 46.5, 57.2, 66.8]);
        let pairs = compare(&[place(&before, &after, true)], &STUDY)
            .spots
            .remove(0);
        assert!(pairs.paired && pairs.runs == (4, 4));
        assert_eq!(pairs.verdict, Verdict::Cooler);
        let apart = compare(&[place(&before, &after, false)], &STUDY)
            .spots
            .remove(0);
        assert_eq!(apart.verdict, Verdict::CannotTell);
        let two = compare(&[place(&before[..2], &after[..2], true)], &STUDY)
            .spots
            .remove(0);
        assert_eq!((two.paired, two.verdict), (false, Verdict::FewRuns));
    }
}
