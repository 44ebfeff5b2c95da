//! A fixed stream of standard normals for the Monte Carlo checks.

/// The sum of twelve uniforms less six, from a linear congruence (Knuth's MMIX).
pub struct Normals(u64);

impl From<u64> for Normals {
    fn from(seed: u64) -> Self {
        Self(seed)
    }
}

impl Normals {
    pub fn uniform(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn next(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

/// Half of the central 95 % interval of what was drawn (JCGM 101:2008, 7.7).
pub fn half_width(mut drawn: Vec<f64>) -> f64 {
    drawn.sort_by(f64::total_cmp);
    let at = |share: f64| drawn[(share * drawn.len() as f64) as usize];
    (at(0.975) - at(0.025)) / 2.0
}
