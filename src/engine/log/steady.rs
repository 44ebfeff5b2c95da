//! Steady stretches of a drive, cut into blocks.
//!
//! A stretch is steady while speed and load stay within their bands. Its beginning is left out, for metal and coolant need a
//! while to settle; the rest is cut into blocks, and a block's figures are means over it.

/// What counts as steady. Ours, from no source; each can be changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steady {
    /// Speed within so many km/h from lowest to highest.
    pub speed: f64,
    /// Load within so many points.
    pub load: f64,
    /// Left out at the beginning of a stretch, s.
    pub settle: f64,
    /// Length of a block, s.
    pub block: f64,
}

impl Default for Steady {
    fn default() -> Self {
        Self {
            speed: 10.0,
            load: 20.0,
            settle: 60.0,
            block: 120.0,
        }
    }
}

/// One row of a log; what was not logged is not a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample<const N: usize> {
    /// Seconds.
    pub time: f64,
    /// km/h.
    pub speed: f64,
    /// Percent.
    pub load: f64,
    /// °C.
    pub ambient: f64,
    /// The signals that are judged, °C.
    pub signals: [f64; N],
}

/// A block: means over a steady stretch of a drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block<const N: usize> {
    /// From, s.
    pub from: f64,
    /// To, s.
    pub to: f64,
    /// Means; not a number where nothing was logged.
    pub mean: Sample<N>,
}

/// Cuts a drive into blocks, sample by sample: it keeps no more than the running sums of one.
#[derive(Debug, Clone)]
pub struct Cutter<const N: usize> {
    steady: Steady,
    /// Lowest and highest speed and load of the stretch.
    bands: [(f64, f64); 2],
    begin: Option<f64>,
    last: f64,
    sum: Sum<N>,
    /// Those that are whole.
    pub blocks: Vec<Block<N>>,
}

/// Figures of a sample besides its time and signals.
const OTHERS: usize = 3;

#[derive(Debug, Clone)]
struct Sum<const N: usize> {
    from: f64,
    others: [(f64, u32); OTHERS],
    signals: [(f64, u32); N],
}

impl<const N: usize> Sum<N> {
    fn new(from: f64) -> Self {
        Self {
            from,
            others: [(0.0, 0); OTHERS],
            signals: [(0.0, 0); N],
        }
    }

    fn add(&mut self, s: &Sample<N>) {
        let figures = [s.speed, s.load, s.ambient];
        let all = self.others.iter_mut().chain(&mut self.signals);
        for (sum, value) in all.zip(figures.iter().chain(&s.signals)) {
            if value.is_finite() {
                sum.0 += value;
                sum.1 += 1;
            }
        }
    }

    fn block(&self, to: f64) -> Block<N> {
        let mean = |&(sum, n): &(f64, u32)| match n {
            0 => f64::NAN,
            n => sum / f64::from(n),
        };
        Block {
            from: self.from,
            to,
            mean: Sample {
                time: f64::midpoint(self.from, to),
                speed: mean(&self.others[0]),
                load: mean(&self.others[1]),
                ambient: mean(&self.others[2]),
                signals: self.signals.each_ref().map(mean),
            },
        }
    }
}

impl<const N: usize> Cutter<N> {
    /// At the start of a drive.
    pub fn new(steady: Steady) -> Self {
        Self {
            steady,
            bands: [(f64::INFINITY, f64::NEG_INFINITY); 2],
            begin: None,
            last: f64::NAN,
            sum: Sum::new(f64::NAN),
            blocks: Vec::new(),
        }
    }

    /// Takes the next sample; times never fall.
    pub fn take(&mut self, s: &Sample<N>) {
        let mut bands = self.bands;
        for (band, value) in bands.iter_mut().zip([s.speed, s.load]) {
            if value.is_finite() {
                *band = (band.0.min(value), band.1.max(value));
            }
        }
        let widths = [self.steady.speed, self.steady.load];
        let leaves = bands.iter().zip(widths).any(|(b, width)| b.1 - b.0 > width);
        // A log that stood still for longer than a block says nothing of what was in between.
        let gap = s.time - self.last > self.steady.block;
        if self.begin.is_none() || leaves || gap {
            self.begin = Some(s.time);
            self.sum = Sum::new(s.time + self.steady.settle);
            bands = [s.speed, s.load].map(|v| {
                if v.is_finite() {
                    (v, v)
                } else {
                    (f64::INFINITY, f64::NEG_INFINITY)
                }
            });
        }
        self.bands = bands;
        self.last = s.time;
        if s.time < self.sum.from {
            return;
        }
        if s.time >= self.sum.from + self.steady.block {
            let to = self.sum.from + self.steady.block;
            self.blocks.push(self.sum.block(to));
            self.sum = Sum::new(to.max(s.time));
        }
        self.sum.add(s);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(time: f64, speed: f64, coolant: f64) -> Sample<1> {
        Sample {
            time,
            speed,
            load: f64::NAN,
            ambient: 20.0,
            signals: [coolant],
        }
    }

    fn blocks(samples: impl Iterator<Item = Sample<1>>) -> Vec<Block<1>> {
        let mut cutter = Cutter::new(Steady::default());
        samples.for_each(|s| cutter.take(&s));
        cutter.blocks
    }

    #[test]
    fn a_steady_drive_is_cut_into_blocks_after_it_settled() {
        // A sample a second for 7 minutes: one minute settles, then there are three blocks of two.
        let found = blocks((0..=420).map(|s| at(f64::from(s), 80.0, f64::from(s))));
        let spans: Vec<(f64, f64)> = found.iter().map(|b| (b.from, b.to)).collect();
        assert_eq!(spans, [(60.0, 180.0), (180.0, 300.0), (300.0, 420.0)]);
        // The mean of 60 … 179.
        assert!((found[0].mean.signals[0] - 119.5).abs() < 1e-9, "{found:?}");
        assert!((found[0].mean.ambient - 20.0).abs() < 1e-12 && found[0].mean.load.is_nan());
    }

    #[test]
    fn what_swings_or_stops_is_no_block() {
        let swings = (0..600).map(|s| at(f64::from(s), f64::from((s / 50) % 2) * 30.0, 90.0));
        assert!(blocks(swings).is_empty());
        let short = (0..170).map(|s| at(f64::from(s), 80.0, 90.0));
        assert!(blocks(short).is_empty());
        let gap = (0..4).map(|s| at(f64::from(s) * 130.0, 80.0, 90.0));
        assert!(blocks(gap).is_empty());
    }
}
