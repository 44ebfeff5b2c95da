// What is kept on the device, and what several tabs do to it: nothing that was typed is written over, nothing is mixed.
import { expectAccessible } from "./support/axe.mjs";
import { expect, openVan, test } from "./support/fixture.mjs";
import { openFold } from "./support/job.mjs";

const title = (page) => page.getByRole("textbox", { name: "Job" });
const told = (page) => page.locator(".tidings");

/** Every job's record by its name on the device. */
const records = (page) =>
  page.evaluate(() => Object.fromEntries(Object.entries(localStorage).filter(([name]) => name.startsWith("pourcard.job."))));

/** The titles on the device, in order. */
async function titles(page) {
  const all = Object.values(await records(page));
  return all.map((record) => record.match(/^title (.*)$/m)?.[1] ?? "?").sort();
}

const nameOf = async (page) => `pourcard.job.${await page.evaluate(() => sessionStorage.getItem("pourcard.open"))}`;

async function startEmpty(page) {
  await openFold(page, "Jobs");
  await page.getByRole("button", { name: "New job" }).last().click();
}

async function reload(page) {
  await page.reload();
  await page.locator("html[data-page=stands]").waitFor();
}

/** As the browser does when a tab comes to the front; in a test all tabs are in front. */
const comeBack = (page) => page.evaluate(() => void dispatchEvent(new Event("focus")));

test("the example edited, an empty job, a reload and one key: both jobs are there", async ({ page, site }) => {
  await openVan(page, site.url);
  await title(page).fill("First");
  await startEmpty(page);
  await reload(page);
  await title(page).fill("Second");
  expect(await titles(page)).toEqual(["First", "Second"]);
  await reload(page);
  await title(page).fill("Second, later");
  expect(await titles(page)).toEqual(["First", "Second, later"]);
});

test("the open job deleted in another tab, a reload, one key, and the deletion taken back: nothing is lost", async ({ context, page, site }) => {
  await openVan(page, site.url);
  await title(page).fill("First");
  const other = await context.newPage();
  await openVan(other, site.url);
  await openFold(other, "Jobs");
  await other.getByRole("button", { name: "Delete this job" }).click();
  await expect.poll(() => titles(page)).toEqual([]);
  await expect(title(page)).toHaveValue("First");
  await reload(page);
  await title(page).fill("Second");
  await told(other).getByRole("button", { name: "Undo" }).click();
  await expect.poll(() => titles(page)).toEqual(["First", "Second"]);
});

test("a job deleted in another tab while it is typed in is kept", async ({ context, page, site }) => {
  await openVan(page, site.url);
  await title(page).fill("First");
  const other = await context.newPage();
  await openVan(other, site.url);
  await openFold(other, "Jobs");
  await other.getByRole("button", { name: "Delete this job" }).click();
  await expect.poll(() => titles(page)).toEqual([]);
  await title(page).fill("First still");
  expect(await titles(page)).toEqual(["First still"]);
  await expect(other.getByRole("button", { name: "Open First still" })).toBeVisible();
});

for (const [what, odd] of [
  ["damaged", 'pourcard record 1\njob {"pourcard"'],
  ["written by a newer page before a rollback", "pourcard record 99\njob from the future"],
]) {
  test(`a record ${what} is never written to, whatever name it has`, async ({ page, site }) => {
    await openVan(page, site.url);
    await title(page).fill("Mine");
    const name = await nameOf(page);
    const odds = { [name]: odd, "pourcard.job.example": odd };
    // Under the open job's own name, while it is open: found when the next key is written.
    await page.evaluate((odds) => Object.entries(odds).forEach(([name, text]) => localStorage.setItem(name, text)), odds);
    await title(page).fill("Mine still");
    expect(await records(page)).toMatchObject(odds);
    expect(await titles(page)).toContain("Mine still");
    await expect(told(page)).toContainText("also changed in another tab");
    // And under the name that is opened.
    await page.evaluate((name) => {
      sessionStorage.clear();
      localStorage.setItem("pourcard.open", name);
    }, name.replace("pourcard.job.", ""));
    await reload(page);
    await title(page).fill("Another");
    expect(await records(page)).toMatchObject(odds);
    expect(await titles(page)).toEqual(["?", "?", "Another", "Mine still"]);
  });
}

