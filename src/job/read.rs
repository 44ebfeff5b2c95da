//! Reading a job file, and writing one.
//!
//! The version is looked at first, so that a file of a newer format is refused for that and not for a key this
//! program has never heard of. Every key of [`super::file`] is read here; a test reads back a file that has them all.

use super::{
    answer::Fault,
    file::{
        Additive, Aim, Done, Family, GlycolName, Job, Kind, Limits, Loop, Now, Pack, Quantity,
        Rate, Share, Side, SizedVolume, Stock, Tank, VERSION, Water, WaterLimits,
    },
    node::{Node, Object, fault},
    units::{
        IntervalUnit, LengthUnit, LevelUnit, PressureUnit, RatioUnit, TemperatureUnit, VolumeUnit,
    },
};

type Read<T> = Result<T, Fault>;

/// A job from its file's text.
///
/// # Errors
/// A [`Fault`] with code `syntax`, `newer_format`, `unknown_key`, `missing_key`, `wrong_unit`, `wrong_value` or
/// `wrong_type`, the key's path, and a message that names the value and what was expected.
pub fn read(text: &str) -> Read<Job> {
    let value: serde_json::Value = serde_json::from_str(text).map_err(|e| {
        fault(
            "syntax",
            "",
            &["not JSON: ", &e.to_string(), "; expected a job file"].concat(),
        )
    })?;
    let whole = Node::whole(&value);
    if !value.is_object() {
        whole.object(&[])?;
    }
    let version = VERSION.to_string();
    let Some(found) = whole.peek("pourcard") else {
        let words = ["missing; expected ", &version].concat();
        return Err(fault("missing_key", "pourcard", &words));
    };
    let number = found.number()?;
    if number.total_cmp(&f64::from(VERSION)).is_ne() {
        let words = [
            &number.to_string(),
            "; this program reads version ",
            &version,
        ]
        .concat();
        return Err(found.refuse("newer_format", &words));
    }
    job(&whole)
}

/// The text of a job's file.
pub fn write(job: &Job) -> String {
    serde_json::to_string_pretty(job).unwrap_or_default()
}

fn job(node: &Node) -> Read<Job> {
    let o = node.object(&[
        "pourcard", "title", "date", "notes", "water", "shelf", "loops",
    ])?;
    Ok(Job {
        pourcard: VERSION,
        title: o.may("title", text)?.unwrap_or_default(),
        date: o.may("date", text)?,
        notes: o.may("notes", text)?,
        water: o.may("water", water)?,
        shelf: o.must("shelf", |n| n.list(stock))?,
        loops: o.must("loops", |n| n.list(one_loop))?,
    })
}

fn text(node: &Node) -> Read<String> {
    node.text().map(str::to_owned)
}

fn number(node: &Node) -> Read<f64> {
    node.number()
}

fn stock(node: &Node) -> Read<Stock> {
    let o = node.object(&["name", "glycol", "percent", "have", "family", "packs"])?;
    Ok(Stock {
        name: o.must("name", text)?,
        glycol: o.may("glycol", glycol)?,
        percent: o.must("percent", number)?,
        have: o.may("have", volume)?,
        family: o.may("family", family)?,
        packs: packs(&o)?,
    })
}

fn packs(o: &Object) -> Read<Vec<Pack>> {
    Ok(o.may("packs", |n| n.list(pack))?.unwrap_or_default())
}

fn pack(node: &Node) -> Read<Pack> {
    let o = node.object(&["size", "price"])?;
    Ok(Pack {
        size: o.must("size", volume)?,
        price: o.must("price", number)?,
    })
}

fn water(node: &Node) -> Read<Water> {
    let o = node.object(&["limits", "chloride", "sulphate", "hardness", "solids", "ph"])?;
    Ok(Water {
        limits: o.must("limits", |n| {
            use WaterLimits::{Car, Diesel, European};
            named(n, &["diesel", "car", "european"], &[Diesel, Car, European])
        })?,
        chloride: o.may("chloride", number)?,
        sulphate: o.may("sulphate", number)?,
        hardness: o.may("hardness", number)?,
        solids: o.may("solids", number)?,
        ph: o.may("ph", number)?,
    })
}

const LOOP: &[&str] = &[
    "name",
    "kind",
    "glycol",
    "family",
    "volume",
    "missing",
    "now",
    "aim",
    "limits",
    "draw_limit",
    "drains",
    "renew",
    "tank",
    "tank_room",
    "fill_temperature",
    "peak_temperature",
    "running_temperature",
    "coldest",
    "coldest_margin",
    "cap",
    "cap_low",
    "other_cap",
    "altitude",
    "measure_step",
    "dose_step",
    "additive",
    "done",
];

