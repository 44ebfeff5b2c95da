// Once the job is done, on a phone: read again, corrected, spots before and after, the record.
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { expectAccessible } from "./support/axe.mjs";
import { expect, openMore, openVan, test } from "./support/fixture.mjs";
import { answer, exported } from "./support/job.mjs";
import { picture } from "./support/shots.mjs";

const plain = (text) => text.replaceAll("\u00a0", " ");
const field = (scope, name) => scope.getByRole("textbox", { name });
const fold = (page) => page.locator("summary", { hasText: "After the job" });
const finding = (page) => page.locator("#finding");

async function expectBar(page, words) {
  await expect.poll(async () => plain(await page.locator(".bar-line").innerText())).toMatch(words);
}

test.beforeEach(async ({ page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
});

test("a job that came out right", async ({ page, site }) => {
  await openVan(page, site.url);
  const before = plain(await page.locator(".bar-line").innerText());
  await fold(page).click();
  await expect(page.locator(".should")).toContainText(/should read 50\.0.%\. From 48\.\d.% to 54\.\d.% /);
  await field(page, "Re-test reading").fill("50");
  await expect(finding(page)).toContainText("On target");
  await expectBar(page, before);
  const told = await answer(await exported(page));
  expect(told.loops[0].check_back.finding).toBe("as_planned");
  await page.getByText("refractometer (freeze point)", { exact: true }).last().click();
  await expect(page.locator(".should")).toContainText("°C");
  await expectAccessible(page);
  await picture(page, "after-right");
});

test("a re-reading that reveals 1.2 L more than the book says, corrected to the aim", async ({ page, site }) => {
  await openVan(page, site.url);
  await page.getByRole("button", { name: "New job" }).first().click();
  await field(page, "Capacity, filled to the mark").fill("8.4");
  await openMore(page);
  await page.getByRole("combobox", { name: "Measured with" }).first().selectOption({ label: "plain water" });
  await page.getByRole("group", { name: "Target by" }).getByText("concentration", { exact: true }).click();
  await field(page, "Target concentration").fill("50");
  await page.getByRole("checkbox", { name: "Concentrate", exact: true }).check();
  await page.locator("summary", { hasText: "Tank and cap" }).click();
  await page.getByText("all of it", { exact: true }).click();
  await expectBar(page, "Drain 4.15 L, pour 4.20 L concentrate");
  for (let i = 0; i < 4; i += 1) await page.locator("label.tick").nth(i).click();
  await expectBar(page, "All done");

  // 4.2 L of concentrate beside 9.6 - 4.15 L of water is 43.5 %: a loop of 9.6 L.
  await fold(page).click();
  await field(page, "Re-test reading").fill("43.5");
  await expect(finding(page)).toContainText("Below target by 6.2 points");
  await expect(finding(page).getByRole("listitem").first()).toContainText(/capacity is another: about 9\.6.L/);
  await expectAccessible(page);
  await picture(page, "after-weaker");
  const told = await answer(await exported(page));
  const { check_back: found } = told.loops[0];
  expect(found.causes[0]).toBe("volume");
  expect(found.volume.litres).toBeCloseTo(9.6, 1);
  const drawn = found.correction.steps.find((step) => step.do === "draw").litres;

  await page.getByRole("button", { name: /Use 9\.6.L as the capacity/ }).click();
  await expectBar(page, new RegExp(`^Drain ${drawn.toFixed(2)} L, pour .* concentrate$`));
  await expect(page.getByText(/A re-test set the capacity; before, it was 8\.4.L/).first()).toBeVisible();
  const file = JSON.parse(await exported(page));
  expect(file.loops[0].volume.was).toBe(8.4);
  expect(file.loops[0].past).toHaveLength(1);
  const corrected = await answer(JSON.stringify(file));
  expect(corrected.loops[0].after.percent).toBeCloseTo(50, 0);
  await page.getByRole("button", { name: "Undo" }).first().click();
  await expect(field(page, "Capacity, filled to the mark")).toHaveValue("8.4");
});

test("a re-reading has its date and its own ±, a run what its surfaces mirror", async ({ page, site }) => {
  await openVan(page, site.url);
  await fold(page).click();
  await field(page, "Re-test reading").fill("50");
  const back = page.locator(".row.lead", { has: field(page, "Re-test reading") });
  await field(back, /± on the re-test/).fill("0.5");
  await field(back, /Date of the re-test/).fill("2026-11-30");
  await page.getByRole("button", { name: "Start with the usual places" }).click();
  await page.getByRole("button", { name: "Add a run before" }).click();
  const run = page.getByRole("group", { name: "Run before, 1" });
  await field(run, "Ambient").fill("20");
  await field(run, /Reflected temperature/).fill("45");
  await expectAccessible(page);
  await picture(page, "after-own-spread");
  const text = await exported(page);
  const told = JSON.parse(text);
  expect(told.loops[0].check_back.date).toBe("2026-11-30");
  expect(told.loops[0].check_back.reading.plus_minus).toBe(0.5);
  expect(told.survey.runs[0].reflected).toEqual({ value: 45, unit: "degC" });
  const answered = await answer(text);
  expect(answered.loops[0].check_back.error).toBeNull();
});

/** A table of tests/reference, as objects. */
async function table(name) {
  const text = await readFile(join(import.meta.dirname, "../reference", name), "utf8");
  const [head, ...rows] = text.split("\n").filter((line) => line && !line.startsWith("#"));
  return rows.map((row) => Object.fromEntries(row.split(",").map((cell, i) => [head.split(",")[i], cell])));
}

test("six spots over three runs each, judged as SciPy judges them", async ({ page, site }) => {
  test.slow();
  const told = JSON.parse(await readFile(join(import.meta.dirname, "../reference/survey_six_spots.json"), "utf8"));
  const judged = await table("survey_six_spots.csv");
  await openVan(page, site.url);
  await fold(page).click();
  await page.getByRole("button", { name: "Start with the usual places" }).click();
  await page.getByRole("combobox", { name: "Surface: Oil" }).selectOption("gauge");
  for (const { name, side } of told.survey.spots) {
    await page.getByRole("combobox", { name: `Goes by: ${name}` }).selectOption(side);
  }
  await page.locator("summary", { hasText: "Thermostat and plan" }).click();
  await field(page, "Planned runs of each").fill(String(told.survey.planned));
  await field(page, "Thermometer accuracy").fill(String(told.survey.accuracy.value));
  const counts = { before: 0, after: 0 };
  for (const run of told.survey.runs) {
    await page.getByRole("button", { name: `Add a run ${run.when}` }).click();
    counts[run.when] += 1;
    const group = page.getByRole("group", { name: `Run ${run.when}, ${counts[run.when]}` });
    await field(group, "Ambient").fill(String(run.ambient.value));
    await field(group, "Minutes after shutdown").fill(String(run.minutes));
    await field(group, "Emissivity set to").fill(String(run.emissivity));
    await group.locator("summary", { hasText: "Pairing and conditions" }).click();
    await field(group, "Pair").fill(run.pair);
    for (const { spot, value } of run.shown) await field(group, spot).fill(String(value));
  }
  const words = {
    cooler: "cooler by",
    warmer: "warmer by",
    none_seen: "no difference seen",
    cannot_tell: "can\u2019t tell yet",
  };
  const verdicts = page.locator(".verdicts li");
  await expect(verdicts).toHaveCount(judged.length);
  for (const [i, row] of judged.entries()) {
    await expect(verdicts.nth(i)).toContainText(`${row.spot}: ${words[row.verdict]}`);
    const change = (Number(row.after_K) - Number(row.before_K)).toFixed(1).replace("-", "\u2212");
    const cells = page.getByRole("row", { name: new RegExp(`^${row.spot}`), includeHidden: true }).getByRole("cell", { includeHidden: true });
    expect(plain(await cells.last().textContent())).toBe(`${change} °C`);
  }
  await page.getByText("How this is calculated").first().click();
  await expect(page.locator(".whys")).toContainText("Student");
  const answered = await answer(await exported(page));
  expect(answered.survey.spots.map((spot) => spot.verdict)).toEqual(judged.map((row) => row.verdict));
  await expectAccessible(page);
  await picture(page, "after-survey");
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  expect(wide).toBeLessThanOrEqual(0);
  const small = await page.evaluate(() =>
    [...document.querySelectorAll(".fold button, .fold select, .fold summary, .fold .entry input")]
      .filter((element) => element.checkVisibility() && element.getBoundingClientRect().height < 43.5)
      .map((element) => element.outerHTML.slice(0, 80)),
  );
  expect(small).toEqual([]);
});

test("levels over the days, and the record on one page", async ({ page, site }) => {
  await openVan(page, site.url);
  await fold(page).click();
  for (const [i, [date, below]] of [["2026-03-01", "0"], ["2026-03-20", "0.3"], ["2026-04-10", "0,7"]].entries()) {
    await page.getByRole("button", { name: "Add a level check" }).click();
    const look = page.getByRole("group", { name: `Level check ${i + 1}` });
    await field(look, "Date").fill(date);
    await field(look, "Low by").fill(below);
  }
  await expect(page.getByText(/^It lost 0\.\d\d.L.* in 40.days/).first()).toContainText("pressure-tested");
  await expect(page.getByRole("img", { name: "Lost since the mark, by day" })).toBeVisible();
  await expectAccessible(page);
  await picture(page, "after-levels");
  await page.evaluate(() => (window.print = () => {}));
  await page.locator("summary", { hasText: "Service record" }).click();
  await page.getByRole("button", { name: "Print the service record" }).click();
  await page.emulateMedia({ media: "print" });
  await expect(page.getByText("What came out and went in").first()).toBeVisible();
  await expect(page.locator("#card")).toBeHidden();
  await picture(page, "record");
  const pdf = await page.pdf({ format: "A4" });
  expect(pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
});
