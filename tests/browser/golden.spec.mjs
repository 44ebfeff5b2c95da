// The golden jobs are answered the same everywhere: by the module to nine digits, on the page to the last digit shown.
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, openVan, test } from "./support/fixture.mjs";
import { answer, openFold } from "./support/job.mjs";
import { same } from "./support/settings.mjs";

const folder = join(import.meta.dirname, "../golden");
const golden = (await readdir(folder)).sort();

/** Native code and the module have other exponentials and logarithms; the loops of a solver may carry that on. */
const APART = 1e-9;

/** Every number of one answer against the other's, relative to its size or to one; everything else must be equal. */
function furthest(here, there, place = "") {
  if (typeof here === "number" && typeof there === "number") {
    return { place, apart: Math.abs(here - there) / Math.max(1, Math.abs(there)) };
  }
  if (here === null || there === null || typeof here !== "object" || typeof there !== "object") {
    expect(here, place).toBe(there);
    return { place, apart: 0 };
  }
  expect(Object.keys(here), place).toEqual(Object.keys(there));
  return Object.keys(here)
    .map((key) => furthest(here[key], there[key], `${place}.${key}`))
    .reduce((most, one) => (one.apart > most.apart ? one : most), { place, apart: 0 });
}

test("the module's numbers are the native ones", async () => {
  const script = await readFile(join(same, "pourcard_same.js"));
  const glue = await import(`data:text/javascript;base64,${script.toString("base64")}`);
  glue.initSync({ module: await readFile(join(same, "pourcard_same_bg.wasm")) });
  for (const name of golden) {
    const text = await readFile(join(folder, name), "utf8");
    const { place, apart } = furthest(JSON.parse(glue.answer(text)), await answer(text));
    expect(apart, `${name} at ${place}`).toBeLessThan(APART);
  }
});

/** Litres of what an amount is shown in (NIST Handbook 44, appendix C): "qt" is the US one, "fl oz" of the unit before it. */
const LITRES = { L: 1, mL: 0.001, "US gal": 3.785411784, qt: 0.946352946, "imp qt": 1.1365225, "imp pt": 0.56826125 };
const OUNCE = { US: 0.0295735295625, imp: 0.0284130625 };

/** "2.55 L" or "4 imp pt 4 fl oz" as litres, and half of its last digit. */
function litres(words) {
  const parts = [...words.replace(/\s/g, " ").matchAll(/([\d.]+) (m?L|(?:US|imp) (?:gal|qt|pt|fl oz)|qt|fl oz)/g)];
  const house = words.includes("imp") ? "imp" : "US";
  const unit = (name) => (name.endsWith("fl oz") ? OUNCE[house] : LITRES[name]);
  const digits = parts.at(-1)[1].split(".")[1]?.length ?? 0;
  return {
    value: parts.reduce((sum, [, number, name]) => sum + Number(number) * unit(name), 0),
    half: (0.5 + 1e-6) * 10 ** -digits * unit(parts.at(-1)[2]),
  };
}

test("the page shows the native answers", async ({ page, site }) => {
  await openVan(page, site.url);
  await openFold(page, "Jobs");
  for (const name of golden) {
    const text = await readFile(join(folder, name), "utf8");
    const { title } = JSON.parse(text);
    await page.locator("input.jobs-in").setInputFiles(join(folder, name));
    await expect(page.getByRole("textbox", { name: "Job" }), name).toHaveValue(title);
    const { loops } = await answer(text);
    for (const [i, loop] of loops.entries()) {
      if (loops.length > 1) await page.locator(".loops .tab").nth(i).click();
      const amounts = (loop.steps ?? []).filter((step) => step.litres > 0);
      // What is done stands first, as it was typed.
      const done = loop.so_far?.length ?? 0;
      // The cards of the other systems are there for print alone.
      const inSight = page.locator(".step .amount").filter({ visible: true });
      await expect(inSight, `${name}, ${loop.name}`).toHaveCount(done + amounts.length);
      const shown = (await inSight.allInnerTexts()).slice(done);
      for (const [j, step] of amounts.entries()) {
        const { value, half } = litres(shown[j]);
        expect(Math.abs(value - step.litres), `${name}: ${shown[j]} for ${step.litres}`).toBeLessThanOrEqual(half);
      }
    }
  }
});
