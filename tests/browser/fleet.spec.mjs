// A fleet from a table to a table, with no signal; and one large enough to need patience.
import { spawn } from "node:child_process";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { expectAccessible } from "./support/axe.mjs";
import { expect, keptOffline, openVan, test } from "./support/fixture.mjs";
import { openFold } from "./support/job.mjs";
import { serve } from "./support/server.mjs";
import { dist, xtask } from "./support/settings.mjs";
import { picture } from "./support/shots.mjs";

const demo = join(import.meta.dirname, "../../data/demo");
const jobFile = join(demo, "orchard_fleet.json");
const tableFile = join(demo, "orchard_fleet.csv");
const fleet = (page) => page.getByRole("region", { name: "Fleet", exact: true });

/** What the project's own command makes of a table. */
function planned(table) {
  return new Promise((resolve, reject) => {
    const child = spawn(xtask, ["fleet", jobFile], { stdio: ["pipe", "pipe", "ignore"] });
    const chunks = [];
    child.stdout.on("data", (chunk) => chunks.push(chunk));
    child.once("error", reject);
    child.once("close", () => resolve(Buffer.concat(chunks)));
    child.stdin.end(table);
  });
}

/** The orchard's shelf on the page, and the fleet's part open. */
async function openFleet(page) {
  await openFold(page, "Jobs");
  await page.locator("input.jobs-in").setInputFiles(jobFile);
  await expect(page.getByRole("textbox", { name: "Job" })).toHaveValue("Orchard fleet, before the first frost");
  await page.getByRole("button", { name: "Plan a fleet from a table" }).click();
  await expect(fleet(page)).toBeFocused();
}

const choose = (page, table) =>
  fleet(page).locator("input[type=file]").setInputFiles({ name: "fleet.csv", mimeType: "text/csv", buffer: Buffer.from(table) });

test("the orchard's fleet, from table to table, server stopped, is the command's", async ({ page }) => {
  const server = await serve(dist);
  try {
    await openVan(page, server.url);
    await keptOffline(page);
    await server.stop();
    await page.setViewportSize({ width: 1280, height: 900 });
    await openFleet(page);
    await fleet(page).locator("input[type=file]").setInputFiles(tableFile);
    await expect(fleet(page).getByRole("status")).toHaveText(/orchard_fleet.csv: 12 to do, 1 with nothing to do, 1 without a plan, 4 need fixing/);
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "Export the plans (CSV)" }).click(),
    ]);
    expect(download.suggestedFilename()).toBe("pourcard-fleet-plans.csv");
    const written = await readFile(await download.path());
    expect(written.subarray(0, 3)).toEqual(Buffer.from([0xef, 0xbb, 0xbf]));
    expect(written.toString()).toBe((await planned(await readFile(tableFile))).toString());
    expect(written.toString()).toContain("'=Trailer 9");

    const row = fleet(page).getByRole("row", { name: /Vineyard tractor/ });
    await expect(row).toContainText("1.90\u00a0L");
    await expect(fleet(page).getByRole("row", { name: /Hay baler/ })).toContainText("US or imperial");
    await expect(fleet(page).getByRole("listitem").first()).toContainText("line 16");
    await expectAccessible(page);
    await picture(page, "fleet-wide");
    await row.getByRole("button", { name: /^Open/ }).click();
    await expect(page.getByRole("textbox", { name: "Job" })).toHaveValue("Vineyard tractor");
    await expect(page.locator(".bar-line")).toContainText("1.90");
    await page.setViewportSize({ width: 390, height: 844 });
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(wide).toBeLessThanOrEqual(0);
    await picture(page, "fleet-narrow");
    await fleet(page).getByRole("button", { name: "Close" }).click();
    await expect(fleet(page)).toHaveCount(0);
  } finally {
    await server.stop();
  }
});

