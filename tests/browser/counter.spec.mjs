// The counter: a truck with two loops quoted from a price list to the printed page, by the words on the page.
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import jsQR from "jsqr";
import { PNG } from "pngjs";
import { expectAccessible } from "./support/axe.mjs";
import { expect, keptOffline, open, openVan, test, watch } from "./support/fixture.mjs";
import { answer, exported, holdClipboard, openFold } from "./support/job.mjs";
import { serve } from "./support/server.mjs";
import { dist } from "./support/settings.mjs";
import { picture } from "./support/shots.mjs";

const prices = join(import.meta.dirname, "../../data/demo/prices.csv");
const plain = (text) => text.replaceAll("\u00a0", " ");
const field = (page, name) => page.getByRole("textbox", { name, exact: false });
const sheet = (page) => page.getByRole("region", { name: /Quote/ });
const told = (page) => page.locator(".tidings");

/** The printer is the test: what the page asks of it is remembered. */
async function holdPrinter(context) {
  await context.addInitScript(() => {
    globalThis.print = () => void (globalThis.printed = (globalThis.printed ?? 0) + 1);
  });
}

async function importPrices(page, file = prices) {
  await openFold(page, "Packs and price");
  await page.locator(".prices input[type=file]").setInputFiles(file);
}

/** A flushed engine loop of 14 L and a charge air loop of 4 L at 38 %, on an empty page. */
async function typeTruck(page) {
  await page.getByRole("button", { name: "New job" }).first().click();
  await field(page, "Job").first().fill("Bakery truck");
  await field(page, "Capacity, filled to the mark").fill("14");
  await page.getByRole("combobox", { name: "Measured with" }).selectOption({ label: "flushed, some water left in" });
  await field(page, "Left in after flushing").fill("1.5");
  await field(page, "Lowest expected temperature").fill("-25");
  await page.getByRole("button", { name: "Add a system" }).click();
  await field(page, "Capacity, filled to the mark").fill("4");
  await field(page, "Reading").fill("38");
  await field(page, "Lowest expected temperature").fill("-30");
  await page.getByRole("button", { name: "System 1" }).click();
}

async function quote(page) {
  await typeTruck(page);
  await importPrices(page);
  await expect(told(page)).toContainText("10 packs went into the price list");
  for (const article of ["Concentrate", "Premix", "Distilled water"]) {
    await page.getByRole("button", { name: `Add to what you have ${article}`, exact: true }).click();
  }
  await field(page, "Currency").fill("Fr.");
  await field(page, "Tax").fill("8,1");
  await page.locator(".fold .rarer > summary", { hasText: "More: 2 decimals" }).click();
  await field(page, "Round to").fill("0.05");
  await field(page, "Hours of labour").fill("0.75");
  await field(page, "at an hour of labour").fill("96");
  await page.getByRole("button", { name: "Add a charge" }).click();
  await field(page, "Charge").first().fill("Disposal");
  await field(page, "of this charge").fill("0.90");
  await page.getByRole("combobox", { name: "for", exact: true }).selectOption("each L of waste");
  await page.locator("#sheet-words").fill("Delivery truck, ready by Thursday noon");
  await field(page, "Date on the quote").fill("2026-11-25");
}

/** Pages of a PDF, by its page objects. */
const pages = (pdf) => pdf.toString("latin1").match(/\/Type\s*\/Page(?!s)/g).length;

