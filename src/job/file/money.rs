//! The job's money: all of it the user's, and what is left out is not there.

use super::super::record::{names, record};

record! {
    /// What the packs cost besides their prices, and how it is written. Amounts have no more decimals than the money.
    #[derive(Default)]
    pub struct Money {
        /// Stands beside amounts, as typed: `CHF`, `£`.
        pub currency: String = String::is_empty,
        /// Decimals of an amount, 0 to 3; absent: 2.
        pub decimals: Option<u32> = Option::is_none,
        /// What the set of packs should be best in; absent: `cheapest`.
        pub wish: Option<Wish> = Option::is_none,
        /// On the sum; absent: none.
        pub tax: Option<Tax> = Option::is_none,
        /// Of the total; absent: to the least amount the decimals can say.
        pub rounding: Option<Rounding> = Option::is_none,
        /// Deposits, disposal and the like.
        pub charges: Vec<Charge> = Vec::is_empty,
        /// Work.
        pub labour: Option<Labour> = Option::is_none,
    }
}

names! {
    /// What a set of packs is best in.
    pub enum Wish {
        /// The least price.
        Cheapest = "cheapest",
        /// The least left over.
        LeastLeft = "least_left",
        /// The fewest packs.
        Fewest = "fewest",
    }
}

record! {
    /// A tax on the sum.
    #[derive(Copy)]
    pub struct Tax {
        /// 0 to 100, with up to four decimals.
        pub percent: f64,
        /// All amounts of the job contain it already; absent: it comes on top.
        pub included: bool = std::ops::Not::not,
    }
}

record! {
    /// How the total is rounded.
    #[derive(Copy)]
    pub struct Rounding {
        /// To a multiple of this.
        pub to: f64,
        /// Which one; absent: `nearest`.
        pub by: Option<RoundBy> = Option::is_none,
    }
}

names! {
    /// Which way to round.
    pub enum RoundBy {
        /// To the nearest; half of it goes up.
        Nearest = "nearest",
        /// Up.
        Up = "up",
        /// Down.
        Down = "down",
    }
}

record! {
    /// Something charged besides the packs.
    pub struct Charge {
        /// What the user calls it.
        pub name: String = String::is_empty,
        /// What it costs.
        pub amount: f64,
        /// For how much of what; absent: once for the job.
        pub per: Option<Per> = Option::is_none,
    }
}

names! {
    /// What a charge is counted by.
    pub enum Per {
        /// Once.
        Job = "job",
        /// Each pack taken.
        Pack = "pack",
        /// Each litre drawn off.
        WasteLitre = "waste_L",
        /// Each US gallon drawn off.
        WasteUsGal = "waste_US_gal",
        /// Each imperial gallon drawn off.
        WasteImpGal = "waste_imp_gal",
    }
}

record! {
    /// Work.
    #[derive(Copy)]
    pub struct Labour {
        /// Hours; absent: `rate` is for all of it.
        pub hours: Option<f64> = Option::is_none,
        /// Of an hour.
        pub rate: f64,
    }
}
