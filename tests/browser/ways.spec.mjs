// Each way a workshop does it, walked from an empty page to the card on a phone, by the labels in sight.
//
// The amounts are worked in the comments, on paper: a mass balance in which volumes are taken to add. Mixing shrinks by
// at most 1 % of what is mixed, so they hold within a measuring step and that, which `expectCard` allows.
import { expectAccessible } from "./support/axe.mjs";
import { expect, openVan, test } from "./support/fixture.mjs";
import { picture } from "./support/shots.mjs";
import {
  choose,
  expectCard,
  expectCaution,
  expectCommandAgrees,
  expectLine,
  expectStrength,
  inUnit,
  really,
  shelve,
  startEmpty,
  steps,
  tick,
  type,
  unfold,
} from "./support/walk.mjs";

/** 8.4 L at the mark, so much below it, reading so many percent, to be 50 %. */
async function loop(page, missing, reads, aim = "50") {
  await type(page, { "Capacity, filled to the mark": "8.4", "Low by": missing, "Reading": reads });
  await choose(page, "Target by", "concentration");
  await type(page, { "Target concentration": aim });
}

test("nothing to do", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "", "50");
  await shelve(page, { Concentrate: "" });
  await expectLine(page, /^Already on target/);
  expect((await expectCommandAgrees(page)).way).toBe("nothing");
});

test("topped up with one stock", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.6", "49.5");
  await shelve(page, { Premix: "" });
  // 49.5 % of 7.8 and 50 % of 0.6 are 4.16 of 8.4: 49.5 %, within a point of 50.
  await expectCard(page, [["Pour premix, to the mark", 0.6]]);
  expect((await expectCommandAgrees(page)).way).toBe("top_up");
});

test("topped up with two stocks blended", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.6", "48");
  await shelve(page, { Concentrate: "", Premix: "", "Distilled water": "" });
  // x of concentrate and 0.6 - x of premix: 0.48 * 7.8 + x + 0.5 (0.6 - x) = 4.2, so x = 0.31.
  await expectCard(page, [
    ["Pour concentrate", 0.31],
    ["Pour premix, to the mark", 0.29],
  ]);
  await expectStrength(page, 50);
  expect((await expectCommandAgrees(page)).way).toBe("top_up");
});

test("draw and pour, and the way without a draw to look at", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.6", "58");
  await shelve(page, { Concentrate: "", Premix: "", "Distilled water": "" });
  // 0.58 (7.8 - d) = 4.2, so d = 0.56, and 0.6 + d go in.
  await expectCard(page, [
    ["Drain", 0.56],
    ["Pour distilled water, to the mark", 1.16],
  ]);
  await unfold(page, "Other options");
  // Nothing drawn: 0.58 * 7.8 of 8.4 is 53.9 %.
  await expect(page.locator(".other-ways li").first()).toHaveText(/Top up only, pour .*distilled water, nothing drained: comes to 54/);
  expect((await expectCommandAgrees(page)).way).toBe("draw_and_pour");
});

test("rounds where a volume limits the draw", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.6", "20");
  await shelve(page, { Concentrate: "" });
  await unfold(page, "Tank and cap");
  await choose(page, "How much comes out", "a volume");
  await type(page, { "Most you can drain at once": "2" });
  // In one go: 0.2 (7.8 - d) + 0.6 + d = 4.2, so d = 2.55: too much. First all that comes out: 0.2 * 5.8 + 2.6 = 3.76 of
  // 8.4 is 44.8 %; then 0.448 (8.4 - d) + d = 4.2, so d = 0.80.
  await expectLine(page, /^Drain and fill twice: /);
  await expectCard(
    page,
    [
      ["Drain", 2],
      ["Pour concentrate, to the mark", 2.6],
      ["Run to operating temperature, heater on full, 10 minutes"],
      ["Drain again", 0.8],
      ["Pour concentrate, to the mark", 0.8],
    ],
    0.1,
  );
  expect((await expectCommandAgrees(page)).way).toBe("rounds");
});

