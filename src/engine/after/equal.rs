//! After shutdown a hot spot first rises, then falls: readings are compared at equal minutes.
//!
//! One stop gives one figure a spot, however often it was read. The minute is the one that most stops can give: as a
//! reading within [`ALIKE`] of it, or from between readings that fall. Between two readings the rise above ambient falls
//! by equal shares in equal times (Newton's law of cooling).
//!
//! Never done here: going beyond the readings of a stop, or between readings that do not fall, or are fewer than three.

use crate::engine::order::in_order;

/// Minutes this near each other are equal. Ours.
pub const ALIKE: f64 = 1.0;
/// As many falling readings of one stop are needed before anything is read between them.
pub const FALLING: usize = 3;

/// One reading of a spot, corrected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Minutes after shutdown, where they were written down.
    pub minutes: Option<f64>,
    /// Of the spot, °C.
    pub spot_c: f64,
    /// Of the ambient air, °C.
    pub ambient_c: f64,
    /// How much the correction stretches the instrument's error.
    pub stretch: f64,
}

impl Reading {
    fn rise(&self) -> f64 {
        self.spot_c - self.ambient_c
    }
}

/// What the stops give at equal minutes, in their order, and by how many minutes the worst of them is off.
pub fn at_equal_minutes(stops: &[Vec<Reading>]) -> (Vec<Option<Reading>>, f64) {
    let mut stops: Vec<Vec<Reading>> = stops.iter().map(|s| merged(s)).collect();
    let mut minutes: Vec<f64> = stops.iter().flatten().filter_map(|r| r.minutes).collect();
    in_order(&mut minutes, f64::total_cmp);
    let mut best: Option<(usize, f64, f64)> = None;
    for &m in &minutes {
        let given = stops.iter().filter_map(|s| gives(s, m));
        let (mut count, mut off) = (0, 0.0);
        for (_, apart) in given.filter(|(_, apart)| *apart <= ALIKE) {
            count += 1;
            off += apart;
        }
        if best.is_none_or(|(most, least, _)| count > most || count == most && off < least - 1e-9) {
            best = Some((count, off, m));
        }
    }
    let Some((_, _, at)) = best else {
        let mean = |s: &mut Vec<Reading>| (!s.is_empty()).then(|| average(s));
        return (stops.iter_mut().map(mean).collect(), 0.0);
    };
    let mut worst: f64 = 0.0;
    let points = stops.iter_mut().map(|s| match gives(s, at) {
        Some((reading, apart)) => {
            worst = worst.max(apart);
            Some(reading)
        }
        // Nobody wrote down when.
        None => (!s.is_empty()).then(|| average(s)),
    });
    let points = points.collect();
    (points, if worst > ALIKE { worst } else { 0.0 })
}

/// In order of time; of two readings of one minute, their mean.
fn merged(stop: &[Reading]) -> Vec<Reading> {
    let mut sorted = stop.to_vec();
    let key = |r: &Reading| (r.minutes.unwrap_or(-1.0), r.spot_c, r.ambient_c);
    in_order(&mut sorted, |a, b| {
        let (a, b) = (key(a), key(b));
        a.0.total_cmp(&b.0)
            .then(a.1.total_cmp(&b.1))
            .then(a.2.total_cmp(&b.2))
    });
    let mut list: Vec<Reading> = Vec::new();
    let mut rest = &sorted[..];
    while let Some(first) = rest.first() {
        let same = rest.iter().take_while(|r| r.minutes == first.minutes);
        let same = same.count();
        list.push(average(&rest[..same]));
        rest = &rest[same..];
    }
    list
}

fn average(readings: &[Reading]) -> Reading {
    let n = readings.len() as f64;
    let of = |f: &dyn Fn(&Reading) -> f64| readings.iter().map(f).sum::<f64>() / n;
    Reading {
        minutes: readings[0].minutes,
        spot_c: of(&|r| r.spot_c),
        ambient_c: of(&|r| r.ambient_c),
        stretch: readings.iter().fold(1.0, |most, r| most.max(r.stretch)),
    }
}

