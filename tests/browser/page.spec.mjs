// The page as people use it: by keyboard, by the labels they see, and by what a screen reader is told.
import { expectAccessible } from "./support/axe.mjs";
import { expect, open, openExample, openVan, test } from "./support/fixture.mjs";
import { answer, exported, openFold } from "./support/job.mjs";
import { picture } from "./support/shots.mjs";

const plain = (text) => text.replaceAll("\u00a0", " ");
const field = (page, name, scope = page) => scope.getByRole("textbox", { name, exact: false });
const bar = (page) => page.locator(".bar-line");
const VAN = "Drain 1.00 L, add 250 mL, pour 1.35 L concentrate";

async function expectBar(page, words) {
  await expect.poll(async () => plain(await bar(page).innerText())).toMatch(words);
}

/** Opens every fold; each is drawn once it is open, and with it those in it, which are closed. */
const openAll = (page) =>
  expect(async () => {
    await page.evaluate(() => document.querySelectorAll("details").forEach((d) => (d.open = true)));
    expect(await page.locator(".fold-inside:empty").count()).toBe(0);
  }).toPass();

/** Tab until `target` has the focus; fails where it can't be reached. */
async function tabTo(page, target) {
  for (let i = 0; i < 120; i += 1) {
    if (await target.evaluate((element) => element === document.activeElement)) return;
    await page.keyboard.press("Tab");
  }
  throw new Error("not reached by the keyboard");
}

/** Chooses the radio button called `name` with the arrow keys. */
async function arrowTo(page, group, name) {
  const wanted = group.getByRole("radio", { name, exact: true });
  const first = group.getByRole("radio", { checked: true });
  await tabTo(page, (await first.count()) ? first : group.getByRole("radio").first());
  for (let i = 0; i < 12 && !(await wanted.isChecked()); i += 1) await page.keyboard.press("ArrowRight");
  await expect(wanted).toBeChecked();
}

async function typeInto(page, target, text) {
  await tabTo(page, target);
  await page.keyboard.type(text);
}

test("it opens empty, says what it is for, and shows what it will give", async ({ page, site }) => {
  await page.setViewportSize({ width: 1280, height: 900 });
  await open(page, site.url);
  for (const box of await page.locator(".question input[type=text]").all()) await expect(box).toHaveValue("");
  await expect(page.getByText("What to drain, add and pour, and how cold it then protects.")).toBeInViewport();
  for (const words of ["protects to …", "Drain …, add …, pour …", "Whole packs to buy"]) {
    await expect(page.locator("#card").getByText(words).first()).toBeInViewport();
  }
  await expectBar(page, /^Still needed/);
  await expectAccessible(page);
  await picture(page, "opened");
});

test("the example is a job of its own, marked until it is left, and nothing of it reaches real work", async ({ page, site }) => {
  await open(page, site.url);
  const volume = field(page, "Capacity, filled to the mark");
  await volume.fill("7.5");
  await page.getByRole("button", { name: "US", exact: false }).or(page.getByText("US", { exact: true })).first().click();
  await openFold(page, "Jobs");
  await page.getByRole("button", { name: "Show an example" }).click();
  const marked = page.getByText("Example: a small bakery");
  await expect(marked).toBeVisible();
  await field(page, "Job").first().fill("Changed");
  await page.getByRole("checkbox", { name: "Distilled water" }).check();
  await expect(marked).toBeVisible();
  await page.reload();
  await page.locator("html[data-page=stands]").waitFor();
  await openFold(page, "Jobs");
  await expect(page.locator(".job-title")).toHaveText(["Untitled job"]);
  await page.getByRole("button", { name: "Open Untitled job" }).click();
  await page.getByRole("button", { name: "Show an example" }).click();
  await page.getByRole("button", { name: "Back to Untitled job" }).click();
  await expect(marked).toBeHidden();
  // As it was typed: 7.5 L, on a page in US units; 1 US qt is 0.946 352 946 L by definition.
  await expect(volume).toHaveValue("7.925");
  await page.getByRole("button", { name: "Show an example" }).click();
  await page.getByRole("button", { name: "New job" }).first().click();
  await expect(volume).toHaveValue("");
  await expect(page.getByRole("checkbox", { checked: true })).toHaveCount(0);
  await expect(page.getByRole("combobox", { name: "Unit of Capacity" })).toHaveValue("US_qt");
  await expectBar(page, /^Still needed/);
});

test("the example with its answer", async ({ page, site }) => {
  await openExample(page, site.url);
  await expectBar(page, VAN);
  await expect(page.getByRole("heading", { name: /Pour card/ })).toBeVisible();
  await expect(page.getByText("Example: a small bakery")).toBeVisible();
  for (const words of [/never open a hot/i, /poison/i, /local rules/i, /label/i]) {
    await expect(page.locator("#card").getByText(words).first()).toBeVisible();
  }
  await expectAccessible(page);
  await picture(page, "example");
});