test("rounds where a share comes out", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "", "0");
  await choose(page, "Measured with", "plain water");
  await shelve(page, { Concentrate: "" });
  // The tap gives 0.4 of 8.4: 3.36, in steps 3.35. That makes 40 %; then 0.4 (8.4 - d) + d = 4.2, so d = 1.4.
  await expectCard(
    page,
    [
      ["Drain", 3.35],
      ["Pour concentrate, to the mark", 3.35],
      ["Run to operating temperature, heater on full, 10 minutes"],
      ["Drain again", 1.4],
      ["Pour concentrate, to the mark", 1.4],
    ],
    0.1,
  );
  const told = await expectCommandAgrees(page);
  await expect(page.locator(".totals")).toContainText(`${told.dispose_litres.toFixed(2)}\u00a0L of old coolant to dispose of`);
  // Tap and block give 0.8: one draw of half the loop does it.
  await unfold(page, "Tank and cap");
  await choose(page, "How much comes out", "radiator and block drains, about 80 %");
  await expectCard(
    page,
    [
      ["Drain", 4.2],
      ["Pour concentrate, to the mark", 4.2],
    ],
    0.1,
  );
});

test("refill after a flush, concentrate first", async ({ page, site }) => {
  await startEmpty(page, site);
  await type(page, { "Capacity, filled to the mark": "8.4" });
  await choose(page, "Measured with", "flushed, some water left in");
  await type(page, { "Left in after flushing": "1.9" });
  await choose(page, "Target by", "concentration");
  await type(page, { "Target concentration": "50" });
  await shelve(page, { Concentrate: "", "Distilled water": "" });
  // 1.9 of water stayed behind: 4.2 of concentrate, and 8.4 - 1.9 - 4.2 = 2.3 of water.
  await expectCard(
    page,
    [
      ["Pour concentrate", 4.2],
      ["Pour distilled water, to the mark", 2.3],
    ],
    0.1,
  );
  expect((await expectCommandAgrees(page)).way).toBe("refill");
  // With premix alone it comes to 0.5 * 6.5 / 8.4 = 38.7 %: the page says so, and what would change it.
  await page.getByRole("checkbox", { name: "Concentrate", exact: true }).uncheck();
  await page.getByRole("checkbox", { name: "Distilled water", exact: true }).uncheck();
  await page.getByRole("checkbox", { name: "Premix", exact: true }).check();
  await unfold(page, "Tank and cap");
  await choose(page, "How much comes out", "all of it");
  await expect(page.locator("#refusal")).toContainText(/gets it to 39\s%/);
  await expect(page.locator("#refusal")).toContainText(/What would help: drain 1\.90\sL before pouring, or a stronger product/);
  await expectAccessible(page);
  await picture(page, "ways-refused");
});

test("renewing a stated share of the old coolant", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "", "50");
  await type(page, { "Renew at least": "50" });
  await shelve(page, { Premix: "" });
  // The tap gives 3.36: 5.04 of the old 8.4 stay. To have 4.2 stay, d of 8.4 goes: 5.04 (1 - d / 8.4) = 4.2, d = 1.4.
  await expectLine(page, /^Drain and fill twice: /);
  await expectCard(page, [
    ["Drain", 3.35],
    ["Pour premix, to the mark", 3.35],
    ["Run to operating temperature, heater on full, 10 minutes"],
    ["Drain again", 1.4],
    ["Pour premix, to the mark", 1.4],
  ]);
  await expectAccessible(page);
  await picture(page, "ways-renew");
  await expectCommandAgrees(page);
});

test("a short shelf is poured to the last drop, and no further", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.6", "58");
  await shelve(page, { Premix: "", "Distilled water": "1" });
  // A litre of water and the rest premix: 0.58 (7.8 - d) + 0.5 (d - 0.4) = 4.2, so d = 1.55; a shaky figure, as both
  // are near 50 %: a hundredth of the 4.2 is half a litre of it.
  await expectCard(
    page,
    [
      ["Drain", 1.55],
      ["Pour premix", 1.15],
      ["Pour distilled water, to the mark", 1],
    ],
    0.5,
  );
  await expectStrength(page, 50);
  const told = await expectCommandAgrees(page);
  expect(told.used["Distilled water"]).toBeLessThanOrEqual(1);
  // With the water alone: 0.58 (7.8 - d) + 0 of 6.8 + d ... is more than a litre, so there is no plan.
  await page.getByRole("checkbox", { name: "Premix", exact: true }).uncheck();
  await expect(page.locator("#refusal")).toContainText(/more of what is on the shelf/);
});