for (const [name, width, height] of [["phone", 390, 844], ["desktop", 1280, 900]]) {
  test(`a truck quoted from the price list to the printed page, on a ${name}`, async ({ context, page, site }) => {
    await page.setViewportSize({ width, height });
    await holdPrinter(context);
    await openVan(page, site.url);
    await quote(page);
    await expect(sheet(page)).toHaveAttribute("data-standing", "fresh");

    // The same as the command answers.
    const said = await answer(await exported(page));
    const { take, bill } = said.sheet;
    expect(plain(await sheet(page).locator(".total td").innerText())).toBe(`Fr. ${bill.total}`);
    const packs = (entry) => entry.packs.map((pack) => `${pack.count} × ${pack.size.value} L`).join(" + ");
    const shown = await sheet(page).locator(".take").allInnerTexts();
    expect(shown.length).toBe(take.length);
    for (const [i, entry] of take.entries()) {
      expect(plain(shown[i])).toContain(entry.name);
      expect(plain(shown[i])).toContain(packs(entry) || "on hand");
      expect(plain(shown[i])).toContain(`${entry.left_litres.toFixed(2)} L left over`);
    }
    const amounts = await sheet(page).locator(".bill tr:has(.count) td:last-child").allInnerTexts();
    expect(amounts).toEqual(bill.lines.map((line) => line.amount));
    await expect(page.locator("summary", { hasText: "Packs and price" })).toContainText(bill.total);
    for (const words of ["System 1", "System 2", "Delivery truck", "2026-11-25", "to dispose of", "never open a hot"]) {
      await expect(sheet(page)).toContainText(new RegExp(words, "i"));
    }
    await expectAccessible(page);
    await picture(page, `counter-${name}`);

    // One page, the sheet and nothing else.
    await page.getByRole("button", { name: "Print the quote" }).click();
    expect(await page.evaluate(() => globalThis.printed)).toBe(1);
    await page.emulateMedia({ media: "print", colorScheme: "light" });
    await expect(page.locator("#card")).toBeHidden();
    await expect(page.getByRole("button", { name: "Print the quote" })).toBeHidden();
    await expect(sheet(page).locator(".total")).toBeVisible();
    await page.setViewportSize({ width: 703, height: 1000 });
    await picture(page, `counter-print-${name}`);
    await page.emulateMedia({ media: null });
    for (const format of ["A4", "Letter"]) {
      // The mark of what is printed goes once it has been.
      await page.getByRole("button", { name: "Print the quote" }).click();
      await expect(page.locator("html")).toHaveAttribute("data-print", "sheet");
      expect(pages(await page.pdf({ format })), format).toBe(1);
      await expect(page.locator("html")).not.toHaveAttribute("data-print");
    }
    // The card can still be printed.
    await page.getByRole("button", { name: "Print", exact: true }).click();
    await page.emulateMedia({ media: "print" });
    await expect(page.locator("#card")).toBeVisible();
    await expect(sheet(page)).toBeHidden();
  });
}

test("the code on the sheet opens the same sheet in another profile, server stopped", async ({ browser, context, page }) => {
  const server = await serve(dist);
  const other = await browser.newContext();
  const faults = watch(other);
  try {
    await faults.ready;
    const first = await other.newPage();
    await openVan(first, server.url);
    await keptOffline(first);
    await first.close();
    await holdPrinter(context);
    await open(page, server.url);
    // One system and one pack fit the code; what is longer is left to the link.
    for (const [id, text] of [["volume", "8.4"], ["missing", "0.6"], ["percent", "42"], ["coldest", "-25"]]) await page.locator(`#${id}`).fill(text);
    await page.getByRole("checkbox", { name: "Concentrate", exact: true }).check();
    await openFold(page, "Packs and price");
    await page.getByRole("button", { name: "Add a pack Concentrate" }).click();
    await page.locator("#pack-size-0-0").fill("1");
    await page.locator("#pack-price-0-0").fill("7.90");
    const code = sheet(page).getByRole("img", { name: /Square code/ });
    await expect(code).toBeVisible();
    const read = async () => {
      const picture = PNG.sync.read(await code.screenshot());
      return jsQR(new Uint8ClampedArray(picture.data), picture.width, picture.height)?.data ?? "";
    };
    await page.setViewportSize({ width: 390, height: 3000 });
    // 4 px a module, read off a screen at arm's length, and nothing of it cut off.
    const side = await code.evaluate((svg) => svg.viewBox.baseVal.width);
    expect((await code.boundingBox()).width).toBeGreaterThanOrEqual(4 * side - 0.5);
    expect(side - 8).toBeLessThanOrEqual(81);
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth)).toBe(true);
    await expect.poll(read).toMatch(/#job=1\./);
    const link = await read();
    const words = (from) => sheet(from).locator(".card-body").innerText();
    const here = await words(page);
    await server.stop();
    const second = await other.newPage();
    await second.setViewportSize({ width: 390, height: 3000 });
    await open(second, link);
    await expect(sheet(second)).toBeVisible();
    await expect.poll(() => words(second)).toBe(here);
    faults.settle();
  } finally {
    await other.close();
    await server.stop();
  }
});

