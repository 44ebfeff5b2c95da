// Nothing is cut off, broken in mid-word or written over something else: the golden jobs, the fullest and the longest, in every
// system of units, at the widths of a small phone, a phone, a tablet and a desk.
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, openVan, test } from "./support/fixture.mjs";
import { openFold } from "./support/job.mjs";
import { unfoldAll } from "./support/walk.mjs";

const root = join(import.meta.dirname, "../..");
const golden = (await readdir(join(root, "tests/golden"))).sort().map((name) => `tests/golden/${name}`);
const JOBS = [...golden, "tests/flow/rich.json", "tests/links/truck.json", "data/demo/orchard_fleet.json"];
/** The fullest job with long names, and the van's as a loop of two cubic metres. */
async function stretched() {
  const long = JSON.parse(await readFile(join(root, "tests/flow/rich.json"), "utf8"));
  long.title = "Autumn service of the second delivery van with the long wheelbase and the extra heater";
  long.loops[0].name = "Charge air loop behind the front grille (low temperature)";
  long.loops[0].additive.name = "Wetting agent and corrosion inhibitor";
  const names = ["Long-life concentrate for mixed metals, silicates in it", "Ready-mixed winter coolant from the big drum"];
  for (const [i, name] of names.entries()) long.shelf[i].name = name;
  const big = JSON.parse(await readFile(join(root, "tests/golden/van.json"), "utf8"));
  const litres = (value) => ({ value, unit: "L" });
  Object.assign(big.loops[0], { volume: litres(1999.95), missing: litres(123.45), tank_room: litres(250), draw_limit: undefined });
  for (const stock of big.shelf) delete stock.have;
  const file = (name, job) => ({ name, mimeType: "application/json", buffer: Buffer.from(JSON.stringify(job)) });
  return [file("long names", long), file("a big loop", big)];
}

const WIDTHS = [320, 390, 768, 1280];

/** What of the page's text stands badly. */
function misfits() {
  const SLACK = 3; // px: a line box is taller than its letters
  const found = [];
  const pieces = [];
  const walker = document.createTreeWalker(document.getElementById("page"), NodeFilter.SHOW_TEXT);
  const range = document.createRange();
  const shown = (element) => element.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const apart = "option, .bar, .read-out, .why, .code"; // over the page on purpose, or formulas
  const above = (element, holds) => {
    for (let at = element; at; at = at.parentElement) if (holds(getComputedStyle(at))) return true;
    return false;
  };
  while (walker.nextNode()) {
    const node = walker.currentNode;
    const element = node.parentElement;
    if (!node.data.trim() || element.closest(apart) || !shown(element)) continue;
    if (above(element, (style) => style.clipPath !== "none")) continue; // for a screen reader
    for (const { 0: word, index } of node.data.matchAll(/[^\s\u00a0]+/g)) {
      range.setStart(node, index);
      range.setEnd(node, index + word.length);
      const boxes = [...range.getClientRects()].filter((box) => box.width > 0);
      // A hyphen or a slash may end a line.
      if (!/[-–/]/.test(word) && boxes.length > 1) found.push(`broken: ${word} in ${node.data}`);
      for (const box of boxes) pieces.push({ box, word, element, text: node.data });
    }
  }
  const card = document.getElementById("card").getBoundingClientRect();
  for (const { box, word, element, text } of pieces) {
    if (above(element, (style) => style.overflowX === "auto")) continue; // to be pushed sideways
    const room = element.closest("#card") ? card : { left: 0, right: innerWidth };
    if (box.left < room.left || box.right > room.right) found.push(`outside: ${word} in ${text}`);
  }
  pieces.sort((a, b) => a.box.top - b.box.top);
  for (const [i, one] of pieces.entries()) {
    for (let j = i + 1; j < pieces.length && pieces[j].box.top < one.box.bottom - SLACK; j += 1) {
      const other = pieces[j];
      if (one.element === other.element) continue;
      const across = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
      const down = Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top);
      if (across > 1 && down > SLACK) found.push(`over each other: ${one.text} and ${other.text}`);
    }
  }
  if (document.documentElement.scrollWidth > innerWidth) found.push("the page goes sideways");
  return [...new Set(found)];
}

async function expectFit(page, where) {
  for (const system of ["metric", "US", "imperial"]) {
    await page.getByText(system, { exact: true }).first().click();
    for (const loop of await page.locator(".loops .tab").all()) {
      await loop.click();
      expect.soft(await page.evaluate(misfits), `${where} in ${system}`).toEqual([]);
    }
  }
}

for (const width of WIDTHS) {
  test(`text fits, ${width} px`, async ({ page, site }) => {
    test.setTimeout(600_000);
    await page.setViewportSize({ width, height: 9000 }); // what is far below is not laid out
    await openVan(page, site.url);
    await openFold(page, "Jobs");
    for (const job of [...JOBS.map((name) => join(root, name)), ...(await stretched())]) {
      await page.locator("input.jobs-in").setInputFiles(job);
      await expect(page.getByText("One job opened")).toBeVisible();
      await page.getByRole("button", { name: "Close" }).click();
      await unfoldAll(page);
      await expectFit(page, job.name ?? job);
    }
    await page.getByRole("button", { name: "Plan a fleet from a table" }).click();
    await page.locator(".fleet input[type=file]").setInputFiles(join(root, "data/demo/orchard_fleet.csv"));
    await expect(page.getByRole("button", { name: "Export the plans (CSV)" })).toBeVisible();
    await expectFit(page, "the orchard's fleet");
    await page.getByRole("button", { name: "New job" }).last().click();
    await unfoldAll(page);
    await expectFit(page, "an empty page");
  });
}