/// What a stop reads at a minute, and how far off in minutes that is; `None` where no minutes were written down.
fn gives(stop: &[Reading], at: f64) -> Option<(Reading, f64)> {
    let timed: Vec<(f64, &Reading)> = stop.iter().filter_map(|r| Some((r.minutes?, r))).collect();
    let mut begin = 0;
    for i in 0..timed.len() {
        if i > 0 && timed[i].1.spot_c >= timed[i - 1].1.spot_c {
            begin = i;
        }
        let falling = &timed[begin..=i];
        let ends = i + 1 == timed.len() || timed[i + 1].1.spot_c >= timed[i].1.spot_c;
        if ends
            && falling.len() >= FALLING
            && let Some(pair) = falling.windows(2).find(|w| w[0].0 <= at && at <= w[1].0)
        {
            return Some((between(pair[0].1, pair[1].1, at), 0.0));
        }
    }
    let apart = |t: &(f64, &Reading)| (t.0 - at).abs();
    let mut nearest = *timed.first()?;
    for &t in &timed {
        if apart(&t) < apart(&nearest) {
            nearest = t;
        }
    }
    Some((*nearest.1, apart(&nearest)))
}

fn between(a: &Reading, b: &Reading, at: f64) -> Reading {
    let (from, to) = (a.minutes.unwrap_or(at), b.minutes.unwrap_or(at));
    let share = (at - from) / (to - from);
    let line = |a: f64, b: f64| a + share * (b - a);
    let ambient_c = line(a.ambient_c, b.ambient_c);
    let (first, last) = (a.rise(), b.rise());
    let rise = if first > 0.0 && last > 0.0 {
        first * (last / first).powf(share)
    } else {
        line(first, last)
    };
    Reading {
        minutes: Some(at),
        spot_c: ambient_c + rise,
        ambient_c,
        stretch: a.stretch.max(b.stretch),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stop(readings: &[(f64, f64)]) -> Vec<Reading> {
        let one = |&(minutes, spot_c): &(f64, f64)| Reading {
            minutes: Some(minutes),
            spot_c,
            ambient_c: 20.0,
            stretch: 1.0,
        };
        readings.iter().map(one).collect()
    }

    /// Newton's cooling, 60 K halving every ten minutes: by hand 20 + 60/√2 °C after five.
    #[test]
    fn between_three_falling_readings() {
        let cooling = stop(&[(0.0, 80.0), (10.0, 50.0), (20.0, 35.0)]);
        let one = stop(&[(5.0, 60.0)]);
        let (points, off) = at_equal_minutes(&[cooling.clone(), one.clone(), one.clone()]);
        let found = points[0].unwrap().spot_c;
        assert!(
            (found - (20.0 + 60.0 / 2f64.sqrt())).abs() < 1e-9,
            "{found}"
        );
        assert!(off.abs() < 1e-12);
        // Two readings are too few, and before the peak nothing is read between.
        let two = stop(&[(0.0, 80.0), (10.0, 50.0)]);
        assert!((at_equal_minutes(&[two, one.clone(), one.clone()]).1 - 5.0).abs() < 1e-12);
        let rises = stop(&[(0.0, 70.0), (10.0, 80.0), (12.0, 78.0), (14.0, 77.0)]);
        assert!((at_equal_minutes(&[rises, one.clone(), one]).1 - 5.0).abs() < 1e-12);
        // Nor beyond the last.
        let late = stop(&[(30.0, 40.0)]);
        assert!(at_equal_minutes(&[cooling, late.clone(), late]).1 > 9.9);
    }

    #[test]
    fn a_minute_is_as_good_as_the_next_and_no_minutes_are_no_difference() {
        let (points, off) = at_equal_minutes(&[stop(&[(5.0, 80.0)]), stop(&[(6.0, 79.0)])]);
        assert!(points.iter().all(Option::is_some) && off.abs() < 1e-12);
        let mut untimed = stop(&[(5.0, 80.0)]);
        untimed[0].minutes = None;
        let (points, off) = at_equal_minutes(&[untimed, Vec::new()]);
        assert!(points[0].is_some() && points[1].is_none() && off.abs() < 1e-12);
    }
}
