// A few words for walking the page as a user does: by the labels in sight, on a phone.
import { expect, open, openMore } from "./fixture.mjs";
import { answer, exported } from "./job.mjs";

export { answer, exported };

/** No-break spaces made plain. */
export const plain = (text) => text.replaceAll("\u00a0", " ");

/** An empty page on a phone, with what few people need opened under each question. */
export async function startEmpty(page, site) {
  await page.setViewportSize({ width: 390, height: 844 });
  await open(page, site.url);
  await openMore(page);
}

/** Types into fields by their labels: `{ "Reading": "42" }`. */
export async function type(page, texts, scope = page) {
  for (const [label, text] of Object.entries(texts)) {
    await scope.getByRole("textbox", { name: label }).first().fill(text);
  }
}

/** Touches a field and types into it. The driver's keys may be quicker than the browser's focus after a touch, and are lost then. */
export async function tapAndType(page, box, text) {
  await box.tap();
  for (let again = 0; again < 20; again += 1) {
    await page.keyboard.type(text);
    if ((await box.inputValue()) !== "") break;
    // Two quick taps close together are a gesture of their own, after which Chromium takes no keys: no thumb is as quick.
    await page.waitForTimeout(500);
    await box.tap();
  }
  await expect(box).toHaveValue(text);
}

/** Chooses one of several: the group's name, the choice's words. */
export async function choose(page, group, words) {
  const list = page.getByRole("combobox", { name: group, exact: true });
  if (await list.count()) await list.first().selectOption({ label: words });
  else await page.getByRole("group", { name: group, exact: true }).getByText(words, { exact: true }).click();
}

/** Opens what is folded away under a name. */
export async function unfold(page, name) {
  const fold = page.locator("summary", { hasText: name }).first();
  if (!(await fold.evaluate((summary) => summary.parentElement.open))) await fold.click();
}

/** Opens every fold. What is in one is drawn once it is open, and may hold folds of its own. */
export async function unfoldAll(page) {
  for (let closed = -1; closed !== 0; ) {
    const folds = page.locator("#page details:not([open])").filter({ visible: true }); // the other systems' cards are for paper
    closed = await folds.count();
    if (closed > 0) await folds.first().locator("summary").first().click();
  }
}

/** Ticks stocks; what is on hand of one, where it is given: `{ Concentrate: "0.3", Premix: "" }`. */
export async function shelve(page, stocks) {
  for (const [name, have] of Object.entries(stocks)) {
    await page.getByRole("checkbox", { name, exact: true }).check();
    if (!have) continue;
    const row = page.getByRole("listitem").filter({ has: page.getByRole("checkbox", { name, exact: true }) });
    await row.locator("summary").click();
    await row.getByRole("textbox", { name: "On hand" }).fill(have);
  }
}

/** The unit of a field. */
export async function inUnit(page, label, unit) {
  await page.getByRole("combobox", { name: `Unit of ${label}` }).selectOption(unit);
}

/** The answer in one line, once it is as expected. */
export async function expectLine(page, words) {
  await expect.poll(async () => plain(await page.locator(".bar-line").innerText())).toMatch(words);
}

/** "0.80 L" and "250 mL" as litres. */
export function litres(text) {
  const [, number, unit] = plain(text).match(/^([\d.]+) (L|mL)$/) ?? [];
  if (!number) throw new Error(`no amount: ${text}`);
  return Number(number) / (unit === "mL" ? 1000 : 1);
}

/** The steps in sight: title and litres of each that has an amount, title alone of the others. */
export async function steps(page) {
  const list = [];
  for (const step of await page.locator(".step").filter({ visible: true }).all()) {
    const title = plain(await step.locator(".what-title").innerText());
    const amount = step.locator(".amount");
    list.push((await amount.count()) ? [title, litres(await amount.innerText())] : [title]);
  }
  return list;
}

/**
 * The card is as worked out on paper: `[["Drain", 0.56], ["Pour water, to the mark", 1.16]]`, each amount within
 * `near` litres (a measuring step, and what mixing shrinks); then to run and to check.
 */
export async function expectCard(page, worked, near = 0.06) {
  const expected = [...worked, ["Run to operating temperature, heater on full, 10 minutes"], ["Bleed, check the level, re-test"]];
  await expect.poll(async () => (await steps(page)).map(([title]) => title)).toEqual(expected.map(([title]) => title));
  const shown = await steps(page);
  for (const [i, [title, amount]] of expected.entries()) {
    if (amount !== undefined) expect(Math.abs(shown[i][1] - amount), `${title}: ${shown[i][1]}`).toBeLessThanOrEqual(near);
  }
}

/** What really came out or went in at a step: asked once it is ticked. */
export async function really(page, step, amount) {
  const tick = step.locator("label.tick");
  if (!(await tick.locator("input").isChecked())) await tick.click();
  await type(page, { "Actual amount": amount }, step);
}

/** Ticks a step by its number, or takes the tick back. */
export async function tick(page, title) {
  await page.locator(".step").filter({ hasText: title }).first().locator("label.tick").click();
}

/** The strength afterwards, as the table has it. */
export async function expectStrength(page, percent, within = 1) {
  await unfold(page, "Before and after, in full");
  const cell = page.getByRole("row", { name: /^Concentration/ }).getByRole("cell").last();
  expect(Math.abs(parseFloat(await cell.innerText()) - percent)).toBeLessThanOrEqual(within);
}

/** A caution of this weight that says so stands on the card. */
export async function expectCaution(page, weight, words) {
  await expect(page.locator(`.cautions li.${weight}`).filter({ hasText: words, visible: true })).toHaveCount(1);
}

/** The command answers the exported job with the card in sight; its loop number `i` is handed back. */
export async function expectCommandAgrees(page, i = 0) {
  const loop = (await answer(await exported(page))).loops[i];
  const told = [...loop.so_far, ...loop.steps].filter((step) => step.litres !== undefined);
  const shown = (await steps(page)).filter((step) => step.length > 1).map(([, amount]) => amount.toFixed(3));
  expect(shown.sort()).toEqual(told.map((step) => step.litres.toFixed(3)).sort());
  return loop;
}