test("the van's job by keyboard from an empty page, and the answer is the command's", async ({ page, site }) => {
  await openVan(page, site.url);
  await tabTo(page, page.getByRole("button", { name: "New job" }).first());
  await page.keyboard.press("Enter");
  await expectBar(page, /^Still needed/);

  await typeInto(page, page.getByRole("textbox", { name: "Job" }), "Van");
  await typeInto(page, field(page, "Capacity, filled to the mark"), "8.4");
  await typeInto(page, field(page, "Low by"), "0,6");
  const more = async (question) => {
    await tabTo(page, page.getByRole("region", { name: question }).locator("summary").first());
    await page.keyboard.press("Enter");
  };
  await more("How much does it hold?");
  await typeInto(page, field(page, "± on the capacity"), "0.3");
  await typeInto(page, field(page, "Reading"), "42");
  await more("What is in it now?");
  await typeInto(page, field(page, "± on the percentage"), "1");
  await typeInto(page, field(page, "Lowest expected temperature"), "-25");
  await more("Target");
  await arrowTo(page, page.getByRole("group", { name: "Target by" }), "concentration");
  await page.keyboard.down("Shift");
  for (let i = 0; i < 8 && !(await field(page, "Target concentration").evaluate((box) => box === document.activeElement)); i += 1) await page.keyboard.press("Tab");
  await page.keyboard.up("Shift");
  await page.keyboard.type("50");
  for (const stock of ["Concentrate", "Premix", "Distilled water"]) {
    await tabTo(page, page.getByRole("checkbox", { name: stock }));
    await page.keyboard.press("Space");
  }
  await tabTo(page, page.locator("summary", { hasText: "Tank and cap" }));
  await page.keyboard.press("Enter");
  await arrowTo(page, page.getByRole("group", { name: "How much comes out" }), "a volume");
  await typeInto(page, field(page, "Most you can drain at once"), "4.5");
  await arrowTo(page, page.getByRole("group", { name: "The tank" }), "pressure tank");
  await typeInto(page, field(page, "Space above the mark"), "1.2");
  await typeInto(page, page.getByRole("textbox", { name: "Cap rating", exact: true }), "1.1");
  await typeInto(page, field(page, "Altitude"), "350");
  await typeInto(page, field(page, "Highest coolant temperature"), "105");
  await tabTo(page, page.locator("summary", { hasText: "Additive" }));
  await page.keyboard.press("Enter");
  await arrowTo(page, page.getByRole("group", { name: "Additive" }), "add an additive");
  await typeInto(page, field(page, "Label dose as a ratio"), "30");
  await typeInto(page, field(page, "Label maximum as a ratio"), "40");
  await arrowTo(page, page.getByRole("group", { name: "Already in there" }), "new coolant only");

  await expectBar(page, VAN);
  const told = await answer(await exported(page));
  const [loop] = told.loops;
  const litres = (what) => loop.steps.find((step) => step.do === what).litres;
  const steps = page.locator(".step .amount");
  expect((await steps.allInnerTexts()).map(plain)).toEqual([
    `${litres("draw").toFixed(2)} L`,
    `${Math.round(litres("dose") * 1000)} mL`,
    `${litres("pour").toFixed(2)} L`,
  ]);
  await page.getByText("Before and after, in full").click();
  const row = (name) => page.getByRole("row", { name }).getByRole("cell").last();
  await expect(row(/^Concentration/)).toHaveText(`${loop.after.percent.toFixed(1)}\u00a0% ± ${loop.after.plus_minus.toFixed(1)}`);
  await expect(row(/^Volume, cold/)).toHaveText(`${loop.after.litres.toFixed(2)} ± ${loop.after.litres_plus_minus.toFixed(2)}\u00a0L`);
  const degrees = (celsius) => `${Math.round(celsius)}\u00a0°C`.replace("-", "\u2212");
  await expect(row(/^Freezes at ±/)).toHaveText(degrees(loop.after.freezing_point_c));
  await expect(row(/^Boils, cap as rated/)).toHaveText(degrees(loop.after.boiling_point_c));
  await expect(row(/^Boils, weak cap/)).toHaveText(degrees(loop.after.boiling_point_weakest_c));
  const weights = await page.locator(".cautions li b").allInnerTexts();
  expect(weights.map((word) => word.toLowerCase())).toEqual(loop.cautions.map((caution) => caution.weight));
  await expectAccessible(page);
  await picture(page, "van-typed");
});