test("refused rows are named by their line, the rest is taken, kept and written out again", async ({ page, site }) => {
  await openVan(page, site.url);
  await importPrices(page);
  await expect(page.locator(".articles li")).toHaveCount(5);
  const rows = "name;kind;percent;glycol;size;unit;price;place\nPremix;coolant;50;ethylene;5;L;21,50;A1\nPremix;juice;;;5;L;2;A1\n";
  await importPrices(page, { name: "more.csv", mimeType: "text/csv", buffer: Buffer.from(rows) });
  const report = page.locator(".report");
  await expect(report).toContainText("Line 3");
  await expect(report).toContainText("juice");
  await expect(report).toContainText("place");
  await expect(page.locator(".articles")).toContainText("21,50");
  await expectAccessible(page);
  await picture(page, "counter-prices");
  await page.reload();
  await page.locator("html[data-page=stands]").waitFor();
  await openFold(page, "Packs and price");
  await expect(page.locator(".articles")).toContainText("21,50");
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Export the price list" }).click(),
  ]);
  expect(download.suggestedFilename()).toMatch(/\.csv$/);
  const written = await readFile(await download.path(), "utf8");
  expect(written.trim().split("\r\n")).toHaveLength(11);
  await page.getByRole("button", { name: "Empty it" }).click();
  await expect(page.locator(".articles li")).toHaveCount(0);
  await told(page).getByRole("button", { name: "Undo" }).click();
  await expect(page.locator(".articles li")).toHaveCount(5);
});

test("the sheet goes out as text, by clipboard and by the system's share sheet", async ({ context, page, site }) => {
  const copied = await holdClipboard(context);
  await context.addInitScript(() => {
    navigator.share = async (data) => void (globalThis.shared = data);
  });
  await openVan(page, site.url);
  await importPrices(page);
  await page.getByRole("button", { name: "Add to what you have Concentrate", exact: true }).click();
  await sheet(page).getByRole("button", { name: "Copy as text" }).click();
  await expect(told(page)).toContainText("quote was copied");
  const text = plain(await copied(page));
  for (const words of ["Quote: Bakery van", "2 × 1 L", "15.80", "Never open a hot"]) expect(text).toContain(words);
  await page.getByRole("button", { name: "Send" }).click();
  await expect.poll(() => page.evaluate(() => globalThis.shared?.text)).toBe(await copied(page));
});

test("markup in any name is only text, and a formula in a price list stays a name", async ({ page, site }) => {
  await openVan(page, site.url);
  const evil = '<img src=x onerror="document.title=1"><b>x</b>';
  const quoted = evil.replaceAll('"', '""');
  const rows = `name,kind,percent,glycol,size,unit,price\n"${quoted}",coolant,100,ethylene,1,L,5\n=1+1,water,,,1,L,1\n`;
  await importPrices(page, { name: "evil.csv", mimeType: "text/csv", buffer: Buffer.from(rows) });
  await page.locator(".articles").getByRole("button").first().click();
  await page.getByRole("checkbox", { name: "Concentrate", exact: true }).uncheck();
  await page.locator("#sheet-words").fill(evil);
  await field(page, "Currency").fill("<i>");
  await expect(sheet(page)).toContainText(evil);
  await expect(sheet(page)).toContainText("<i>");
  expect(await page.locator("#page :is(img, b:not(.headline b, .caution b), i)").count()).toBe(0);
  expect(await page.title()).not.toBe("1");
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Export the price list" }).click(),
  ]);
  expect(await readFile(await download.path(), "utf8")).not.toMatch(/(^|[\r\n,])=/);
});

test("a half-typed price dims the sheet and leaves the card alone", async ({ page, site }) => {
  await openVan(page, site.url);
  await openFold(page, "Packs and price");
  await page.getByRole("button", { name: "Add a pack Concentrate" }).click();
  await field(page, "Pack of").first().fill("1");
  await expect(sheet(page)).toContainText("The quote appears here once");
  await field(page, "costs").first().fill("9.90");
  await expect(sheet(page).locator(".total")).toContainText("19.80");
  await field(page, "costs").first().fill("9.90x");
  await expect(sheet(page)).toHaveAttribute("data-standing", "out-of-date");
  await expect(field(page, "costs").first()).toHaveAttribute("aria-invalid", "true");
  await expect(page.locator("#card")).toHaveAttribute("data-standing", "fresh");
  await expectAccessible(page);
  await picture(page, "counter-broken");
  await page.getByText("fewest packs", { exact: true }).click();
  await field(page, "costs").first().fill("9.90");
  await expect(sheet(page)).toHaveAttribute("data-standing", "fresh");
});
