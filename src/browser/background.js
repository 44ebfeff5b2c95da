// The thread in which the page's second module does long work: a fleet is planned here, so that the page answers
// meanwhile. Messages are pairs: a text of JSON, and another text that may go with it.

import run, { Planner } from "./pourcard_background.js";

const ready = run({ module_or_path: new URL("./pourcard_background_bg.wasm", import.meta.url) }).then(() => new Planner());
ready.catch(() => {}); // said where an order waits for it
let going = false;

self.addEventListener("message", async ({ data: [order, table] }) => {
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
