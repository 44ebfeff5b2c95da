//! Spot temperatures before and after, compared fairly.
//!
//! What counts is the rise above the surrounding air, of the same spot, run by run: the first run before is paired with
//! the first run after, and so on. A pair's difference is the rise after less the rise before; several pairs give a mean
//! and Student's 95 % interval; several spots are judged together by Holm's step-down; a mean below the instrument's own
//! accuracy is no difference seen, whatever chance says.
//!
//! Never done here: guessing an emissivity, or pairing runs of different spots.

use super::student::{CHANCE, holm, mean, t_95, two_sided};
use crate::engine::quantity::{TemperatureInterval, ThermodynamicTemperature, difference, kelvins};
use crate::engine::source::Source;

/// What an infrared thermometer shows, corrected; in kelvin.
pub const SURFACE_FORMULA: &str = "T\u{2074} \u{2212} T_r\u{2074} = (\u{3b5}_set/\u{3b5}) (T_shown\u{2074} \u{2212} T_r\u{2074}), r what the surface mirrors: the air unless said";
/// The comparison of n pairs.
pub const COMPARISON_FORMULA: &str =
    "mean d \u{b1} t(0.975, n \u{2212} 1) s/\u{221a}n, d the rise after less the rise before";
/// What an infrared thermometer shows, corrected: sources.
pub const SURFACE_SOURCE: Source = Source {
    citation: "Stefan\u{2013}Boltzmann for a grey surface that also mirrors its surroundings, as in radiation thermometry \
               texts (Michalski et al., Temperature Measurement, 2nd ed., ch. 8; from memory)",
    stated_error: "the instrument's, times how much the correction stretches it; hand-held instruments see 8 to 14 \u{b5}m \
                   only, which this whole-spectrum form meets to about 1 K for emissivities above 0.8",
};
/// The comparison: sources.
pub const COMPARISON_SOURCE: Source = Source {
    citation: "paired differences with Student's t; several spots by S. Holm, Scand. J. Statist. 6 (1979) 65\u{2013}70; \
               nothing below the instrument's accuracy",
    stated_error: "95 % for each interval; one chance in twenty of any wrong verdict among all the spots together",
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

/// A rise above the surrounding air.
pub fn rise(
    spot: ThermodynamicTemperature,
    ambient: ThermodynamicTemperature,
) -> TemperatureInterval {
    difference(spot, ambient)
}

/// One spot: its pairs of rises.
#[derive(Debug, Clone, PartialEq)]
pub struct Pairs {
    /// Rise before and rise after, K, pair by pair.
    pub rises: Vec<(f64, f64)>,
    /// Below this a difference is not seen, K: the instrument's accuracy, stretched by the correction.
    pub floor_k: f64,
    /// The surface mirrors more than it shows.
    pub mirrors: bool,
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
    /// One pair proves little.
    OneRun,
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
            Self::OneRun => "one_run",
            Self::NoPair => "no_pair",
            Self::Mirrors => "mirrors",
        }
    }
}

/// One spot judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// How many pairs.
    pub pairs: u32,
    /// Mean rise before.
    pub before: Option<TemperatureInterval>,
    /// Mean rise after.
    pub after: Option<TemperatureInterval>,
    /// After less before.
    pub difference: Option<TemperatureInterval>,
    /// Half-width of its 95 % interval; two pairs or more.
    pub plus_minus: Option<TemperatureInterval>,
    /// The probability of such a difference by chance, for this spot alone.
    pub probability: Option<f64>,
    /// The same, all spots judged together.
    pub together: Option<f64>,
    /// Below this a difference is not seen.
    pub floor: TemperatureInterval,
    /// What can be said.
    pub verdict: Verdict,
}