test("water only with inhibitor, and the Stop for a night of frost", async ({ page, site }) => {
  await startEmpty(page, site);
  await type(page, { "Capacity, filled to the mark": "8", "Low by": "0.6" });
  await choose(page, "Measured with", "plain water");
  await choose(page, "Target by", "concentration");
  await type(page, { "Target concentration": "0" });
  await shelve(page, { "Distilled water": "" });
  await expect(page.locator("#refusal")).toContainText(/between 40 and 60/);
  await unfold(page, "Tank and cap");
  await type(page, { "No weaker than": "0" });
  await unfold(page, "Additive");
  await choose(page, "Additive", "add an additive");
  await type(page, { "Name of the additive": "Inhibitor", "Label dose as a ratio": "60" });
  await choose(page, "Label maximum", "no limit given");
  await choose(page, "Already in there", "new coolant only");
  // 60 mL in each of 8 L are 480 mL; the rest of the 0.6 missing is water.
  await expectCard(page, [
    ["Add inhibitor", 0.48],
    ["Pour distilled water, to the mark", 0.12],
  ]);
  await expectCaution(page, "stop", "one night of frost can crack");
  await expectCaution(page, "note", "allow an additive");
  await expectAccessible(page);
  await picture(page, "ways-water");
  expect((await expectCommandAgrees(page)).way).toBe("top_up");
});

test("as it happens: ticked, measured, in any order, and taken back", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.6", "42");
  await shelve(page, { Concentrate: "", "Distilled water": "" });
  // 0.42 (7.8 - d) + 0.6 + d = 4.2, so d = 0.56 and 1.16 go in.
  await expectCard(page, [
    ["Drain", 0.56],
    ["Pour concentrate, to the mark", 1.16],
  ]);
  const step = (title) => page.locator(".step").filter({ hasText: title });
  // One litre came out in place of 0.55: 0.42 * 6.8 of glycol is left, and 1.34 of concentrate and 0.26 of water go in.
  await really(page, step("Drain"), "1");
  await expectCard(
    page,
    [
      ["Drain", 1],
      ["Pour concentrate", 1.34],
      ["Pour distilled water, to the mark", 0.26],
    ],
    0.1,
  );
  // It was drained at 90 °C, where coolant measures about 4 % large.
  await type(page, { "Measured at": "90" }, step("Drain"));
  await expect.poll(async () => (await steps(page))[0][1]).toBeCloseTo(0.96, 2);
  await expectAccessible(page);
  await picture(page, "ways-happens");
  // The water first, though it is the last on the card: it stands for the concentrate before it, as written.
  await tick(page, "Pour distilled water");
  await expectLine(page, /^Now run it to operating/);
  await expect(step("Pour concentrate")).toContainText("Assumed done as written");
  // It was not poured, with one tap; and then it was.
  await tick(page, "Pour concentrate");
  await expectLine(page, /^Now pour 1\.[34]\d? L concentrate/);
  await tick(page, "Pour concentrate");
  await expectLine(page, /^Now run it to operating/);
  await expectStrength(page, 50);
  await expectCommandAgrees(page);
  await tick(page, "Run to operating temperature");
  await tick(page, "Bleed");
  await expectLine(page, /^All done/);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByRole("button", { name: "Undo" }).click();
  await expectLine(page, /^Now run it to operating/);
  await page.getByRole("button", { name: "Clear entries" }).click();
  await expectLine(page, /^Drain 0\.5/);
});

