//! The two glycols.

/// Which glycol a loop or a stock is made with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Glycol {
    /// Ethane-1,2-diol, CAS 107-21-1.
    Ethylene,
    /// Propane-1,2-diol, CAS 57-55-6.
    Propylene,
}

/// Molar mass of water, g/mol (CRC Handbook).
pub const WATER_MOLAR_MASS: f64 = 18.015_28;

impl Glycol {
    /// Both, in the order tables list them.
    pub const ALL: [Self; 2] = [Self::Ethylene, Self::Propylene];

    /// Molar mass, g/mol (CRC Handbook, Physical Constants of Organic Compounds).
    pub const fn molar_mass(self) -> f64 {
        match self {
            Self::Ethylene => 62.067_84,
            Self::Propylene => 76.094_42,
        }
    }

    /// Place in tables that list ethylene first.
    pub(crate) const fn index(self) -> usize {
        match self {
            Self::Ethylene => 0,
            Self::Propylene => 1,
        }
    }
}
