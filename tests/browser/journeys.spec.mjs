// Five jobs from an empty page, as someone types who has never seen it: touches and keys are counted.
import { readFile } from "node:fs/promises";
import { expectAccessible } from "./support/axe.mjs";
import { expect, open, openVan, test } from "./support/fixture.mjs";
import { tapAndType } from "./support/walk.mjs";

const plain = (text) => text.replaceAll("\u00a0", " ");
const field = (page, name) => page.getByRole("textbox", { name }).first();
const words = async (locator) => plain(await locator.innerText());

/** Hands that count what they do. */
function hands(page) {
  const done = { taps: 0, keys: 0 };
  return {
    done,
    async tap(target) {
      await target.tap();
      done.taps += 1;
    },
    /** Taps a field, and types. */
    async type(name, text) {
      await tapAndType(page, typeof name === "string" || name instanceof RegExp ? field(page, name) : name, text);
      done.taps += 1;
      done.keys += text.length;
    },
    /** Types where the focus is already. */
    async go(target, text) {
      await expect(target).toBeFocused();
      await page.keyboard.type(text);
      done.keys += text.length;
    },
    /** Chooses from the system's own list: it opens, and one of it is touched. */
    async choose(target, label) {
      await target.selectOption({ label });
      done.taps += 2;
    },
  };
}

test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });

test("a driver topping up in the cold has the right verdict in 8 taps and 12 keys", async ({ page, site }) => {
  await open(page, site.url);
  const hand = hands(page);
  await hand.type("Capacity, filled to the mark", "8");
  await hand.tap(page.getByRole("button", { name: "½ L" }));
  await hand.choose(page.getByRole("combobox", { name: "Measured with" }), "refractometer (freeze point)");
  await hand.type(/^Reading/, "-18");
  await hand.type("Lowest expected temperature", "25");
  await hand.tap(page.getByRole("button", { name: "−25?" })); // what was meant
  await hand.tap(page.getByRole("checkbox", { name: "Concentrate" }));
  expect(hand.done.taps).toBeLessThanOrEqual(8);
  expect(hand.done.keys).toBeLessThanOrEqual(12);
  // As it was read; and after the job 5 K below −25 °C, which is the usual margin.
  await expect.poll(() => words(page.locator("#card .verdict"))).toMatch(/Now\s+protects to −18 °C/);
  const after = (await words(page.locator("#card .verdict"))).match(/After this job\s+protects to −(\d+) °C/)[1];
  expect(Number(after)).toBeGreaterThanOrEqual(30);
  await expect(page.locator(".bar-verdict")).toContainText(/Protects to −18.°C now, −\d+.°C after$/);
  await expect(page.locator(".bar")).toBeInViewport();
  await expectAccessible(page);
});

test("two systems get their doses of one additive without a wrong turn", async ({ page, site }) => {
  await open(page, site.url);
  const hand = hands(page);
  await hand.type("Capacity, filled to the mark", "5");
  await hand.tap(page.locator(".fold > summary", { hasText: "Additive" }));
  await hand.tap(page.getByText("additive only", { exact: true }));
  await hand.type("Name of the additive", "wetting agent");
  await hand.type("Label dose", "30");
  await hand.type("Label maximum", "40");
  await hand.tap(page.getByText("new coolant only", { exact: true }));
  await hand.tap(page.getByRole("button", { name: "Add a system" }));
  await hand.go(field(page, "Capacity, filled to the mark"), "3");
  await hand.tap(page.getByRole("button", { name: "Same additive and cap as System 1" }));
  await hand.tap(page.getByText("new coolant only", { exact: true }));
  // 30 mL to the litre: 90 mL into 3 L, 150 mL into 5 L.
  await expect.poll(() => words(page.locator(".bar-line"))).toMatch(/add 90 mL/i);
  await hand.tap(page.getByRole("button", { name: "System 1", exact: true }));
  await expect.poll(() => words(page.locator(".bar-line"))).toMatch(/add 150 mL/i);
  await expect(page.locator("#card")).not.toContainText("Still needed");
  await expectAccessible(page);
});

