// Where the focus is, how large what is touched is, and what stays in sight.
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, open, openExample, openVan, test } from "./support/fixture.mjs";
import { linkOf, openFold } from "./support/job.mjs";
import { unfoldAll } from "./support/walk.mjs";

const focused = (page) => page.evaluate(() => (document.activeElement === document.body ? "" : document.activeElement.id || document.activeElement.localName));
const button = (page, name) => page.getByRole("button", { name, exact: false });

test("the focus never falls to the body, and goes to what was brought", async ({ page, site }) => {
  await open(page, site.url);
  const press = async (target, where) => {
    await target.focus();
    await page.keyboard.press("Enter");
    if (where) await expect.poll(() => focused(page)).toBe(where);
    else await expect.poll(() => focused(page)).not.toBe("");
  };
  await press(button(page, "Show an example").first(), "name");
  await press(button(page, "New job").first(), "volume");
  const first = page.getByRole("checkbox", { name: "Concentrate" });
  await first.focus();
  await page.keyboard.press("Space");
  await expect(first).toBeFocused();
  await press(button(page, "Add a product"), "stock-percent-3");
  await openFold(page, "Packs and price");
  await press(button(page, "Add a pack Concentrate"), "pack-size-0-0");
  await press(button(page, "Add a charge"), "charge-name-0");
  await press(button(page, "Remove Concentrate"));
  await press(button(page, "Remove Product 4"));
  await press(button(page, "Add a system"), "volume");
  await page.locator("summary", { hasText: "Name and type" }).click();
  await press(button(page, "Remove this system"), "volume");
  await openFold(page, "Jobs");
  await press(button(page, "Delete this job"), "volume");
  await press(page.locator(".tidings").getByRole("button", { name: "Close" }));
  await press(button(page, "Show an example").first(), "name");
  await page.getByRole("checkbox", { name: "Done: Drain" }).press("Space");
  await press(button(page, "Clear entries"), "card");
  await press(button(page, "Undo").first());
  while (await button(page, "Undo").first().isVisible()) await press(button(page, "Undo").first());
});

/** What is smaller than a thumb in a glove: 44 px, both ways (WCAG 2.5.5). */
function small() {
  const found = [];
  const targets = "a[href], button, summary, select, input, .chip, .tick, .stock-tick, .file";
  for (const target of document.querySelectorAll(targets)) {
    // What lies under its label, or is read out of the curve, which a table says as well.
    if (target.matches(".chip input, .tick input, .stock-tick input, .file input") || !target.checkVisibility({ visibilityProperty: true })) continue;
    const { width, height } = target.getBoundingClientRect();
    if (width < 44 || height < 44) found.push(`${target.localName} ${target.id || target.textContent || target.className}: ${Math.round(width)} × ${Math.round(height)}`);
  }
  return [...new Set(found)];
}

for (const width of [320, 390, 1280]) {
  test(`every touch target is 44 px both ways, ${width} px`, async ({ page, site }) => {
    await page.setViewportSize({ width, height: 6000 });
    await open(page, site.url);
    await unfoldAll(page);
    expect.soft(await page.evaluate(small), "empty").toEqual([]);
    await page.locator(".head").getByRole("button", { name: "Show an example" }).click();
    await page.locator(".step label.tick").first().click();
    await unfoldAll(page);
    for (const name of ["Add a pack Concentrate", "Add a charge", "Add a level check", "Link and code", "Plan a fleet from a table"]) await button(page, name).click();
    expect.soft(await page.evaluate(small), "example").toEqual([]);
    await page.getByText("imperial", { exact: true }).click();
    expect.soft(await page.evaluate(small), "imperial").toEqual([]);
  });
}

test("on a wide screen verdict and amounts stay in sight beside the questions, without a bar", async ({ page, site }) => {
  await page.setViewportSize({ width: 1280, height: 900 });
  await openExample(page, site.url);
  for (const fold of await page.locator(".folds > details > summary").all()) await fold.click();
  for (const place of [0, 700, 1e6]) {
    await page.evaluate((top) => scrollTo({ top, behavior: "instant" }), place);
    if (place === 1e6) await page.locator(".folds").evaluate((folds) => folds.scrollIntoView({ block: "end", behavior: "instant" }));
    await expect(page.locator("#card .verdict")).toBeInViewport();
    await expect(page.locator("#card .headline")).toBeInViewport({ ratio: 1 });
  }
  await expect(page.locator(".bar")).toBeHidden();
  await page.setViewportSize({ width: 390, height: 844 });
  await expect(page.locator(".bar")).toBeInViewport();
});

test("a shared link opens on the card", async ({ page, site }) => {
  const van = await readFile(join(import.meta.dirname, "../../data/demo/bakery_van.json"), "utf8");
  await page.setViewportSize({ width: 390, height: 844 });
  await open(page, `${site.url}${linkOf(van)}`);
  await expect(page.locator("#card .headline")).toBeInViewport({ ratio: 1 });
  await expect(page.locator("#card .verdict")).toBeInViewport({ ratio: 1 });
  await expect(page.locator("#card")).toBeFocused();
});

test("two systems print two cards", async ({ page, site }) => {
  await openVan(page, site.url);
  await button(page, "Add a system").click();
  for (const [id, text] of [["volume", "2.5"], ["percent", "42"], ["coldest", "-25"]]) await page.locator(`#${id}`).fill(text);
  const cards = page.locator(".card:not(.sheet)");
  await expect(cards.filter({ visible: true })).toHaveCount(1);
  await page.emulateMedia({ media: "print" });
  await expect(cards.filter({ visible: true })).toHaveCount(2);
  for (const name of ["System 2", "Engine loop"]) {
    const card = cards.filter({ has: page.locator(".card-loop", { hasText: name }) });
    await expect(card.locator(".headline")).toBeVisible();
    await expect(card.locator(".step").first()).toBeVisible();
  }
});
