// Names cannot falsify amounts: whatever a stock, a loop, a job or an additive is called, the figures beside it read as
// they are, on the screen, on paper, in a drawing, as text and in a table.
import { readFile } from "node:fs/promises";
import { expect, openVan, test } from "./support/fixture.mjs";
import { holdClipboard, linkOf, openFold } from "./support/job.mjs";

// Right-to-left override; the same after closing what is around it; a Hebrew and an Arabic name, with figures.
const NAMES = {
  override: "Premix\u202e",
  "a closed isolate": "Mix\u2069\u2069\u202e",
  "an open isolate": "Mix \u2067\u2068\u202e",
  "a paragraph's end": "Mix\u2029\u202e",
  Hebrew: "\u05de\u05d9\u05dd 50",
  Arabic: "\u0645\u0627\u0621 7",
};

const job = (name) => ({
  pourcard: 1,
  title: `T${name}`,
  notes: `N${name}`,
  shelf: [
    { name: `A${name}`, glycol: "ethylene", percent: 100, packs: [{ size: { value: 1, unit: "L" }, price: 500 }] },
    { name: `B${name}`, percent: 0 },
  ],
  loops: [
    {
      name: `L${name}`,
      glycol: "ethylene",
      volume: { value: 8.4, unit: "L" },
      missing: { value: 0.6, unit: "L" },
      now: { by: "percent", value: 20 },
      aim: { by: "percent", value: 50 },
      draw_limit: { value: 6, unit: "L" },
      tank_room: { value: 1, unit: "L" },
      additive: { name: `D${name}`, rate: { by: "ratio", value: 30, unit: "mL/L" }, already: { value: 0, unit: "mL" } },
    },
  ],
  money: { currency: `C${name}` },
});

/** Figures with their units, and whether each is drawn from left to right, with the letters around it in order. */
function turned(root) {
  const found = { right: 0, wrong: [] };
  const place = (node, at) => {
    const range = document.createRange();
    range.setStart(node, at);
    range.setEnd(node, at + 1);
    return range.getClientRects()[0];
  };
  const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    for (const match of node.data.matchAll(/\d+(\.\d+)?[\u00a0 ](mL|L|%)/g)) {
      const rects = [...match[0]].map((_, i) => place(node, match.index + i)).filter(Boolean);
      const inOrder = rects.every((rect, i) => i === 0 || rect.top > rects[i - 1].top + 1 || rect.left >= rects[i - 1].left - 0.5);
      if (rects.length === 0) continue; // not drawn
      if (inOrder) found.right += 1;
      else found.wrong.push(node.data);
    }
  }
  return found;
}

for (const [what, name] of Object.entries(NAMES)) {
  test(`a name with ${what} turns no amount round`, async ({ context, page, site }) => {
    const copied = await holdClipboard(context);
    await openVan(page, site.url);
    await page.goto(`${site.url}${linkOf(JSON.stringify(job(name)))}`);
    await expect(page.locator(".tidings")).toContainText("A job came with the link");
    for (const fold of ["Tank and cap", "Additive", "Packs and price", "Jobs"]) await openFold(page, fold);
    for (const media of ["screen", "print"]) {
      await page.emulateMedia({ media });
      const { right, wrong } = await page.evaluate(`(${turned})(document.body)`);
      expect(wrong, media).toEqual([]);
      expect(right, media).toBeGreaterThan(10);
    }
    await page.emulateMedia({ media: null });

    // As text: by the same rule, isolates around each name and none left open in a line.
    await page.getByRole("button", { name: "Copy as text" }).first().click();
    const text = await copied(page);
    expect(text).toContain("\u2068A");
    expect(text).toContain("\u2068T");
    for (const line of text.split("\n")) {
      let depth = 0;
      for (const c of line) {
        if ("\u2066\u2067\u2068".includes(c)) depth += 1;
        if (c === "\u2069") depth -= 1;
        expect(depth, line).toBeGreaterThanOrEqual(0);
        if ("\u202a\u202b\u202d\u202e".includes(c)) expect(depth, line).toBeGreaterThan(0);
      }
      expect(depth, line).toBe(0);
    }
  });
}

test("in an exported table controls are written out, nothing invisible is added, and Hebrew is as it was", async ({ page, site }) => {
  await openVan(page, site.url);
  await openFold(page, "Jobs");
  await page.getByRole("button", { name: "Plan a fleet from a table" }).click();
  const rows = ["vehicle,volume [L],now", "Van\u202e 1,8,20 %", "\u05de\u05e9\u05d0\u05d9\u05ea 2,8,20 %"];
  const table = { name: "fleet.csv", mimeType: "text/csv", buffer: Buffer.from(rows.join("\n")) };
  await page.getByRole("region", { name: "Fleet", exact: true }).locator("input[type=file]").setInputFiles(table);
  const button = page.getByRole("button", { name: "Export the plans (CSV)" });
  const [download] = await Promise.all([page.waitForEvent("download"), button.click()]);
  const text = await readFile(await download.path(), "utf8");
  expect(text).toContain("Van\\u202E 1");
  expect(text).toContain("\u05de\u05e9\u05d0\u05d9\u05ea 2,");
  expect(text.slice(1)).not.toMatch(/[\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufeff]/);
});
