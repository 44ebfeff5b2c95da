// A supplement by test kit, from the product that brings some of it to what the card says of the level.
import { expectAccessible } from "./support/axe.mjs";
import { expect, openVan, test } from "./support/fixture.mjs";
import { exported, openFold } from "./support/job.mjs";

const plain = (text) => text.replaceAll("\u00a0", " ");

test("a product's supplement is typed, counted, and written", async ({ page, site }) => {
  await openVan(page, site.url);
  await openFold(page, "Additive");
  await page.getByText("by test strip or kit", { exact: true }).first().click();
  await page.getByText("nitrite as NaNO₂", { exact: true }).first().click();
  await page.getByLabel("Unit of Level now").selectOption("mg/L");
  await page.getByRole("textbox", { name: "Level now" }).fill("600");
  await page.getByRole("textbox", { name: "Target level by the test" }).fill("1200");
  await page.getByRole("textbox", { name: /raises it by/ }).fill("50");
  await page.getByRole("textbox", { name: /^pH of the coolant/ }).fill("6.5");
  await page.getByRole("textbox", { name: "pH no lower than" }).fill("7.5");

  const stock = page.locator(".stock", { hasText: "Concentrate" }).first();
  await stock.locator("summary").click();
  await stock.getByLabel("Supplement in it").selectOption("nano2");
  await stock.getByLabel("Unit of Supplement level").selectOption("mg/L");
  await stock.getByRole("textbox", { name: /Supplement level/ }).fill("2400");

  const card = page.locator("#card");
  await expect.poll(async () => plain(await card.innerText())).toMatch(/supplement test should read [\d,.]+ mg\/L/);
  await expect(card.getByText(/contains the supplement already/)).toBeVisible();
  await expect(card.getByText(/pH is 6.5, the limit 7.5/)).toBeVisible();
  await expectAccessible(page);

  const job = JSON.parse(await exported(page));
  const concentrate = job.shelf.find((s) => s.name === "Concentrate");
  expect(concentrate.supplement).toEqual({ by: "level", value: 2400, unit: "mg/L", of: "NaNO2" });
  expect(job.loops[0].additive.rate.of).toBe("NaNO2");
  expect(job.loops[0].coolant_test).toEqual({ ph: 6.5, ph_low: 7.5 });
});
