// What can go wrong around the page: a device that keeps nothing, records nobody can read, clocks that jump, a page that
// stops in the middle of a word, names with markup in them. Nothing that was typed is lost.
import { copyOf, serve, swap } from "./support/server.mjs";
import { dist, next } from "./support/settings.mjs";
import { denyDrawing } from "./support/break.mjs";
import { expectAccessible } from "./support/axe.mjs";
import { expect, keptOffline, openVan, test } from "./support/fixture.mjs";
import { exported, linkOf, openFold } from "./support/job.mjs";

const title = (page) => page.getByRole("textbox", { name: "Job" });
const volume = (page) => page.getByRole("textbox", { name: "Capacity, filled to the mark" });
const records = (page) =>
  page.evaluate(() => Object.fromEntries(Object.entries(localStorage).filter(([name]) => name.startsWith("pourcard.job."))));

/** Storage full to the last byte, by halves. */
const fill = (page) =>
  page.evaluate(() => {
    for (let size = 1 << 22; size >= 1; size >>= 1) {
      try {
        localStorage.setItem("ballast", (localStorage.getItem("ballast") ?? "") + "x".repeat(size));
      } catch {
        // Full at this size.
      }
    }
  });

test("a full device is said as often as it fills up, the page works on, and keeps again once there is room", async ({ page, site }) => {
  const warning = page.locator(".tidings").filter({ hasText: "does not keep the job: storage is full" });
  await openVan(page, site.url);
  await title(page).fill("Van before");
  await fill(page);
  await title(page).fill("Van, with a much longer title than before");
  await expect(warning).toBeVisible();
  await expectAccessible(page);
  await volume(page).fill("9");
  await expect(page.locator(".bar-line")).toContainText("Drain");
  expect(Object.values(await records(page)).join()).toContain("Van before");
  await page.locator(".tidings").getByRole("button", { name: "Close" }).click();
  await volume(page).fill("9.05");
  await expect(page.locator(".tidings")).toBeEmpty(); // said once

  await page.evaluate(() => localStorage.removeItem("ballast"));
  await volume(page).fill("9.1");
  expect(Object.values(await records(page)).join()).toContain("than before");

  await fill(page);
  await title(page).fill("Van, with a title much, much longer than before");
  await expect(warning).toBeVisible(); // and again
  await page.evaluate(() => localStorage.removeItem("ballast"));
  await volume(page).fill("9.2");
  await expect(warning).toBeHidden(); // what no longer holds is not told any more
  await page.reload();
  await page.locator("html[data-page=stands]").waitFor();
  await expect(title(page)).toHaveValue("Van, with a title much, much longer than before");
  await expect(volume(page)).toHaveValue("9.2");
});

test("a price list that a full device refused is kept once there is room", async ({ page, site }) => {
  await openVan(page, site.url);
  await openFold(page, "Packs and price");
  await page.evaluate(() => {
    const real = Storage.prototype.setItem;
    Storage.prototype.setItem = function (name, text) {
      if (name === "pourcard.prices" && !globalThis.room) throw new DOMException("full by the test", "QuotaExceededError");
      real.call(this, name, text);
    };
  });
  await page.locator(".prices input[type=file]").setInputFiles("../../data/demo/prices.csv");
  await expect(page.locator(".tidings")).toContainText("does not keep the job");
  await page.evaluate(() => void (globalThis.room = true));
  await volume(page).fill("9.1");
  await expect.poll(() => page.evaluate(() => localStorage.getItem("pourcard.prices"))).toContain("price");
});

test("what could not be copied or read is said", async ({ page, site }) => {
  await page.addInitScript(() => {
    navigator.clipboard.writeText = () => Promise.reject(new DOMException("denied by the test", "NotAllowedError"));
    const real = File.prototype.text;
    File.prototype.text = function () {
      return this.name === "gone.json" ? Promise.reject(new DOMException("gone", "NotReadableError")) : real.call(this);
    };
  });
  await openVan(page, site.url);
  await page.getByRole("button", { name: "Copy as text" }).click();
  await expect(page.locator(".tidings")).toContainText("Nothing was copied");
  await openFold(page, "Jobs");
  await page.locator("input.jobs-in").setInputFiles({ name: "gone.json", mimeType: "application/json", buffer: Buffer.from("{}") });
  await expect(page.locator(".tidings")).toContainText("“gone.json” was refused");
});

test("a browser that denies storage still gets the answer, and says so", async ({ page, site }) => {
  await page.addInitScript(() => {
    Object.defineProperty(globalThis, "localStorage", {
      get() {
        throw new DOMException("denied by the test", "SecurityError");
      },
    });
  });
  await openVan(page, site.url);
  await volume(page).fill("9");
  await expect(page.locator(".bar-line")).toContainText("Drain");
  await expect(page.locator(".tidings")).toContainText("does not keep the job");
  expect(JSON.parse(await exported(page)).loops[0].volume.value).toBe(9);
});

