// How sure: the worst end of the range on the card, and the fields that say how sure what is missing and a label are.
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { expectAccessible } from "./support/axe.mjs";
import { expect, open, openMore, openVan, test } from "./support/fixture.mjs";
import { exported, linkOf } from "./support/job.mjs";

const plain = (text) => text.replaceAll("\u00a0", " ");
const strip = await readFile(join(import.meta.dirname, "../cases/STRIP.json"), "utf8");

// 44 ± 10 % on a night of −22 °C: the weak end, 34 %, freezes at −19 °C (the handbook: −18.6 at 33.5 vol%, −19.4 at 34.5).
test("a strip is not sure enough: the card shows the worst end and asks for a re-test", async ({ page, site }) => {
  await open(page, `${site.url}${linkOf(strip)}`);
  const card = page.locator("#card");
  const words = async () => plain(await card.innerText());
  await expect.poll(words).toMatch(/worst end −19 °C/);
  expect(await words()).toMatch(/re-test before relying on it/);
  expect(await words()).toMatch(/At the worst end of its range it freezes at −19 °C/);
  expect(await words()).not.toMatch(/Already on target/);
  await expectAccessible(page);
  await openMore(page);
  await page.getByRole("textbox", { name: "± on the percentage" }).fill("2");
  await expect.poll(words).toMatch(/Already on target/);
  expect(await words()).not.toMatch(/re-test/);
});

test("how sure what is missing is, is typed beside it and kept in the job file", async ({ page, site }) => {
  await openVan(page, site.url);
  await openMore(page);
  const spread = page.getByRole("textbox", { name: "± on how far below the mark" });
  // A fifth of 0.6 L, by eye.
  await expect(spread).toHaveAttribute("placeholder", "0.12");
  await spread.fill("0,4");
  await expect.poll(async () => JSON.parse(await exported(page)).loops[0].missing.plus_minus).toBe(0.4);
});
