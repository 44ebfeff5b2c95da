// After one visit the page works with the server stopped, and takes an update only when asked.
import { readdir, readFile, rm } from "node:fs/promises";
import { join } from "node:path";
import { copyOf, serve, swap } from "./support/server.mjs";
import { dist, next } from "./support/settings.mjs";
import { caches, expect, keptOffline, openVan, test } from "./support/fixture.mjs";

const build = (page) => page.locator("meta[name=build]").getAttribute("content");
const prompt = (page) => page.getByRole("status", { name: "An update is ready" });

/** A site of the test's own, to stop, change and start again on the same port. */
const own = test.extend({
  house: async ({}, use) => {
    const copy = await copyOf(dist);
    let server = await serve(copy.folder);
    const { url, port } = server;
    await use({
      url,
      folder: copy.folder,
      stop: () => server.stop(),
      start: async () => void (server = await serve(copy.folder, port)),
      become: (folder) => swap(copy, folder),
    });
    await server.stop();
    await copy.remove();
  },
});

own("one visit, server stopped, the page stands", async ({ context, page, house }) => {
  await openVan(page, house.url);
  await expect(page.getByText("Works offline from now on.")).toBeVisible();
  await keptOffline(page);
  await house.stop();

  const later = await context.newPage();
  await openVan(later, house.url);
  await openVan(later, `${house.url}?opened-from=home`);
  await openVan(later, `${house.url}index.html`);
  await later.reload();
  await later.locator("html[data-page=stands]").waitFor();
  await expect(later.getByText("Works offline from now on.")).toBeHidden();
});

own("the worker leaves addresses that are not the page's alone", async ({ page, house, faults }) => {
  faults.expect(/404/);
  await openVan(page, house.url);
  await keptOffline(page);
  expect((await page.goto(`${house.url}other/page`)).status()).toBe(404);
  await page.close(); // it may still ask for its icon
});

own("the worker keeps every file of the page", async ({ page, house }) => {
  await openVan(page, house.url);
  await keptOffline(page);
  const kept = await page.evaluate(async () => {
    const [name] = await globalThis.caches.keys();
    const requests = await (await globalThis.caches.open(name)).keys();
    return requests.map((request) => new URL(request.url).pathname.slice(1)).sort();
  });
  const all = await readdir(dist);
  const manifest = JSON.parse(await readFile(join(dist, all.find((name) => name.endsWith(".webmanifest"))), "utf8"));
  const shown = manifest.screenshots.map(({ src }) => src);
  expect(shown.every((name) => all.includes(name))).toBe(true);
  const files = all.filter((name) => !/\.(br|gz)$|^_|^sw\.js$/.test(name) && !shown.includes(name));
  expect(kept).toEqual(files.map((name) => (name === "index.html" ? "" : name)).sort());
});

own("an install that is cut short keeps nothing half done, and the page works", async ({ page, house, faults }) => {
  faults.allow(/404/);
  const [icon] = (await readdir(house.folder)).filter((name) => name.startsWith("icon-512"));
  await rm(`${house.folder}/${icon}`);
  // Registered when the page has loaded, so "no worker" alone could also mean "not yet".
  await page.addInitScript(() => {
    const real = ServiceWorkerContainer.prototype.register;
    ServiceWorkerContainer.prototype.register = async function (...args) {
      const registration = await real.apply(this, args);
      globalThis.tried = registration.installing ?? { state: "redundant" };
      return registration;
    };
  });
  await openVan(page, house.url);
  await expect.poll(() => page.evaluate(() => globalThis.tried?.state)).toBe("redundant");
  expect(await page.evaluate(async () => (await navigator.serviceWorker.getRegistrations()).length)).toBe(0);
  expect(await page.evaluate(() => navigator.serviceWorker.controller)).toBeNull();

  await house.become(dist);
  await page.reload();
  await keptOffline(page);
});

own("a cache that the browser cleared is filled again at the next visit", async ({ page, house }) => {
  await openVan(page, house.url);
  await keptOffline(page);
  const kept = () =>
    page.evaluate(async () => {
      const names = await globalThis.caches.keys();
      const lists = await Promise.all(names.map(async (name) => (await globalThis.caches.open(name)).keys()));
      return lists.flat().length;
    });
  const all = await kept();
  expect(all).toBeGreaterThan(5);
  for (const clear of [
    async () => Promise.all((await globalThis.caches.keys()).map((name) => globalThis.caches.delete(name))),
    async () => (await globalThis.caches.open((await globalThis.caches.keys())[0])).delete("./"),
  ]) {
    await page.evaluate(clear);
    await page.reload();
    await expect.poll(kept).toBe(all);
  }
  await house.stop();
  await page.reload();
  await page.locator("html[data-page=stands]").waitFor();
});

own.describe("update", () => {
  own.skip(!next, "POURCARD_NEXT names no second build");

  /** A visit to the first build, then the second in its place after a restart. */
  async function updated(page, house) {
    await openVan(page, house.url);
    await keptOffline(page);
    await house.stop();
    await house.become(next);
    await house.start();
    await page.reload();
    await page.locator("html[data-page=stands]").waitFor();
  }

  own("asks, then reloads once into the new build and drops the old files", async ({ page, house }) => {
    await updated(page, house);
    expect(await build(page), "the old build still runs").toBe("");
    await expect(prompt(page)).toBeVisible();
    expect(await caches(page)).toHaveLength(2);

    let loads = 0;
    page.on("load", () => (loads += 1));
    await page.getByRole("button", { name: "Update now" }).click();
    await expect.poll(() => build(page).catch(() => null)).toBe("next");
    await page.locator("html[data-page=stands]").waitFor();
    await expect.poll(() => caches(page)).toHaveLength(1);
    await expect(prompt(page)).toBeHidden();
    await page.waitForTimeout(1_000);
    expect(loads).toBe(1);

    await house.stop();
    await page.reload();
    await page.locator("html[data-page=stands]").waitFor();
    expect(await build(page)).toBe("next");
  });

  own("put off, it changes nothing and asks again at the next visit", async ({ page, house }) => {
    await updated(page, house);
    await page.getByRole("button", { name: "Later" }).click();
    await expect(prompt(page)).toBeHidden();
    await page.reload();
    expect(await build(page)).toBe("");
    await expect(prompt(page)).toBeVisible();
  });

  own("taken in one tab, the other is asked and not reloaded under the user's hands", async ({ context, page, house }) => {
    await updated(page, house);
    const other = await context.newPage();
    await openVan(other, house.url);
    await page.getByRole("button", { name: "Update now" }).click();
    await expect.poll(() => build(page).catch(() => null)).toBe("next");
    await expect(prompt(other)).toBeVisible();
    expect(await build(other)).toBe("");
    await other.getByRole("button", { name: "Update now" }).click();
    await expect.poll(() => build(other).catch(() => null)).toBe("next");
  });
});
