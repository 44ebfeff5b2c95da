// The quick check: a person at the car with one hand, on a phone, from an empty page.
import { expectAccessible } from "./support/axe.mjs";
import { expect, open, openVan, test } from "./support/fixture.mjs";
import { picture } from "./support/shots.mjs";
import { tapAndType } from "./support/walk.mjs";

const plain = (text) => text.replaceAll("\u00a0", " ");
const field = (page, name) => page.getByRole("textbox", { name });
const bar = (page) => page.locator(".bar");
const PHONE = { width: 390, height: 844 };
/** What a phone's keyboard takes of that: about two fifths (common practice, no source). */
const KEYBOARD = 336;
const QUESTIONS = [
  ["Capacity, filled to the mark", "8.4"],
  ["Low by", "0.6"],
  [/^Reading/, "42"],
  ["Lowest expected temperature", "-25"],
];

test.use({ viewport: PHONE, hasTouch: true });

test("all five questions are in sight at once, each other thing in one closed line that says what holds", async ({ page, site }) => {
  await open(page, site.url);
  const top = (await bar(page).boundingBox()).y;
  const asked = QUESTIONS.map(([name]) => field(page, name).first());
  for (const name of ["Concentrate", "Premix", "Distilled water"]) asked.push(page.getByRole("checkbox", { name }));
  asked.push(page.getByRole("combobox", { name: "Measured with" }));
  for (const one of asked) {
    const box = await one.boundingBox();
    expect(box.y + box.height, String(one)).toBeLessThanOrEqual(top);
  }
  const closed = (await page.locator(".question .rarer > summary").allInnerTexts()).map(plain);
  expect(closed).toEqual([
    "More: capacity ± 5 %, low by ± 0.025 L",
    "More: ± 2 points, ethylene glycol, technology not known",
    "More: 5 °C margin below it, old coolant to renew 0 %",
    "Water test: none",
  ]);
  for (const [name, holds] of [["Tank and cap", "sea level"], ["Additive", "none"], ["Packs and price", "no packs"], ["After the job", "not re-tested"]]) {
    await expect(page.locator(".fold > summary").filter({ hasText: name })).toContainText(holds);
  }
  await expectAccessible(page);
  await picture(page, "quick");
});

/** The field in hand, the verdict and the amounts are in the part of the page that the keyboard leaves. */
async function expectInSight(page, box, height, offset = 0) {
  const own = await box.boundingBox();
  const foot = await bar(page).boundingBox();
  expect(foot.y + foot.height).toBeLessThanOrEqual(offset + height + 1);
  expect(own.y).toBeGreaterThanOrEqual(offset);
  expect(own.y + own.height).toBeLessThanOrEqual(foot.y + 1);
}

test("with a keyboard that takes its part of the page, verdict and amounts stay in sight", async ({ page, site }) => {
  await open(page, site.url);
  await page.getByRole("checkbox", { name: "Concentrate" }).check();
  await page.setViewportSize({ ...PHONE, height: PHONE.height - KEYBOARD });
  for (const [name, text] of QUESTIONS) {
    const box = field(page, name).first();
    await tapAndType(page, box, text);
    await expectInSight(page, box, PHONE.height - KEYBOARD);
  }
  await expect(bar(page)).toContainText(/Protects to .* now, .* after/);
  await expect(bar(page)).toContainText(/Pour 0\.60.L concentrate/);
});

// iOS lays the keyboard over the page: only the visual viewport tells.
test("with a keyboard laid over the page, they stay above it", async ({ page, site }) => {
  await page.addInitScript(() => {
    const seen = Object.assign(new EventTarget(), { scale: 1, offsetTop: 0, height: innerHeight });
    Object.defineProperty(globalThis, "visualViewport", { value: seen });
  });
  await openVan(page, site.url);
  const laid = (height, offsetTop) =>
    page.evaluate(([height, offsetTop]) => {
      Object.assign(visualViewport, { height, offsetTop });
      visualViewport.dispatchEvent(new Event("resize"));
    }, [height, offsetTop]);
  await laid(PHONE.height - KEYBOARD, 0);
  await field(page, "Lowest expected temperature").first().focus();
  await field(page, "Lowest expected temperature").first().evaluate((box) => box.scrollIntoView({ block: "nearest", behavior: "instant" }));
  await expectInSight(page, field(page, "Lowest expected temperature").first(), PHONE.height - KEYBOARD);
  // Pushed down as Safari does, and away again.
  await laid(PHONE.height - KEYBOARD, 100);
  const pushed = await bar(page).boundingBox();
  expect(Math.round(pushed.y + pushed.height)).toBe(PHONE.height - KEYBOARD + 100);
  await laid(PHONE.height, 0);
  const back = await bar(page).boundingBox();
  expect(Math.round(back.y + back.height)).toBe(PHONE.height);
});

test("how low it is can be picked, in the field's own unit", async ({ page, site }) => {
  await open(page, site.url);
  const low = field(page, "Low by").first();
  await page.getByRole("button", { name: "½ L" }).tap();
  await expect(low).toHaveValue("0.5");
  await page.getByRole("combobox", { name: "Unit of Low by" }).first().selectOption("mL");
  await page.getByRole("button", { name: "100 mL" }).tap();
  await expect(low).toHaveValue("100");
  await page.getByText("US", { exact: true }).tap();
  await page.getByRole("button", { name: "½ qt" }).tap();
  await expect(low).toHaveValue("0.5");
});
