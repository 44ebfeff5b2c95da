// What the tests are told from outside, with what `cargo xtask build` leaves as the default.
import { existsSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const root = resolve(import.meta.dirname, "../../..");
const debug = join(root, "target", "debug", process.platform === "win32" ? "xtask.exe" : "xtask");
const system = ["/usr/bin/chromium", "/usr/bin/chromium-browser"].find((path) => existsSync(path));

/** The project's own server. */
export const xtask = process.env.POURCARD_XTASK ?? debug;
/** The finished page. */
export const dist = process.env.POURCARD_DIST ?? join(root, "dist");
/** The same page packed once more with the stamp "next", for the update. */
export const next = process.env.POURCARD_NEXT;
/** The answer alone, compiled as the page is: a module and its glue. */
export const same = process.env.POURCARD_SAME ?? join(root, "target", "xtask", "same");
/** Chromium to drive; undefined leaves the choice to Playwright. */
export const chromium = process.env.POURCARD_CHROMIUM ?? system;
/** Traces of failed tests. */
export const results = process.env.POURCARD_RESULTS ?? join(tmpdir(), "pourcard-browser-results");
/** Pictures to look at, only where asked for. */
export const shots = process.env.POURCARD_SHOTS;

export const flags = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];
