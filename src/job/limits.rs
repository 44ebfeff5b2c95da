//! Every limit of the job file's values, in one table: the key, the range, the unit, and what it is in a phrase.
//!
//! They catch slips of the unit and the finger, not bad practice. Ours, but where the engine's own range binds.

/// One limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// What it is, as a phrase: "the loop's volume".
    pub phrase: &'static str,
    /// Lowest admitted value.
    pub low: f64,
    /// Highest admitted value.
    pub high: f64,
    /// Unit of both, as a message shows it.
    pub unit: &'static str,
}

impl Limit {
    /// Whether it is a share, from 0 to 1, which people read and type in percent.
    pub fn is_share(&self) -> bool {
        [
            VOLUME_SPREAD,
            DRAINS,
            RENEW,
            CAP_LOW,
            WHOLE_DOWN_TO,
            FOREIGN,
        ]
        .contains(self)
    }

    /// Whether a value lies within, to a hair's breadth; never for what is not a number.
    pub fn admits(&self, value: f64) -> bool {
        let slack = 1e-9 * value.abs().min(self.high.abs()).max(1.0);
        value >= self.low - slack && value <= self.high + slack
    }
}

/// The measuring step, where the file gives none.
pub const USUAL_STEP_LITRES: f64 = 0.05;
/// Half-width of a volume as a share of it, where the file gives none.
pub const USUAL_VOLUME_SHARE: f64 = 0.05;

/// Half-width of what is missing as a share of it, where the file gives none: seen and not measured. Ours.
pub const USUAL_MISSING_SHARE: f64 = 0.2;
/// Half-width of a product's label percentage in points, where the file gives none. Common practice, no source:
/// standards for coolants say the least a product must protect and give no tolerance of its percentage.
pub const USUAL_LABEL_POINTS: f64 = 1.0;

