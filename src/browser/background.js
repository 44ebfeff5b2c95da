// The thread in which the page's second module does long work: a fleet is planned here, so that the page answers
// meanwhile. Messages are pairs: a text of JSON, and another text that may go with it.

import run, { Logs, Planner } from "./pourcard_background.js";

const module = run({ module_or_path: new URL("./pourcard_background_bg.wasm", import.meta.url) });
const ready = module.then(() => new Planner());
ready.catch(() => {}); // said where an order waits for it
let going = false;

self.addEventListener("message", async ({ data: [order, table, files, after] }) => {
  if (files) return compare(order, files, after);
  try {
    const planner = await ready;
    self.postMessage([planner.take(order, table), planner.csv()]);
    if (planner.runs() && !going) {
      going = true;
      setTimeout(goOn, 0, planner);
    }
  } catch {
    self.postMessage([]); // it did not arrive, or stopped: the page says so
  }
});

// Logs of drives, before and after a change: read in pieces, and compared once both sides are there. Files chosen anew take
// the place of those of that side; none chosen: the same ones again.
const sides = [[], []];
let turn = 0;

async function compare(order, files, after) {
  const mine = ++turn;
  if (files.length) sides[Number(after)] = files;
  try {
    await module;
    const logs = new Logs(order);
    for (const [side, chosen] of sides.entries()) {
      for (const file of chosen) {
        logs.begin(file.name, side === 1);
        const pieces = file.stream().getReader();
        for (;;) {
          const { done, value } = await pieces.read();
          if (mine !== turn) return; // others were chosen meanwhile
          if (done) break;
          logs.feed(value);
        }
        logs.end();
      }
    }
    self.postMessage([logs.told()]);
    logs.free();
  } catch {
    if (mine === turn) self.postMessage([]);
  }
}

// Slice by slice, so that orders are taken in between.
function goOn(planner) {
  try {
    if (planner.runs()) self.postMessage([planner.go_on()]);
    going = planner.runs();
    if (going) setTimeout(goOn, 0, planner);
  } catch {
    self.postMessage([]);
  }
}
