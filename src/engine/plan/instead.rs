//! What else the last pass may pour, with no more drawn: for whoever chooses packs, or parts a short shelf.

use super::{
    solve::Solved,
    task::{Task, least, most},
};
use crate::engine::{
    dose::SLACK_LITRES,
    packs::Pourable,
    quantity::{LabelFraction, Volume, litres},
};

/// What a plan's last pass may pour, whatever it is mixed from, and end where the aim accepts. Before it all goes as planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instead {
    /// With the plan's draw.
    pub planned: Pourable,
    /// With the least draw that is accepted; of several passes as planned.
    pub lesser: Pourable,
    /// With all that comes out; of several passes as planned.
    pub greatest: Pourable,
    /// With the plan's draw and with the least, filled no further than a measuring step below the mark.
    pub below_the_mark: [Pourable; 2],
}

/// What the last pass may pour, with the draw of the plan and, where there is one pass, with the least that is accepted:
/// anything that ends where the aim accepts; but where a frost aim is met already, only what changes it least.
pub(super) fn instead(task: &Task, solved: &Solved) -> Option<Instead> {
    let target = &task.target;
    let passes = &solved.course.passes;
    let last = passes.last().filter(|p| !p.pours.is_empty())?;
    if target.at_least && target.accepts(&task.now) {
        return None;
    }
    let before = match passes.len() {
        1 => task.now,
        more => passes[more - 2].after,
    };
    let held = before.volume(&task.blend);
    let for_draw = |draw: Volume, full: Volume| {
        let left = task.dosed(&before.drawn(draw, held), last.dosed());
        let there = left.concentrate + left.water;
        // So much in all, and of it so much glycol, ends there.
        let ends = |end: f64| {
            let mix = full - left.additive;
            let mut all = mix;
            for _ in 0..3 {
                let glycol = left.glycol_for(end, all);
                let strength = LabelFraction::clamped((glycol / all).value);
                all = mix * task.blend.apart_per_mixed(strength);
            }
            (all - there, left.glycol_for(end, all) - left.concentrate)
        };
        let strongest = (1.0 - (left.additive / task.volume.value).value) * target.most;
        let (weak, strong) = (
            ends(target.low),
            ends(target.high.min(strongest.max(target.low))),
        );
        let strength = |(all, glycol): (Volume, Volume)| {
            LabelFraction::clamped((glycol / most(all, litres(SLACK_LITRES))).value)
        };
        Pourable {
            apart: most(least(weak.0, strong.0), litres(SLACK_LITRES)),
            weakest: strength(weak),
            strongest: strength(strong),
        }
    };
    let mark = task.volume.value;
    let (lesser, greatest) = match passes.len() {
        1 => (
            least(litres(solved.accepted), last.draw),
            task.draw_cap(&task.now, task.drawn_since_run),
        ),
        _ => (last.draw, last.draw),
    };
    let greatest = if task.drained {
        last.draw
    } else {
        most(last.draw, greatest)
    };
    // The mark is met within a measuring step below it.
    Some(Instead {
        planned: for_draw(last.draw, mark),
        lesser: for_draw(lesser, mark),
        greatest: for_draw(greatest, mark),
        below_the_mark: [last.draw, lesser].map(|draw| for_draw(draw, mark - last.step)),
    })
}