test("an empty page says what is needed, and nothing is wrong yet", async ({ page, site }) => {
  await openVan(page, site.url);
  await page.getByText("New job").first().click();
  await expect(page.locator(".needs")).toContainText("the capacity");
  await expect(page.locator(".error")).toHaveCount(0);
  for (const stock of await page.getByRole("checkbox").all()) await expect(stock).not.toBeChecked();
  await expectAccessible(page);
  await picture(page, "empty");
});

test("a broken field says so beside it, and the old answer is out of date", async ({ page, site }) => {
  await openVan(page, site.url);
  const volume = field(page, "Capacity, filled to the mark");
  await volume.fill("1,234");
  await expect(volume).toHaveAttribute("aria-invalid", "true");
  const described = await volume.getAttribute("aria-describedby");
  await expect(page.locator(`#${described.split(" ").at(-1)}`)).toContainText("1.234 or 1234");
  await expect(page.locator("#card")).toHaveAttribute("data-standing", "out-of-date");
  await expectBar(page, /^Correct the marked/);
  await expect(volume).toHaveValue("1,234");
  await expectAccessible(page);
  await picture(page, "broken");
  await volume.fill("8,4");
  await expectBar(page, VAN);
  await expect(volume).toHaveValue("8,4");
});

test("a value that cannot be is named beside its field", async ({ page, site }) => {
  await openVan(page, site.url);
  await field(page, "Capacity, filled to the mark").fill("8400");
  await expect(page.locator("#volume-error")).toContainText("8400");
  await expect(page.locator("#card")).toHaveAttribute("data-standing", "out-of-date");
});

test("units as a whole and back, to the letter", async ({ page, site }) => {
  await openVan(page, site.url);
  const volume = field(page, "Capacity, filled to the mark");
  await volume.fill("8,40");
  await page.getByText("US", { exact: true }).click();
  await expect(volume).toHaveValue("8.876");
  await expect(field(page, "Lowest expected temperature")).toHaveValue("\u221213");
  await expectBar(page, /fl oz/);
  await page.getByText("imperial", { exact: true }).click();
  await expect(volume).toHaveValue("14.78");
  await page.getByText("metric", { exact: true }).click();
  await expect(volume).toHaveValue("8,40");
  await expectBar(page, VAN);
});

test("one field by itself, and the page's units after it", async ({ page, site }) => {
  await openVan(page, site.url);
  const unit = page.getByRole("combobox", { name: "Unit of Capacity, filled to the mark" });
  // What was typed stays, and counts in the unit chosen: 2 US gal are 7.57 L. Only the page's units convert.
  await field(page, "Capacity, filled to the mark").fill("2");
  await unit.selectOption("US gal");
  await expect(field(page, "Capacity, filled to the mark")).toHaveValue("2");
  await page.getByText("imperial", { exact: true }).click();
  await expect(unit).toHaveValue("imp_pt");
  await expect(field(page, "Capacity, filled to the mark")).toHaveValue("13.32");
  await page.getByText("metric", { exact: true }).click();
  await expect(unit).toHaveValue("L");
  await expect(field(page, "Capacity, filled to the mark")).toHaveValue("7.571");
});

test("what was typed stays through a reload", async ({ page, site }) => {
  await openVan(page, site.url);
  await field(page, "Capacity, filled to the mark").fill("9,x");
  await page.reload();
  await page.locator("html[data-page=stands]").waitFor();
  await expect(field(page, "Capacity, filled to the mark")).toHaveValue("9,x");
});

test("a refused import says why, and what was here stays", async ({ page, site }) => {
  await openVan(page, site.url);
  await field(page, "Capacity, filled to the mark").fill("9");
  const before = plain(await bar(page).innerText());
  await page.locator("summary", { hasText: "Jobs" }).click();
  const chooser = page.locator("input[type=file]");
  const file = (name, text) => ({ name, mimeType: "application/json", buffer: Buffer.from(text) });
  await chooser.setInputFiles([file("newer.json", '{"pourcard": 2}'), file("broken.json", "{")]);
  const told = page.locator(".tidings");
  await expect(told).toContainText("newer.json");
  await expect(told).toContainText("broken.json");
  await expect(told).toContainText("stays as it was");
  await expectBar(page, before);
  await expect(field(page, "Capacity, filled to the mark")).toHaveValue("9");
});

test("an exported job comes back as it was", async ({ page, site }) => {
  await openVan(page, site.url);
  const first = await exported(page);
  await page.getByRole("button", { name: "New job" }).first().click();
  await page.locator("input[type=file]").setInputFiles({
    name: "van.json",
    mimeType: "application/json",
    buffer: Buffer.from(first),
  });
  await expectBar(page, VAN);
  expect(JSON.parse(await exported(page))).toEqual(JSON.parse(first));
});

