//! Nothing but an additive: its dose and the room it takes, whatever the coolant is.
//!
//! Planned as a system of a mix that is right already and topped up with its like, so that label, earlier dose and room
//! count as ever; what depends on the strength is then left out. Where the dose fits above the mark when hot, nothing is
//! drained for it. Never done here: guessing the strength.

use super::{
    answer::{CautionEntry, LoopAnswer, State, Used},
    check,
    file::{Aim, Job, Loop, Now, Quantity, Stock},
    record::Field as _,
    reply::one_loop,
    units::VolumeUnit,
};
use crate::engine::caution::Caution;

/// What it is topped up with, where it is low.
const SAME: &str = "coolant as is in it";

/// A strength that every model covers. Only how it grows with heat depends on it: by 0.4 points of its volume at most,
/// from 40 to 60 % (the density model).
const ANY: f64 = 50.0;

/// Is nothing but the additive asked for?
pub fn is_asked(lp: &Loop) -> bool {
    lp.additive.as_ref().is_some_and(|a| a.only)
}

/// The loop's answer.
pub fn answer(job: &Job, i: usize) -> LoopAnswer {
    let lp = &job.loops[i];
    let above = lp.tank_room.is_some().then(|| one(lp, true));
    let mut reply = match above {
        Some(reply) if reply.error.is_none() => reply,
        _ => one(lp, false),
    };
    reply.error = reply.error.map(|mut fault| {
        let own = ["loops[", &i.to_string(), "]"].concat();
        fault.key = fault.key.replace("loops[0]", &own);
        fault.message = fault.message.replace("loops[0]", &own);
        fault
    });
    reply
}

fn one(lp: &Loop, above_mark: bool) -> LoopAnswer {
    let mut asked = Loop {
        now: Now::Percent {
            value: ANY,
            plus_minus: Some(0.0),
        },
        aim: Aim::Percent {
            value: ANY,
            within: Some(20.0),
        },
        limits: None,
        renew: None,
        coldest: None,
        cap: None,
        other_cap: None,
        bottle: None,
        check_back: None,
        ..lp.clone()
    };
    if let Some(additive) = &mut asked.additive {
        additive.only = false;
        additive.above_mark |= above_mark;
    }
    if above_mark {
        asked.drains = None;
        asked.draw_limit = Some(Quantity {
            value: 0.0,
            unit: VolumeUnit::L,
        });
    }
    let job = Job {
        shelf: vec![Stock {
            name: SAME.to_owned(),
            glycol: Some(lp.glycol),
            percent: ANY,
            plus_minus: Some(0.0),
            ..Stock::blank()
        }],
        loops: vec![asked],
        ..Job::blank()
    };
    let shelf = check::terms(&job).and_then(|terms| check::shelf(&job, &terms));
    let Ok(shelf) = shelf else {
        return LoopAnswer::empty(&lp.name);
    };
    let mut reply = one_loop(&job, 0, &shelf);
    reply.used = Used::default();
    reply.runners_up.clear();
    reply.left_out.retain(|f| f.code != "no_figure");
    reply.cautions.retain(|CautionEntry(c)| is_of_the_dose(c));
    for state in [&mut reply.before, &mut reply.after] {
        *state = state.map(volumes);
    }
    reply
}

/// What of a state does not depend on what is in it.
fn volumes(state: State) -> State {
    State {
        litres: state.litres,
        litres_filled: state.litres_filled,
        litres_plus_minus: state.litres_plus_minus,
        additive_litres: state.additive_litres,
        hot_litres: state.hot_litres,
        hot_litres_plus_minus: state.hot_litres_plus_minus,
        tank_room_litres: state.tank_room_litres,
        tank_room_litres_plus_minus: state.tank_room_litres_plus_minus,
        ..State::default()
    }
}

/// Of the dose and of the room it takes, and not of what is in it otherwise.
fn is_of_the_dose(caution: &Caution) -> bool {
    matches!(
        caution,
        Caution::OverLimit { .. }
            | Caution::SupplementIntoOrganicAcid
            | Caution::OverfillHot { .. }
            | Caution::TankRoomThin { .. }
            | Caution::OverfillCold { .. }
            | Caution::DoseCut { .. }
            | Caution::DoseShort { .. }
            | Caution::CoolantTest { .. }
            | Caution::EarlierDoseUnknown
            | Caution::PartOfABottle { .. }
            | Caution::NoLabelLimit
            | Caution::FinerStep { .. }
            | Caution::TookLess { .. }
            | Caution::MissingCorrected { .. }
            | Caution::CapacityCorrected { .. }
            | Caution::DoseAboveMark { .. }
            | Caution::FilledWarm { .. }
            | Caution::LeftOut
            | Caution::AskMakerAdditive
    )
}
