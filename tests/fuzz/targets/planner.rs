//! The planner, fed through jobs whose values mostly lie where plans are made.

use super::common::{additive, engine_loop, job, litres, stock};
use super::{Bytes, sane};
use pourcard::job::{self, file::*, record::Field};

/// Every plan keeps the laws, whatever the shelf, the limits and what really happened.
pub fn planner(data: &[u8]) {
    let job = job_of(data);
    let answer = job::answer(&job);
    sane::finite(&answer);
    sane::lawful(&job, &answer);
}

/// The job that these bytes stand for.
pub fn job_of(data: &[u8]) -> Job {
    let mut b = Bytes(data);
    let glycol = if b.yes() {
        GlycolName::Ethylene
    } else {
        GlycolName::Propylene
    };
    let shelf = (0..b.byte() % 5)
        .map(|i| {
            let percent = match b.byte() % 3 {
                0 => 100.0,
                1 => 0.0,
                _ => b.within(0.0, 100.0),
            };
            let mut stock = stock(&["stock ", &i.to_string()].concat(), percent);
            stock.glycol = stock.glycol.map(|_| glycol);
            stock.have = b.yes().then(|| litres(b.within(0.0, 30.0)));
            stock
        })
        .collect();
    let loops = (0..1 + b.byte() % 3)
        .map(|_| one_loop(&mut b, glycol))
        .collect();
    job(shelf, loops)
}

fn one_loop(b: &mut Bytes, glycol: GlycolName) -> Loop {
    let volume = b.within(0.2, 60.0);
    let mut lp = engine_loop(volume, b.within(0.0, 100.0), b.within(35.0, 75.0));
    lp.glycol = glycol;
    match b.byte() % 6 {
        0 => lp.now = Now::Water {},
        1 => lp.now = Now::Empty {},
        2 => {
            lp.now = Now::Flushed {
                left_behind: litres(volume * b.within(0.0, 1.0)),
                percent: b.within(0.0, 100.0),
            }
        }
        3 => lp.now = Now::Unknown {},
        _ => lp.missing = Some(litres(volume * b.within(0.0, 1.0)).into()),
    }
    if b.yes() {
        lp.aim = Aim::Percent {
            value: b.within(35.0, 75.0),
            within: Some(b.within(0.05, 20.0)),
        };
    }
    if b.yes() {
        lp.limits = Some(Limits {
            low: b.within(0.0, 60.0),
            high: b.within(30.0, 100.0),
        });
    }
    lp.draw_limit = b.yes().then(|| litres(volume * b.within(0.0, 1.2)));
    lp.drains = b.yes().then(|| Share {
        fraction: b.within(0.05, 1.0),
    });
    lp.renew = b.yes().then(|| Share {
        fraction: b.within(0.0, 1.0),
    });
    lp.measure_step = b.yes().then(|| litres(b.within(0.001, 1.0)));
    if b.yes() {
        let limit = b.yes().then(|| b.within(0.0, 80.0));
        let already = b.yes().then(|| b.within(0.0, 2.0));
        lp.additive = Some(additive(b.within(0.0, 80.0), limit, already));
    }
    for _ in 0..b.byte() % 4 {
        lp.done.push(Done {
            id: (1 + b.byte() % 6).to_string(),
            amount: b.yes().then(|| litres(b.within(0.0, 10.0))),
            at: None,
            ..Done::blank()
        });
    }
    lp
}
