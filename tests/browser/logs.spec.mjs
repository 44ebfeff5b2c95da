// Logs of drives: two files chosen, a verdict in words, and a million rows while the page goes on answering.
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expectAccessible } from "./support/axe.mjs";
import { expect, openVan, test } from "./support/fixture.mjs";
import { openFold } from "./support/job.mjs";
import { picture } from "./support/shots.mjs";

const demo = join(import.meta.dirname, "../../data/demo");
const plain = (text) => text.replaceAll("\u00a0", " ");
const inputs = (page) => page.locator(".fold input[type=file][multiple]");

test("a newcomer chooses two logs and reads a verdict", async ({ page, site }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await openVan(page, site.url);
  await openFold(page, "After the job");
  await inputs(page).nth(0).setInputFiles(join(demo, "tractor_before.csv"));
  await expect(page.getByText("Choose logs of the other side as well.")).toBeVisible();
  await inputs(page).nth(1).setInputFiles(join(demo, "tractor_after.csv"));
  // Nobody said what the thermostat does: the two judgements disagree, and the page says so.
  await expect(page.getByText(/Coolant: can.t tell: as it stands/)).toBeVisible();
  await page.locator("summary", { hasText: "Thermostat and plan" }).click();
  await page.getByRole("textbox", { name: "Thermostat opens at" }).fill("82");
  await page.getByRole("button", { name: "Compare again" }).click();
  const verdict = page.getByText(/^Coolant, above full open: cooler by 6\./);
  await expect(verdict).toBeVisible();
  await expect(page.getByRole("img", { name: /^Coolant over ambient/ })).toBeVisible();
  await expect(page.getByRole("img", { name: /tractor_after\.csv, after, over time/ })).toHaveCount(4);
  await expectAccessible(page);
  await picture(page, "logs");
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  expect(wide).toBeLessThanOrEqual(0);
  // A file that is no log is named.
  await inputs(page).nth(1).setInputFiles({ name: "x.csv", mimeType: "text/csv", buffer: Buffer.from("time,rpm\n1,2\n") });
  await page.locator("summary", { hasText: "What was read" }).click();
  await expect(page.getByText(/^x\.csv: no column for a temperature/)).toBeVisible();
});

test("a million rows are read while the page goes on answering", async ({ page, site }, info) => {
  test.slow();
  await openVan(page, site.url);
  await openFold(page, "After the job");
  const rows = ["time (s),coolant (C),speed (km/h),load (%),ambient (C)"];
  for (let i = 0; i < 500_000; i += 1) rows.push(`${i / 10},${95 + (i % 7) / 10},80,40,20.5`);
  // From the disk: a buffer would be put together on the page's own thread.
  const [before, after] = ["before.csv", "after.csv"].map((name) => info.outputPath(name));
  for (const path of [before, after]) await writeFile(path, `${rows.join("\n")}\n`);
  await inputs(page).nth(0).setInputFiles(before);
  await expect(page.getByText("Choose logs of the other side as well.")).toBeVisible({ timeout: 60_000 });
  await page.evaluate(() => {
    globalThis.long = [];
    new PerformanceObserver((list) => globalThis.long.push(...list.getEntries().map((e) => e.duration))).observe({ entryTypes: ["longtask"] });
  });
  const begin = Date.now();
  await inputs(page).nth(1).setInputFiles(after);
  await expect(page.getByText(/these two drives differ/)).toBeVisible({ timeout: 60_000 });
  const took = Date.now() - begin;
  const long = await page.evaluate(() => globalThis.long);
  // Clocks differ, so this is only said.
  console.log(`a million rows in ${took} ms, long tasks of the page: ${JSON.stringify(long)}`);
  expect(plain(await page.getByText(/these two drives differ/).innerText())).toContain("0.0 °C");
});