macro_rules! limits {
    ($($(#[$doc:meta])* $name:ident = $phrase:literal $low:literal to $high:literal $unit:literal;)+) => {
        $($(#[$doc])* pub const $name: Limit = Limit { phrase: $phrase, low: $low, high: $high, unit: $unit };)+

        /// All of them, for the docs and the tests.
        pub const ALL: &[Limit] = &[$($name),+];
    };
}

limits! {
    /// From a small motorcycle's to a large generator set's.
    VOLUME = "the capacity" 0.2 to 2000.0 "L";
    /// Also no more than the loop's volume.
    MISSING = "what is missing below the mark (above it: negative)" -500.0 to 2000.0 "L";
    /// Also less than the loop's volume.
    LEFT_BEHIND = "what was left behind" 0.0 to 2000.0 "L";
    /// Half-width of a volume, as a share of it.
    VOLUME_SPREAD = "the ± of a capacity, as a share of it" 0.0 to 0.5 "";
    /// Half-width of what is missing.
    MISSING_SPREAD = "the ± of what is missing" 0.0 to 2000.0 "L";
    /// Half-width of a label percentage.
    LABEL_SPREAD = "the ± of a label percentage" 0.0 to 20.0 "points";
    /// Half-width of a strength.
    PERCENT_SPREAD = "the ± of a percentage" 0.0 to 50.0 "points";
    /// Half-width of a frost reading.
    FROST_SPREAD = "the ± of a frost reading" 0.0 to 30.0 "K";
    /// Half-width of a hydrometer reading.
    GRAVITY_SPREAD = "the ± of a specific gravity" 0.0 to 0.1 "";
    /// Half-width of a refractive index.
    INDEX_SPREAD = "the ± of a refractive index" 0.0 to 0.1 "";
    /// Half-width of a sugar scale's reading.
    BRIX_SPREAD = "the ± of a Brix reading" 0.0 to 30.0 "degrees Brix";
    /// A frost scale's reading; the tables may end before it does.
    FROST = "a frost reading" -80.0 to 0.0 "degC";
    /// A hydrometer's reading; mixes of glycol show 0.99 to 1.16.
    GRAVITY = "a specific gravity" 0.9 to 1.3 "";
    /// Water shows 1.333 at 20 °C, pure glycol 1.432.
    INDEX = "a refractive index" 1.3 to 1.5 "";
    /// The sugar scale's own end.
    BRIX = "a Brix reading" 0.0 to 95.0 "degrees Brix";
    /// Of the drop or the jar an instrument read.
    SAMPLE_AT = "the sample temperature" -35.0 to 125.0 "degC";
    /// A label percentage.
    PERCENT = "a label percentage" 0.0 to 100.0 "%";
    /// Tolerance of an aim.
    WITHIN = "how near the aim counts as there" 0.05 to 20.0 "points";
    /// What a draw gives.
    DRAW_LIMIT = "the most that drains at once" 0.0 to 2000.0 "L";
    /// A share that drains.
    DRAINS = "the share that drains" 0.05 to 1.0 "";
    /// A share to renew.
    RENEW = "the share of the old coolant to renew" 0.0 to 1.0 "";
    /// What is on hand.
    HAVE = "what is on hand" 0.0 to 1000000.0 "L";
    /// Air above the mark.
    TANK_ROOM = "the space above the mark" 0.0 to 500.0 "L";
    /// From the cold mark down to the minimum mark.
    MINIMUM = "how far the minimum mark is below the mark" 0.0 to 500.0 "L";
    /// What stands in an overflow bottle.
    OVERFLOW = "what stands in the overflow bottle" 0.0 to 500.0 "L";
    /// Of the coolant when its level is set.
    FILL_TEMPERATURE = "the filling temperature" -30.0 to 100.0 "degC";
    /// The hottest; beyond 125 °C, where the density's own range ends, there is no hot level.
    PEAK_TEMPERATURE = "the highest coolant temperature" 30.0 to 150.0 "degC";
    /// Where it usually runs.
    RUNNING_TEMPERATURE = "the normal coolant temperature" 10.0 to 125.0 "degC";
    /// The coldest night.
    COLDEST = "the lowest expected temperature" -80.0 to 30.0 "degC";
    /// Margin to it.
    COLDEST_MARGIN = "the safety margin" 0.0 to 30.0 "K";
    /// A frost to reach.
    FROST_AIM = "the target freezing point" -60.0 to -0.1 "degC";
    /// A cap's rating.
    CAP = "the cap's rating" 0.0 to 250.0 "kPa";
    /// The share of its rating a cap is judged at.
    CAP_LOW = "the share of its rating the cap holds" 0.3 to 1.0 "";
    /// Heat soak.
    HEAT_SOAK = "the rise after shutdown" 0.0 to 40.0 "K";
    /// The boiling model's lowest pressure is the air's at about 5500 m.
    ALTITUDE = "the altitude" -400.0 to 5500.0 "m";
    /// A measuring step.
    MEASURE_STEP = "the smallest measurable amount" 0.001 to 5.0 "L";
    /// The additive's measuring step.
    DOSE_STEP = "the smallest measurable amount of the additive" 0.0001 to 1.0 "L";
    /// Litres of additive per litre.
    RATE = "the additive's share of the system" 0.0 to 0.5 "";
    /// One part in, or to, so many.
    PARTS = "the parts" 2.0 to 100000.0 "";
    /// A bottle.
    BOTTLE = "the bottle" 0.001 to 1000.0 "L";
    /// What a bottle treats.
    TREATS = "what a bottle treats" 0.01 to 100000.0 "L";
    /// Down to which share of what it treats a bottle goes in whole.
    WHOLE_DOWN_TO = "the share of what a bottle treats down to which it is the whole bottle" 0.05 to 1.0 "";
    /// A measured level.
    LEVEL = "the additive's level" 0.0 to 1000000.0 "";
    /// What a dose raises it by.
    RAISES = "what 1 mL/L raises the level by" 0.000001 to 1000000.0 "";
    /// What was entered of one card: twelve rounds are some eighty steps.
    ENTRIES = "the number of entries on the card" 0.0 to 200.0 "";
    /// An amount that really came out or went in.
    HAPPENED = "what came out or went in" 0.0 to 2000.0 "L";
    /// Its temperature.
    HAPPENED_AT = "the temperature it was measured at" -30.0 to 125.0 "degC";
    /// A price.
    PRICE = "a price" 0.0 to 1000000000.0 "";
    /// Products on the shelf.
    STOCKS = "the number of products" 0.0 to 50.0 "";
    /// Cooling systems in one job; more are a fleet.
    LOOPS = "the number of cooling systems" 0.0 to 400.0 "";
    /// Entries of what really happened: the plan is worked out again after each.
    DONE = "the number of entries of what was done" 0.0 to 100.0 "";
    /// Looks at the level.
    LOOKS = "the number of level checks" 0.0 to 400.0 "";
    /// Jobs that a re-reading corrected.
    PAST = "the number of earlier jobs" 0.0 to 50.0 "";
    /// Spots of a survey.
    SPOTS = "the number of places" 0.0 to 100.0 "";
    /// Runs of a survey.
    RUNS = "the number of runs" 0.0 to 100.0 "";
    /// Kinds of packs of one stock: keeps the exact search small.
    PACKS = "the number of kinds of packs" 0.0 to 12.0 "";
    /// Decimals of an amount of money.
    DECIMALS = "the number of decimals of the money" 0.0 to 3.0 "";
    /// A tax.
    TAX = "the tax" 0.0 to 100.0 "%";
    /// What a total is rounded to.
    ROUND_TO = "what the total is rounded to" 0.001 to 10000.0 "";
    /// A deposit, a disposal.
    CHARGE = "a charge" 0.0 to 1000000000.0 "";
    /// Charges of one job.
    CHARGES = "the number of charges" 0.0 to 20.0 "";
    /// Hours of work.
    HOURS = "the hours of labour" 0.0 to 10000.0 "h";
    /// What an hour, or all of it, costs.
    LABOUR = "the price of labour" 0.0 to 1000000000.0 "";
    /// A dissolved substance.
    DISSOLVED = "a content of the mixing water" 0.0 to 100000.0 "mg/L";
    /// A level; below zero it stands above the mark.
    LEVEL_MISSING = "how far it stands below the mark" -500.0 to 2000.0 "L";
    /// A spot, or what is around it.
    SPOT = "a temperature of the survey" -60.0 to 800.0 "degC";
    /// An emissivity.
    EMISSIVITY = "an emissivity" 0.05 to 1.0 "";
    /// Since the engine was stopped.
    MINUTES = "the minutes after shutdown" 0.0 to 10000.0 "min";
    /// Of the thermometer.
    ACCURACY = "the thermometer's accuracy" 0.0 to 50.0 "K";
    /// The difference a survey looks for.
    DIFFERENCE = "the difference to tell" 0.1 to 100.0 "K";
    /// Runs of each side that are planned: three tell something.
    PLANNED = "the planned number of runs" 3.0 to 100.0 "";
    /// A thermostat's opening and full-open temperatures.
    THERMOSTAT = "the thermostat's temperature" 20.0 to 130.0 "degC";
    /// The most of another chemistry.
    FOREIGN = "the most of another chemistry" 0.0 to 1.0 "";
    /// A titration's figure; new coolants have some 5 to 25.
    RESERVE_ALKALINITY = "the reserve alkalinity" 0.0 to 100.0 "mL";
    /// pH.
    PH = "pH" 0.0 to 14.0 "";
}