test("ten thousand rows: the page shows how far it is, answers meanwhile, and can be stopped", async ({ page, site }) => {
  const [head, ...rows] = (await readFile(tableFile, "utf8")).trim().split("\n");
  const table = [head, ...Array.from({ length: 10_000 }, (_, i) => rows[i % rows.length])].join("\n");
  await openVan(page, site.url);
  await openFleet(page);
  await page.evaluate(() => {
    globalThis.seen = [];
    globalThis.long = [];
    new PerformanceObserver((list) => {
      for (const { startTime, duration } of list.getEntries()) globalThis.long.push([startTime, duration].map(Math.round));
    }).observe({ type: "longtask" });
    new MutationObserver(() => {
      const value = document.querySelector(".fleet progress")?.value;
      if (value !== undefined && globalThis.seen.at(-1) !== value) globalThis.seen.push(value);
    }).observe(document.body, { subtree: true, attributes: true, childList: true });
  });
  const began = Date.now();
  await choose(page, table);
  // The page answers between two slices.
  await page.getByRole("textbox", { name: "Job" }).fill("Typed meanwhile");
  await expect(page.getByRole("button", { name: "Export the plans (CSV)" })).toBeVisible();
  const took = Date.now() - began;
  await expect(fleet(page)).toContainText("Rows 1 to 50 of 10000");
  const { seen, long } = await page.evaluate(() => ({ seen: globalThis.seen, long: globalThis.long }));
  expect(seen.length).toBeGreaterThan(1); // how often it is drawn is the browser's to say
  expect([...seen].sort((a, b) => a - b)).toEqual(seen);
  // Clocks differ, so this is only said: how long it took, and which tasks took over 50 ms.
  console.log(`ten thousand rows in ${took} ms; long tasks (start, length): ${JSON.stringify(long)}`);

  // Stopped as soon as a part is planned: a fast machine would be through before a click from outside.
  await page.evaluate(() => {
    const stop = () => [...document.querySelectorAll(".fleet button")].find((button) => button.textContent === "Stop");
    new MutationObserver((_, observer) => {
      if (!stop() || !(document.querySelector(".fleet progress")?.value > 0)) return;
      observer.disconnect();
      stop().click();
    }).observe(document.body, { subtree: true, attributes: true, childList: true });
  });
  await choose(page, table);
  await expect(fleet(page)).toContainText("stopped before the end");
  const shown = await fleet(page).getByText(/^Rows 1 to/).innerText();
  expect(Number(shown.match(/of (\d+)/)[1])).toBeLessThan(10_000);
  // A part has no totals, on the page or in the file, which says that it is one.
  await expect(fleet(page).getByRole("status")).toContainText("Incomplete");
  await expect(fleet(page).getByText("All together")).toHaveCount(0);
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Export the plans (CSV)" }).click()]);
  const lines = (await readFile(await download.path(), "utf8")).trimEnd().split("\r\n");
  expect(lines.at(-1)).toContain("INCOMPLETE,it was stopped before the end of the table");
});

test("a table that will not do is refused in words, and any separator does", async ({ page, site }) => {
  await openVan(page, site.url);
  await openFleet(page);
  await choose(page, "plate;km\nA 1;12000\n");
  await expect(fleet(page).getByRole("status")).toContainText("no column volume");
  await expectAccessible(page);
  await choose(page, "vehicle;volume [L];missing [L];now\r\nVan;8,4;0,6;42 %\r\n");
  await expect(fleet(page).getByRole("status")).toContainText("1 to do");
  await expect(fleet(page).getByRole("row", { name: /Van/ })).toContainText("L");
});

test.describe("without the offline worker", () => {
  test.use({ serviceWorkers: "block" });

  test("a planner that does not arrive is said, and the page goes on", async ({ page, site, faults }) => {
    faults.allow(/Failed to load resource|registration blocked/);
    await openVan(page, site.url);
    await page.context().route(/pourcard_background_bg/, (route) => route.abort());
    await openFleet(page);
    await fleet(page).locator("input[type=file]").setInputFiles(tableFile);
    await expect(fleet(page).getByRole("status")).toContainText("could not be loaded");
    await page.context().unroute(/pourcard_background_bg/);
    await fleet(page).locator("input[type=file]").setInputFiles(tableFile);
    await expect(fleet(page).getByRole("status")).toContainText("12 to do");
  });
});