test("far less goes in than came out: at the mark, or it ran out; and low after the run", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "", "58");
  await shelve(page, { "Distilled water": "" });
  // 0.58 (8.4 - d) = 4.2, so d = 1.16, and as much goes in.
  await expectCard(page, [
    ["Drain", 1.16],
    ["Pour distilled water, to the mark", 1.16],
  ]);
  await tick(page, "Drain");
  const pour = page.locator(".step").filter({ hasText: "Pour distilled water" });
  await really(page, pour.first(), "0.6");
  const question = pour.first().getByRole("group", { name: "Is it at the mark now?" });
  await expect(question.getByRole("radio", { name: "Yes" })).toBeChecked();
  // Nothing more fits. It may be air, among other causes: run, bled and looked at before anything more is drawn.
  await expectCaution(page, "mind", "or have air trapped");
  const order = async () => (await steps(page)).slice(2, 5).map(([title]) => title.split(",")[0]);
  await expect.poll(order).toEqual(["Run to operating temperature", "Bleed", "Drain again"]);
  await expectAccessible(page);
  await picture(page, "ways-at-mark");
  await expectCommandAgrees(page);
  // Ran out: the other half is still to go in.
  await question.getByText("Ran out", { exact: true }).click();
  await expect.poll(async () => (await steps(page)).filter(([title]) => title.startsWith("Pour"))).toHaveLength(2);
  await expect(page.locator(".cautions")).not.toContainText("air trapped");
  await expectCommandAgrees(page);
  // At the mark after all; run, bled, and 0.5 L low: as much is to go in, and run and checked again.
  await question.getByText("Yes", { exact: true }).click();
  await expect.poll(order).toEqual(["Run to operating temperature", "Bleed", "Drain again"]);
  const checks = page.locator(".step").filter({ hasText: "Bleed" });
  await type(page, { "Low by, now": "0.5" }, checks.first());
  // 58 % of 8.45 - 1.15 L is in 8.4 L: 50.4 %, and nothing is to be drawn.
  await expectLine(page, /^Now pour 0\.5\d? L distilled water$/);
  await expect(page.locator(".cautions")).not.toContainText("air trapped");
  await expectCommandAgrees(page);
  await picture(page, "ways-low-after");
});

test("what was poured, typed first, stands for the draw and the dose", async ({ page, site }) => {
  await openVan(page, site.url);
  // The example: 1.00 L off, 250 mL of wetting agent, 1.35 L of concentrate.
  const step = (title) => page.locator(".step").filter({ hasText: title });
  await really(page, step("Pour concentrate"), "1.35");
  await expectLine(page, /^Now run it to operating/);
  await expect(page.locator(".step").filter({ hasText: "Assumed done as written" })).toHaveCount(2);
  await expectAccessible(page);
  await picture(page, "ways-assumed");
  const told = await expectCommandAgrees(page);
  expect(told.so_far.map(({ litres, assumed }) => [litres, assumed])).toEqual([
    [1, true],
    [0.25, true],
    [1.35, undefined],
  ]);
  // The dose was forgotten: one tap, and it is to do.
  await tick(page, "Add");
  await expectLine(page, /add 250 mL/);
  await expect(page.locator(".step").filter({ hasText: "Assumed done as written" })).toHaveCount(1);
  // It is so after a reload too.
  await page.reload();
  await expectLine(page, /add 250 mL/);
});

test("every form of an additive's label", async ({ page, site }) => {
  await startEmpty(page, site);
  await type(page, { "Capacity, filled to the mark": "8", "± on the capacity": "0", "Low by": "1" });
  await type(page, { "Reading": "50" });
  await choose(page, "Target by", "concentration");
  await type(page, { "Target concentration": "50" });
  await shelve(page, { Concentrate: "", Premix: "" });
  await unfold(page, "Additive");
  await choose(page, "Additive", "add an additive");
  await choose(page, "Label maximum", "no limit given");
  await choose(page, "Already in there", "new coolant only");
  const dose = async (form, texts, millilitres) => {
    await choose(page, "Label dose", form);
    await type(page, texts);
    const shown = async () => 1000 * (await steps(page)).find(([title]) => title.startsWith("Add"))?.[1];
    // Rounded down to what can be measured, 5 mL.
    await expect.poll(shown, form).toBeLessThanOrEqual(millilitres + 0.05);
    await expect.poll(shown, form).toBeGreaterThan(millilitres - 5);
  };
  await dose("a ratio", { "Label dose as a ratio": "30" }, 240);
  await inUnit(page, "Label dose as a ratio", "US fl oz per US qt");
  // A US quart is 32 fl oz: 1 in it is 31.25 mL in a litre. A US gallon is four, and an imperial one has 160 of its own.
  await dose("a ratio", { "Label dose as a ratio": "1" }, 250);
  await inUnit(page, "Label dose as a ratio", "US fl oz per US gal");
  await dose("a ratio", { "Label dose as a ratio": "1" }, 62.5);
  await inUnit(page, "Label dose as a ratio", "imp fl oz per imp gal");
  await dose("a ratio", { "Label dose as a ratio": "1" }, 50);
  await dose("percent", { "Label dose as a percentage": "3" }, 240);
  await dose("1 part in", { "Parts of the dose": "20" }, 400);
  await dose("1 part to", { "Parts of the dose": "19" }, 400);
  // 8 L lie between 6 and 12: one bottle. "Up to 12" is a whole one down to half of that; "up to 20": 8 parts of 20.
  await dose("a bottle treats", { "Bottle size": "300", "Treats from": "6", "Treats up to": "12" }, 300);
  await dose("a bottle treats", { "Treats from": "" }, 300);
  await dose("a bottle treats", { "Treats up to": "20" }, 120);
  await dose("a bottle treats", { "Treats up to": "12" }, 300);
  await expect(page.locator("#card")).toContainText("vehicle\u2019s maker allow an additive");
  await expectAccessible(page);
  await picture(page, "ways-label");
  await expectCommandAgrees(page);
  // What is on hand is not exceeded.
  await type(page, { "On hand of the additive": "120" });
  await expectCaution(page, "mind", "is on hand");
  await dose("a bottle treats", {}, 120);
});