test("records that are damaged or from a newer page are named, kept to the letter, and harm nothing", async ({ page, site }) => {
  const odd = {
    "pourcard.job.a": "pourcard record 99\njob from the future",
    "pourcard.job.b": "pourcard record 1\njob {\"pourcard\"",
    "pourcard.job.c": "\u0000\uffff",
    "pourcard.open": "a",
    "pourcard.prices": "pack;price\n;;;",
  };
  await page.goto(site.url);
  await page.evaluate((odd) => Object.entries(odd).forEach(([name, text]) => localStorage.setItem(name, text)), odd);
  await page.reload();
  await page.locator("html[data-page=stands]").waitFor();
  await volume(page).fill("9");
  await openFold(page, "Jobs");
  const listed = page.locator(".job-title");
  await expect(listed.filter({ hasText: "written by a newer version of this page" })).toHaveCount(1);
  await expect(listed.filter({ hasText: "damaged; kept as it is" })).toHaveCount(2);
  const kept = await records(page);
  for (const name of ["pourcard.job.a", "pourcard.job.b", "pourcard.job.c"]) expect(kept[name]).toBe(odd[name]);
});

test("a page that stops while one types has kept the letter it stopped at", async ({ page, site, faults }) => {
  faults.expect(/drawing denied by the test/);
  faults.expect(/uncaught: .*unreachable/);
  await openVan(page, site.url);
  await volume(page).fill("");
  await denyDrawing(page);
  await volume(page).pressSequentially("7.25x");
  await expect(page.getByRole("alert", { name: "The page stopped" })).toBeInViewport();
  await expect(page.getByText("What it kept on this device is still here.")).toBeVisible();
  // Keys after the stop reach nothing; what the page took before that is there.
  const typed = Object.values(await records(page)).join();
  await page.reload();
  await page.locator("html[data-page=stands]").waitFor();
  const back = await volume(page).inputValue();
  expect("7.25x".startsWith(back) && back.length > 0, back).toBe(true);
  expect(typed).toContain(`l0.volume L|L|${back}\n`);
});

test("an update taken in the middle of a word leaves the word", async ({ page }) => {
  const copy = await copyOf(dist);
  let server = await serve(copy.folder);
  const { url, port } = server;
  try {
    await openVan(page, url);
    await keptOffline(page);
    await server.stop();
    await swap(copy, next);
    server = await serve(copy.folder, port);
    await page.reload();
    await page.locator("html[data-page=stands]").waitFor();
    await volume(page).fill("8.");
    await page.getByRole("button", { name: "Update now" }).click();
    await expect.poll(() => page.locator("meta[name=build]").getAttribute("content").catch(() => null)).toBe("next");
    await page.locator("html[data-page=stands]").waitFor();
    await expect(volume(page)).toHaveValue("8.");
  } finally {
    await server.stop();
    await copy.remove();
  }
});

test("a clock put back by years mixes up no jobs", async ({ page, site }) => {
  await page.clock.install({ time: new Date("2031-05-04T10:00:00") });
  await openVan(page, site.url);
  await title(page).fill("Later");
  await page.clock.setSystemTime(new Date("1999-12-31T23:59:00"));
  await openFold(page, "Jobs");
  await page.getByRole("button", { name: "New job" }).last().click();
  await title(page).fill("Earlier");
  await page.clock.setSystemTime(new Date("2031-05-04T10:00:00"));
  await page.getByRole("button", { name: "New job" }).last().click();
  await title(page).fill("Later again");
  await page.reload();
  await page.locator("html[data-page=stands]").waitFor();
  await expect(title(page)).toHaveValue("Later again");
  const kept = Object.values(await records(page)).join();
  for (const name of ["Later", "Earlier", "Later again"]) expect(kept).toContain(`title ${name}`);
});

test("markup in names is text: on the page, the card, the sheet, and through a link", async ({ page, site }) => {
  const trap = (place) => `<img src=x onerror="globalThis.caught='${place}'"><b>${place}</b>`;
  const job = JSON.stringify({
    pourcard: 1,
    title: trap("title"),
    notes: trap("notes"),
    shelf: [
      { name: trap("stock"), glycol: "ethylene", percent: 100, packs: [{ size: { value: 1, unit: "L" }, price: 500 }] },
      { name: "Water", percent: 0 },
    ],
    loops: [
      {
        name: trap("loop"),
        glycol: "ethylene",
        volume: { value: 8, unit: "L" },
        now: { by: "percent", value: 20 },
        aim: { by: "percent", value: 50 },
        additive: { name: trap("additive"), rate: { by: "ratio", value: 30, unit: "mL/L" }, already: { value: 0, unit: "mL" } },
      },
    ],
    money: { currency: trap("money") },
  });
  await openVan(page, site.url);
  await page.goto(`${site.url}${linkOf(job)}`);
  await expect(title(page)).toHaveValue(trap("title"));
  for (const fold of ["Tank and cap", "Additive", "Packs and price", "After the job", "Jobs"]) await openFold(page, fold);
  await expect(page.locator("#card")).toContainText("onerror");
  await expect(page.locator("#sheet")).toContainText(trap("notes"));
  expect(await page.locator("img[src=x], #page b:has-text('stock') > *").count()).toBe(0);
  expect(await page.evaluate(() => globalThis.caught)).toBeUndefined();
});