/// All spots, judged together.
pub fn compare(spots: &[Pairs]) -> Vec<Compared> {
    let mut list: Vec<Compared> = spots.iter().map(alone).collect();
    let tested: Vec<usize> = (0..list.len())
        .filter(|&i| list[i].probability.is_some())
        .collect();
    let probabilities: Vec<f64> = tested.iter().filter_map(|&i| list[i].probability).collect();
    for (&i, adjusted) in tested.iter().zip(holm(&probabilities)) {
        let spot = &mut list[i];
        spot.together = Some(adjusted);
        let k = spot.difference.map_or(0.0, |d| d.value);
        if k.abs() >= spot.floor.value {
            spot.verdict = match (adjusted < CHANCE, k < 0.0) {
                (false, _) => Verdict::CannotTell,
                (true, true) => Verdict::Cooler,
                (true, false) => Verdict::Warmer,
            };
        }
    }
    list
}

/// One spot by itself; its verdict is final but for what several spots judged together change.
fn alone(spot: &Pairs) -> Compared {
    let side = |after: bool| {
        let pick = |pair: &(f64, f64)| if after { pair.1 } else { pair.0 };
        let rises: Vec<f64> = spot.rises.iter().map(pick).collect();
        kelvins(mean(&rises).0)
    };
    let some = !spot.rises.is_empty() && !spot.mirrors;
    let differences: Vec<f64> = spot.rises.iter().map(|(b, a)| a - b).collect();
    let (k, error) = mean(&differences);
    let error = error.filter(|_| some);
    let freedom = (differences.len() as u32).saturating_sub(1);
    Compared {
        pairs: differences.len() as u32,
        before: some.then(|| side(false)),
        after: some.then(|| side(true)),
        difference: some.then(|| kelvins(k)),
        plus_minus: error.map(|e| kelvins(e * t_95(freedom))),
        // Pairs that agree to the last digit leave chance nothing to explain, or nothing to be explained.
        probability: error.map(|e| match e > 0.0 {
            true => two_sided(k / e, freedom),
            false => f64::from(u8::from(k == 0.0)),
        }),
        together: None,
        floor: kelvins(spot.floor_k),
        verdict: match differences.len() {
            _ if spot.mirrors => Verdict::Mirrors,
            0 => Verdict::NoPair,
            1 => Verdict::OneRun,
            _ => Verdict::NoneSeen,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::quantity::{celsius, in_celsius};

    fn pairs(rises: &[(f64, f64)]) -> Pairs {
        Pairs {
            rises: rises.to_vec(),
            floor_k: ACCURACY_K,
            mirrors: false,
        }
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
        let sure = pairs(&[(60.0, 50.0), (61.0, 51.5), (59.0, 49.0)]);
        let warmer = pairs(&[(50.0, 60.0), (51.5, 61.0), (49.0, 59.0)]);
        let small = pairs(&[(60.0, 59.0), (61.0, 60.1), (59.0, 58.0)]);
        let wild = pairs(&[(60.0, 50.0), (61.0, 66.0), (59.0, 42.0)]);
        let bare = Pairs {
            mirrors: true,
            ..sure.clone()
        };
        let list = [
            sure,
            warmer,
            small,
            wild,
            pairs(&[(60.0, 50.0)]),
            pairs(&[]),
            bare,
        ];
        let verdicts: Vec<&str> = compare(&list).iter().map(|c| c.verdict.code()).collect();
        let expected = [
            "cooler",
            "warmer",
            "none_seen",
            "cannot_tell",
            "one_run",
            "no_pair",
            "mirrors",
        ];
        assert_eq!(verdicts, expected);
    }

    #[test]
    fn pairs_that_agree_to_the_last_digit() {
        let same = compare(&[
            pairs(&[(60.0, 60.0), (50.0, 50.0)]),
            pairs(&[(60.0, 50.0), (50.0, 40.0)]),
        ]);
        assert_eq!(same[0].verdict, Verdict::NoneSeen);
        assert_eq!(same[0].probability, Some(1.0));
        assert_eq!(same[1].verdict, Verdict::Cooler);
    }
}