test("a step that went otherwise is planned on from there", async ({ page, site }) => {
  await openVan(page, site.url);
  const steps = page.locator(".step");
  await expect(field(page, "Actual amount")).toHaveCount(0); // asked once a step is ticked
  await steps.nth(0).locator("label.tick").click();
  await field(page, "Actual amount", steps.nth(0)).fill("1.2");
  await expectBar(page, /^Now add/);
  await expect(page.getByRole("checkbox", { name: "Done: Drain" })).toBeChecked();
  await expect(field(page, "Actual amount", steps.nth(0))).toBeFocused();
  const told = await answer(await exported(page));
  const pour = told.loops[0].steps.find((step) => step.do === "pour");
  await expectBar(page, new RegExp(`pour ${pour.litres.toFixed(2).replace(".", "\\.")} L`));
  await page.getByRole("button", { name: "Clear entries" }).click();
  await expectBar(page, VAN);
});

test("a second loop has its own answer", async ({ page, site }) => {
  await openVan(page, site.url);
  await page.getByRole("button", { name: "Add a system" }).click();
  await expectBar(page, /^Still needed/);
  await field(page, "Capacity, filled to the mark").fill("2.5");
  await field(page, "Reading").fill("50");
  await field(page, "Lowest expected temperature").fill("-25");
  await expectBar(page, /^Already on target/);
  await page.getByRole("button", { name: "Engine loop", exact: true }).click();
  await expectBar(page, VAN);
});

test("the new answer is spoken once it has rested", async ({ page, site }) => {
  await openVan(page, site.url);
  const spoken = page.locator("#page > p[role=status]");
  await expect(spoken).toBeEmpty();
  await field(page, "Target concentration").fill("48");
  await expect(spoken).toContainText(/drain|pour/i);
});

test("two tabs on one job keep in step", async ({ page, site, context }) => {
  await openVan(page, site.url);
  await field(page, "Capacity, filled to the mark").fill("9");
  const other = await context.newPage();
  await openVan(other, site.url);
  await expect(field(other, "Capacity, filled to the mark")).toHaveValue("9");
  await field(other, "Low by").first().fill("1");
  await expect(field(page, "Low by").first()).toHaveValue("1");
  await field(page, "Capacity, filled to the mark").fill("10");
  await expect(field(other, "Capacity, filled to the mark")).toHaveValue("10");
});

test("a deleted job can be had back", async ({ page, site }) => {
  await openVan(page, site.url);
  await page.getByRole("textbox", { name: "Job" }).fill("Mine");
  await page.locator("summary", { hasText: "Jobs" }).click();
  await page.getByRole("button", { name: "Delete this job" }).click();
  await expect(page.locator(".tidings")).toContainText("Mine");
  await page.locator(".tidings").getByRole("button", { name: "Undo" }).click();
  await expect(page.getByRole("textbox", { name: "Job" })).toHaveValue("Mine");
});

for (const width of [320, 390, 1280]) {
  test(`nothing runs off sideways at ${width} pixels, with every fold open`, async ({ page, site }) => {
    await page.setViewportSize({ width, height: 800 });
    await openVan(page, site.url);
    const check = async () => {
      await openAll(page);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(wide).toBeLessThanOrEqual(0);
    };
    await check();
    await page.getByText("US", { exact: true }).click();
    await check();
    await page.getByRole("button", { name: "New job" }).first().click();
    await check();
    await expectAccessible(page);
    await picture(page, `open-${width}`);
  });
}

test("everything to touch is large enough", async ({ page, site }) => {
  await openVan(page, site.url);
  await openAll(page);
  const small = await page.evaluate(() =>
    [...document.querySelectorAll("#page button, #page select, #page summary, #page label.chip, #page label.tick, #page .entry input")]
      .filter((element) => element.checkVisibility())
      .map((element) => [element.className || element.id || element.tagName, element.getBoundingClientRect().height])
      .filter(([, height]) => height < 43.5),
  );
  expect(small).toEqual([]);
});

test("nothing moves under reduced motion, and forced colours keep every line", async ({ page, site }) => {
  await page.emulateMedia({ reducedMotion: "reduce", forcedColors: "active" });
  await openVan(page, site.url);
  const moving = await page.evaluate(() =>
    [...document.querySelectorAll("*")].filter((element) => {
      const style = getComputedStyle(element);
      return parseFloat(style.transitionDuration) > 0 || style.animationName !== "none" || style.scrollBehavior === "smooth";
    }).length,
  );
  expect(moving).toBe(0);
  await picture(page, "forced");
});

test("the card prints on one page", async ({ page, site }) => {
  await openVan(page, site.url);
  const pdf = await page.pdf({ format: "A4" });
  expect(pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
});