test("a quote of $38.95 in 12 clicks", async ({ page, site }) => {
  await page.setViewportSize({ width: 1280, height: 900 });
  await open(page, site.url);
  const hand = hands(page);
  await hand.tap(page.getByText("US", { exact: true }));
  await hand.type("Capacity, filled to the mark", "10");
  await hand.tap(page.getByRole("button", { name: "1 qt" }));
  await hand.type(/^Reading/, "45");
  await hand.type("Lowest expected temperature", "-10");
  await hand.tap(page.getByRole("checkbox", { name: "Concentrate" }));
  await hand.tap(page.locator(".fold > summary", { hasText: "Packs and price" }));
  await hand.tap(page.getByRole("button", { name: "Add a pack Concentrate" }));
  await hand.go(page.locator("#pack-size-0-0"), "1");
  await hand.type(page.locator("#pack-price-0-0"), "38.95");
  // One gallon at 38.95, where one quart is low: one pack.
  await page.getByRole("combobox", { name: "Unit of Pack of" }).selectOption("US_gal");
  hand.done.taps += 2;
  await hand.type("Currency", "$");
  expect(hand.done.taps).toBeLessThanOrEqual(12);
  await expect.poll(() => words(page.locator("#sheet .total td"))).toBe("$38.95");
  await expect(page.locator("#sheet")).toContainText("1 × 1 US gal".replaceAll(" ", "\u00a0").replace("US\u00a0gal", "US gal"));
  await expectAccessible(page);
});

test("a mechanic's re-plan after a step that went otherwise in 4 taps", async ({ page, site }) => {
  await openVan(page, site.url);
  const before = await words(page.locator(".bar-line"));
  const hand = hands(page);
  const drain = page.locator(".step").first();
  await hand.tap(drain.locator("label.tick"));
  await hand.type(drain.getByRole("textbox", { name: "Actual amount" }), "1.4");
  await expect.poll(() => words(page.locator(".bar-line"))).toMatch(/^Now add/);
  expect(await words(page.locator(".bar-line"))).not.toBe(before);
  await expect(page.locator("#card .verdict")).toContainText("After this job");
  expect(hand.done.taps).toBeLessThanOrEqual(4);
  await expectAccessible(page);
});

test("a fleet of 30 rows, written as people write them, is planned at the first try", async ({ page, site }) => {
  await page.setViewportSize({ width: 1280, height: 900 });
  await open(page, site.url);
  const now = ["38 %", "-18", "42%", "water", "-27 °C", "unknown"];
  const rows = Array.from({ length: 30 }, (_, i) => {
    const cells = [`Van ${i + 1}`, `B ${100 + i}`, `${80 + i} 000`, i % 2 ? "Ethylene" : " ethylene ", i % 3 ? `${8 + (i % 5)},5` : `${8 + (i % 5)} L`, i % 4 ? "0,5" : "", now[i % now.length], i % 5 ? "-25" : "\u221220 °C"];
    return cells.join(";");
  });
  const table = ["Vehicle;Plate;Mileage;Glycol;Volume;Missing;Now;Coldest", ...rows].join("\r\n");
  await page.getByRole("checkbox", { name: "Concentrate" }).check();
  await page.getByRole("checkbox", { name: "Distilled water" }).check();
  await page.locator(".fold > summary", { hasText: "Jobs" }).click();
  await page.getByRole("button", { name: "Plan a fleet from a table" }).click();
  const [template] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Download a template (CSV)" }).click()]);
  expect(await readFile(await template.path(), "utf8")).toContain("vehicle,plate,mileage,glycol,volume [L]");
  await page.locator(".fleet input[type=file]").setInputFiles({ name: "vans.csv", mimeType: "text/csv", buffer: Buffer.from(table) });
  await expect(page.locator(".fleet").getByRole("status")).toContainText(/vans.csv: \d+ to do/);
  await expect(page.locator(".fleet").getByRole("status")).not.toContainText(/[1-9]\d* need/);
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Export the plans (CSV)" }).click()]);
  const written = await readFile(await download.path(), "utf8");
  for (const words of ["B 100", "109 000"]) expect(written).toContain(words);
  await expectAccessible(page);
});