test("a heavy-duty additive by the test, in whole units", async ({ page, site }) => {
  await startEmpty(page, site);
  await type(page, { "Capacity, filled to the mark": "13" });
  await inUnit(page, "Capacity, filled to the mark", "US gal");
  await type(page, { "Capacity, filled to the mark": "13", "Low by": "1", "Reading": "50" });
  await choose(page, "Target by", "concentration");
  await type(page, { "Target concentration": "50" });
  await shelve(page, { Concentrate: "", Premix: "" });
  await unfold(page, "Additive");
  await choose(page, "Additive", "add an additive");
  await choose(page, "Label dose", "by test strip or kit");
  await inUnit(page, "Level now", "units per US gal");
  await choose(page, "Label maximum", "by test strip or kit");
  await type(page, { "Level now": "1.5", "Target level": "2.3", "1 mL per litre raises it by": "1", "Highest level allowed": "3" });
  // 13 US gal are 49.2 L. A unit is what lifts a gallon by one: 3.785 mL. Wanted 49.2 * 2.3 = 113.2 mL in all; 48.2 L
  // carry 48.2 * 1.5 = 72.3; the 40.9 between are 10.8 units, so eleven: 41.6 mL. Of a truck operator's manual:
  // 13 gal from 1.5 to 2.3 need 10.4, so eleven.
  await expect.poll(async () => (await steps(page)).find(([title]) => title.startsWith("Add"))?.[1]).toBeCloseTo(0.0416, 4);
  await expectCommandAgrees(page);
});

test("two loops, one shelf that is short", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.6", "42");
  await unfold(page, "Tank and cap");
  await choose(page, "How much comes out", "a volume");
  await type(page, { "Most you can drain at once": "2" });
  await unfold(page, "Name and type");
  await type(page, { "Name of the system": "Engine" });
  await shelve(page, { Concentrate: "1.6", Premix: "" });
  const premix = page.getByRole("listitem").filter({ has: page.getByRole("checkbox", { name: "Premix", exact: true }) });
  await premix.locator("summary").click();
  await type(page, { Concentration: "45" }, premix);
  // Alone: 0.42 (7.8 - d) + 0.6 + d = 4.2, so 1.16 of concentrate go in.
  await expectCard(page, [
    ["Drain", 0.56],
    ["Pour concentrate, to the mark", 1.16],
  ]);
  await page.getByRole("button", { name: "Duplicate this system" }).click();
  await type(page, { "Name of the system": "Charge air" });
  // Each can do with 0.61 (49 % of 8.4 out of premix of 45 %): halves of 1.6 do for both, and the card says so.
  await expectCaution(page, "mind", "0.80\u00a0L of it is for this one");
  await expectStrength(page, 50);
  const second = await expectCommandAgrees(page, 1);
  await page.getByRole("button", { name: "Engine", exact: true }).click();
  await expectCaution(page, "mind", "0.80\u00a0L of it is for this one");
  const first = await expectCommandAgrees(page, 0);
  expect(first.used.Concentrate + second.used.Concentrate).toBeLessThanOrEqual(1.6);
  await expectAccessible(page);
  await picture(page, "ways-shared");
  await page.getByRole("button", { name: "Remove this system" }).click();
  await expect(page.getByRole("button", { name: "Engine", exact: true })).toHaveCount(0);
  await expectLine(page, /1\.1[05] L concentrate/);
});