fn one_loop(node: &Node) -> Read<Loop> {
    let o = node.object(LOOP)?;
    Ok(Loop {
        name: o.may("name", text)?.unwrap_or_default(),
        kind: o.may("kind", kind)?,
        glycol: o.must("glycol", glycol)?,
        family: o.may("family", family)?,
        volume: o.must("volume", sized_volume)?,
        missing: o.may("missing", volume)?,
        now: o.must("now", now)?,
        aim: o.must("aim", aim)?,
        limits: o.may("limits", limits)?,
        draw_limit: o.may("draw_limit", volume)?,
        drains: o.may("drains", share)?,
        renew: o.may("renew", share)?,
        tank: o.may("tank", tank)?,
        tank_room: o.may("tank_room", volume)?,
        fill_temperature: o.may("fill_temperature", temperature)?,
        peak_temperature: o.may("peak_temperature", temperature)?,
        running_temperature: o.may("running_temperature", temperature)?,
        coldest: o.may("coldest", temperature)?,
        coldest_margin: o.may("coldest_margin", interval)?,
        cap: o.may("cap", pressure)?,
        cap_low: o.may("cap_low", share)?,
        other_cap: o.may("other_cap", pressure)?,
        altitude: o.may("altitude", length)?,
        measure_step: o.may("measure_step", volume)?,
        dose_step: o.may("dose_step", volume)?,
        additive: o.may("additive", additive)?,
        done: o.may("done", |n| n.list(done))?.unwrap_or_default(),
    })
}

fn sized_volume(node: &Node) -> Read<SizedVolume> {
    let o = node.object(&["value", "unit", "plus_minus"])?;
    Ok(SizedVolume {
        value: o.must("value", number)?,
        unit: o.must("unit", volume_unit)?,
        plus_minus: o.may("plus_minus", number)?,
    })
}

fn limits(node: &Node) -> Read<Limits> {
    let o = node.object(&["low", "high"])?;
    Ok(Limits {
        low: o.must("low", number)?,
        high: o.must("high", number)?,
    })
}

fn share(node: &Node) -> Read<Share> {
    let o = node.object(&["fraction"])?;
    Ok(Share {
        fraction: o.must("fraction", number)?,
    })
}

fn done(node: &Node) -> Read<Done> {
    let o = node.object(&["id", "amount", "at"])?;
    Ok(Done {
        id: o.must("id", text)?,
        amount: o.may("amount", volume)?,
        at: o.may("at", temperature)?,
    })
}

/// The key that says which form an object has: its place among the forms.
fn by(node: &Node, forms: &[&str]) -> Read<usize> {
    match node.peek("by") {
        Some(found) => found.one_of("wrong_value", forms),
        None => Err(node.lacks("by", forms)),
    }
}

fn now(node: &Node) -> Read<Now> {
    const FORMS: &[&str] = &[
        "percent",
        "freezing_point",
        "specific_gravity",
        "refractive_index",
        "brix",
        "water",
        "flushed",
        "empty",
        "unknown",
    ];
    const SAMPLED: &[&str] = &["by", "value", "at", "plus_minus"];
    Ok(match FORMS[by(node, FORMS)?] {
        "percent" => {
            let o = node.object(&["by", "value", "plus_minus"])?;
            Now::Percent {
                value: o.must("value", number)?,
                plus_minus: o.may("plus_minus", number)?,
            }
        }
        "freezing_point" => {
            let o = node.object(&["by", "value", "unit", "plus_minus", "side"])?;
            Now::FreezingPoint {
                value: o.must("value", number)?,
                unit: o.must("unit", temperature_unit)?,
                plus_minus: o.may("plus_minus", number)?,
                side: o.may("side", |n| {
                    named(n, &["thin", "thick"], &[Side::Thin, Side::Thick])
                })?,
            }
        }
        "specific_gravity" => {
            let (value, at, plus_minus) = sampled(&node.object(SAMPLED)?)?;
            Now::SpecificGravity {
                value,
                at,
                plus_minus,
            }
        }
        "refractive_index" => {
            let (value, at, plus_minus) = sampled(&node.object(SAMPLED)?)?;
            Now::RefractiveIndex {
                value,
                at,
                plus_minus,
            }
        }
        "brix" => {
            let (value, at, plus_minus) = sampled(&node.object(SAMPLED)?)?;
            Now::Brix {
                value,
                at,
                plus_minus,
            }
        }
        "flushed" => {
            let o = node.object(&["by", "left_behind", "percent"])?;
            Now::Flushed {
                left_behind: o.must("left_behind", volume)?,
                percent: o.may("percent", number)?.unwrap_or(0.0),
            }
        }
        bare => {
            node.object(&["by"])?;
            match bare {
                "water" => Now::Water {},
                "empty" => Now::Empty {},
                _ => Now::Unknown {},
            }
        }
    })
}

type Sampled = (f64, Quantity<TemperatureUnit>, Option<f64>);