test("storage cleared under an open tab: every job the list shows is written again", async ({ page, site }) => {
  await openVan(page, site.url);
  for (const name of ["A", "B", "C"]) {
    await title(page).fill(name);
    await startEmpty(page);
  }
  await title(page).fill("Open");
  await openFold(page, "Packs and price");
  await page.locator(".prices input[type=file]").setInputFiles("../../data/demo/prices.csv");
  await expect(told(page)).toContainText("went into the price list");
  const before = await page.evaluate(() => ({ ...localStorage }));

  await page.evaluate(() => localStorage.clear());
  await comeBack(page);
  expect(await page.evaluate(() => ({ ...localStorage }))).toEqual(before);

  await page.evaluate(() => localStorage.clear());
  await title(page).fill("Open still");
  expect(await titles(page)).toEqual(["A", "B", "C", "Open still"]);
  expect(await page.evaluate(() => localStorage.getItem("pourcard.prices"))).toBe(before["pourcard.prices"]);
});

test("storage cleared by another tab is written again", async ({ context, page, site, faults }) => {
  await openVan(page, site.url);
  await title(page).fill("A");
  await startEmpty(page);
  await title(page).fill("B");
  const other = await context.newPage();
  faults.allow(/404/);
  await other.goto(`${site.url}nothing`); // no page of ours stands there
  await other.evaluate(() => localStorage.clear());
  await expect.poll(() => titles(page)).toEqual(["A", "B"]);
});

test("a tab takes over what another wrote to the same job, says so, and can take it back", async ({ context, page, site }) => {
  await openVan(page, site.url);
  await title(page).fill("Van");
  const other = await context.newPage();
  await openVan(other, site.url);
  await title(other).press("End");
  await title(other).pressSequentially(", winter");
  await expect(title(page)).toHaveValue("Van, winter");
  await expect(told(page)).toContainText("changed in another tab");
  await expect(told(other)).toBeEmpty();
  await expectAccessible(page);
  await page.getByRole("button", { name: "Undo", exact: true }).first().click();
  await expect(title(page)).toHaveValue("Van");
  await expect(title(other)).toHaveValue("Van");
  await expect(told(other)).toContainText("changed in another tab");
  expect(await titles(page)).toEqual(["Van"]);
});

test("two tabs that type into one job at once lose no letter", async ({ context, page, site }) => {
  await openVan(page, site.url);
  await title(page).fill("V");
  const other = await context.newPage();
  await openVan(other, site.url);
  // Each in a field of its own, so that no caret is moved by the other.
  const volume = other.getByRole("textbox", { name: "Capacity, filled to the mark" });
  await volume.fill("");
  await expect(page.getByRole("textbox", { name: "Capacity, filled to the mark" })).toHaveValue("");
  await Promise.all([title(page).pressSequentially("abcdefgh"), volume.pressSequentially("12345678")]);
  // In one record or in several, by who heard of whom when: each letter is kept.
  const kept = async (line) => Object.values(await records(page)).map((record) => record.match(line)?.[1]).join();
  for (const letter of "abcdefgh") await expect.poll(() => kept(/^title (.*)$/m), letter).toContain(letter);
  for (const digit of "12345678") await expect.poll(() => kept(/^l0\.volume L\|L\|(.*)$/m), digit).toContain(digit);
  // And each tab shows what its own record holds, whole.
  for (const tab of [page, other]) {
    await expect
      .poll(async () => {
        const own = (await records(tab))[await nameOf(tab)];
        return own.includes(`\ntitle ${await title(tab).inputValue()}\n`);
      })
      .toBe(true);
  }
});

test("what another tab wrote and this one wrote over unseen is kept beside it", async ({ page, site }) => {
  await openVan(page, site.url);
  await title(page).fill("Here");
  const name = await nameOf(page);
  // Browsers tell one tab of another's writing late: by now this tab's own text is on the device.
  await page.evaluate((name) => {
    const theirs = localStorage.getItem(name).replace("title Here", "title There");
    dispatchEvent(new StorageEvent("storage", { key: name, newValue: theirs, storageArea: localStorage }));
  }, name);
  await expect.poll(() => titles(page)).toEqual(["Here", "There"]);
  await expect(title(page)).toHaveValue("Here");
  await expect(told(page)).toContainText("Both are kept");
});

test("a tab that was not told finds what another wrote when it comes back into sight", async ({ page, site }) => {
  await openVan(page, site.url);
  await title(page).fill("Van");
  const name = await nameOf(page);
  // Written in this tab, so that no event tells of it.
  const write = (from, to) =>
    page.evaluate(([name, from, to]) => localStorage.setItem(name, localStorage.getItem(name).replace(from, to)), [name, from, to]);
  await write("title Van", "title Van, elsewhere");
  await comeBack(page);
  await expect(title(page)).toHaveValue("Van, elsewhere");
  await expect(told(page)).toContainText("changed in another tab");
  // Not looked at, but typed in: both stay.
  await write("title Van, elsewhere", "title There");
  await title(page).fill("Here");
  expect(await titles(page)).toEqual(["Here", "There"]);
});