test("a battery loop is stopped", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.6", "42");
  await shelve(page, { Concentrate: "" });
  // Next to the loops, for a keyboard as well.
  await page.getByRole("button", { name: "Add a system" }).focus();
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await choose(page, "Type of system", "battery");
  await expectLine(page, /^No plan\. A battery or fuel-cell system/);
  await expectCaution(page, "stop", "hardly conducts");
  await expect(page.locator(".step")).toHaveCount(0);
  await picture(page, "ways-battery");
});

test("unknown contents are drained and refilled", async ({ page, site }) => {
  await startEmpty(page, site);
  await type(page, { "Capacity, filled to the mark": "8.4" });
  await choose(page, "Measured with", "don\u2019t know");
  await choose(page, "Target by", "concentration");
  await type(page, { "Target concentration": "50" });
  await shelve(page, { Premix: "" });
  // Nine tenths of the old go, 0.4 at a time: ln 0.1 / ln 0.6 = 4.5, so five rounds.
  await expectLine(page, /^Drain and fill 5 times: /);
  await expectCaution(page, "mind", "What is in there is unknown");
  await unfold(page, "Tank and cap");
  await choose(page, "How much comes out", "all of it");
  await expectCard(page, [
    ["Drain", 8.4],
    ["Pour premix, to the mark", 8.4],
  ]);
  expect((await expectCommandAgrees(page)).way).toBe("refill");
});

test("families, and hard water", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.6", "42");
  await choose(page, "Coolant technology", "OAT");
  await shelve(page, { Concentrate: "5" });
  await page.getByRole("combobox", { name: "Coolant technology" }).selectOption("IAT");
  await expectCaution(page, "mind", "of another coolant technology");
  await unfold(page, "Water test");
  await inUnit(page, "Hardness of the water", "°dH");
  await type(page, { "Hardness of the water": "12" });
  // 12 °dH are 214 mg/L; a diesel maker's limit is 170, a European engine maker's 270.
  await expectCaution(page, "mind", "The mixing water");
  await expectAccessible(page);
  await picture(page, "ways-water-hard");
  await choose(page, "Limits from", "typical European engine limits (unverified)");
  await expect(page.locator(".cautions li").filter({ hasText: "The mixing water" })).toHaveCount(0);
  await expectCommandAgrees(page);
});

test("refused in the units of the page, with a way out", async ({ page, site }) => {
  await startEmpty(page, site);
  await page.getByText("US", { exact: true }).click();
  await type(page, { "Capacity, filled to the mark": "10", "Reading": "42" });
  await choose(page, "Target by", "freezing point");
  await shelve(page, { Concentrate: "", "Distilled water": "" });
  // Published tables of ethylene glycol end near −50 °C, which is −58 °F.
  await type(page, { "Target freezing point": "−60" });
  const said = page.locator("#aim-frost-error");
  await expect(said).toContainText("−60 °F");
  await expect(said).toContainText("percent");
  await expect(said).not.toContainText("°C");
  await choose(page, "Target by", "concentration");
  await type(page, { "Target concentration": "60.4" });
  await expect(page.locator("#refusal")).toContainText(/60\.4.%.*40 and 60.%/);
});

test("filled warm, and from above the mark", async ({ page, site }) => {
  await startEmpty(page, site);
  await loop(page, "0.3", "50");
  await shelve(page, { Concentrate: "", Premix: "" });
  await page.getByRole("button", { name: "Change the sign of Low by" }).click();
  // Right but for the height: the 0.3 L come off, and nothing goes in.
  await expectCard(page, [["Drain", 0.3]]);
  expect((await expectCommandAgrees(page)).way).toBe("draw_and_pour");
  await type(page, { "Capacity, filled to the mark": "10", "Low by": "" });
  await unfold(page, "Tank and cap");
  await type(page, { "Coolant temperature when filling": "60" });
  // By the handbook's densities 10 L of 50 % at 60 °C are 9.80 L at 20 °C.
  await expectCaution(page, "note", "10.00 L at the level are 9.80 L");
  const told = await expectCommandAgrees(page);
  expect(told.after.litres).toBeCloseTo(9.8, 1);
});