fn sampled(o: &Object) -> Read<Sampled> {
    Ok((
        o.must("value", number)?,
        o.must("at", temperature)?,
        o.may("plus_minus", number)?,
    ))
}

fn aim(node: &Node) -> Read<Aim> {
    if by(node, &["percent", "freezing_point"])? == 0 {
        let o = node.object(&["by", "value", "within"])?;
        return Ok(Aim::Percent {
            value: o.must("value", number)?,
            within: o.may("within", number)?,
        });
    }
    let o = node.object(&["by", "value", "unit"])?;
    Ok(Aim::FreezingPoint {
        value: o.must("value", number)?,
        unit: o.must("unit", temperature_unit)?,
    })
}

fn additive(node: &Node) -> Read<Additive> {
    let o = node.object(&["name", "rate", "limit", "already", "have", "packs"])?;
    Ok(Additive {
        name: o.may("name", text)?.unwrap_or_default(),
        rate: o.must("rate", rate)?,
        limit: o.may("limit", rate)?,
        already: o.may("already", volume)?,
        have: o.may("have", volume)?,
        packs: packs(&o)?,
    })
}

fn rate(node: &Node) -> Read<Rate> {
    const FORMS: &[&str] = &["ratio", "percent", "parts", "bottle", "reading"];
    Ok(match FORMS[by(node, FORMS)?] {
        "ratio" => {
            let o = node.object(&["by", "value", "unit"])?;
            Rate::Ratio {
                value: o.must("value", number)?,
                unit: o.must("unit", ratio_unit)?,
            }
        }
        "percent" => {
            let o = node.object(&["by", "value"])?;
            Rate::Percent {
                value: o.must("value", number)?,
            }
        }
        "parts" => {
            let o = node.object(&["by", "one_in", "one_to"])?;
            Rate::Parts {
                one_in: o.may("one_in", number)?,
                one_to: o.may("one_to", number)?,
            }
        }
        "bottle" => {
            let o = node.object(&["by", "size", "treats_from", "treats_to"])?;
            Rate::Bottle {
                size: o.must("size", volume)?,
                treats_from: o.may("treats_from", volume)?,
                treats_to: o.must("treats_to", volume)?,
            }
        }
        _ => {
            let o = node.object(&["by", "now", "aim", "raises"])?;
            Rate::Reading {
                now: o.must("now", level)?,
                aim: o.must("aim", level)?,
                raises: o.must("raises", level)?,
            }
        }
    })
}

fn named<T: Copy>(node: &Node, names: &[&str], values: &[T]) -> Read<T> {
    Ok(values[node.one_of("wrong_value", names)?])
}

fn glycol(node: &Node) -> Read<GlycolName> {
    named(
        node,
        &["ethylene", "propylene"],
        &[GlycolName::Ethylene, GlycolName::Propylene],
    )
}

fn family(node: &Node) -> Read<Family> {
    use Family::{Hoat, Iat, Noat, Oat};
    named(
        node,
        &["iat", "oat", "hoat", "noat"],
        &[Iat, Oat, Hoat, Noat],
    )
}

fn kind(node: &Node) -> Read<Kind> {
    use Kind::{Battery, Engine, FuelCell, LowTemperature};
    let names = ["engine", "low_temperature", "battery", "fuel_cell"];
    named(node, &names, &[Engine, LowTemperature, Battery, FuelCell])
}

fn tank(node: &Node) -> Read<Tank> {
    use Tank::{BareRadiator, Pressurised, RecoveryBottle};
    let names = ["pressurised", "recovery_bottle", "bare_radiator"];
    named(node, &names, &[Pressurised, RecoveryBottle, BareRadiator])
}

macro_rules! quantities {
    ($($quantity:ident $unit:ident $kind:ident;)+) => {
        $(
            fn $unit(node: &Node) -> Read<$kind> {
                let names: Vec<&str> = $kind::ALL.iter().map(|u| u.text()).collect();
                Ok($kind::ALL[node.one_of("wrong_unit", &names)?])
            }

            fn $quantity(node: &Node) -> Read<Quantity<$kind>> {
                let o = node.object(&["value", "unit"])?;
                Ok(Quantity { value: o.must("value", number)?, unit: o.must("unit", $unit)? })
            }
        )+
    };
}

quantities! {
    volume volume_unit VolumeUnit;
    temperature temperature_unit TemperatureUnit;
    interval interval_unit IntervalUnit;
    pressure pressure_unit PressureUnit;
    length length_unit LengthUnit;
    level level_unit LevelUnit;
}

fn ratio_unit(node: &Node) -> Read<RatioUnit> {
    let found = node.text()?;
    RatioUnit::parse(found).ok_or_else(|| {
        let words = [
            "`", found,
            "`; expected two volume units with a slash between, such as `mL/L` or `US_fl_oz/US_gal`",
        ];
        node.refuse("wrong_unit", &words.concat())
    })
}
