// Every test watches the whole run: a console error, an uncaught error, a breach of the page's policy or a request
// to anywhere else fails it, unless the test said beforehand that it would happen.
import { test as base } from "@playwright/test";
import { serve } from "./server.mjs";
import { dist } from "./settings.mjs";

export { expect } from "@playwright/test";

export const test = base.extend({
  /** The finished page, served for the whole worker. */
  site: [
    async ({}, use) => {
      const server = await serve(dist);
      await use(server);
      await server.stop();
    },
    { scope: "worker" },
  ],

  /** What went wrong; `faults.expect(/…/)` says what will. */
  faults: [
    async ({ context }, use) => {
      const faults = watch(context);
      await use(faults);
      faults.settle();
    },
    { auto: true },
  ],
});

/** Collect what goes wrong in a browser context. Await `ready` before the first page where the context is new. */
export function watch(context) {
  const found = [];
  const foreseen = [];
  const note = (text) => found.push(text);
  const here = (url) => ["127.0.0.1", "localhost"].includes(new URL(url).hostname);

  context.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) note(`console ${message.type()}: ${message.text()}`);
  });
  context.on("weberror", (error) => note(`uncaught: ${error.error()}`));
  context.on("request", (request) => {
    const url = request.url();
    if (/^(https?|wss?):/.test(url) && !here(url)) note(`request elsewhere: ${url}`);
  });
  context.on("serviceworker", (worker) => {
    worker.on("console", (message) => {
      if (message.type() === "error") note(`worker: ${message.text()}`);
    });
  });
  const ready = context.addInitScript(() => {
    addEventListener("securitypolicyviolation", (event) => {
      console.error(`policy breached: ${event.violatedDirective} ${event.blockedURI} ${event.sourceFile}:${event.lineNumber}`);
    });
  });

  return {
    ready,
    found,
    /** A fault this test brings about on purpose. It must then happen. */
    expect(pattern) {
      foreseen.push({ pattern, seen: false });
    },
    /** A fault that may or may not happen, depending on who is first. */
    allow(pattern) {
      foreseen.push({ pattern, seen: true });
    },
    settle() {
      const rest = found.filter((text) => {
        const known = foreseen.filter(({ pattern }) => pattern.test(text));
        for (const entry of known) entry.seen = true;
        return known.length === 0;
      });
      const missing = foreseen.filter(({ seen }) => !seen).map(({ pattern }) => `did not happen: ${pattern}`);
      if (rest.length + missing.length > 0) throw new Error([...rest, ...missing].join("\n"));
    },
  };
}

/** Open the page and wait until the compiled part stands. */
export async function open(page, url) {
  await page.goto(url);
  await page.locator("html[data-page=stands]").waitFor();
}

/** The example in sight: nothing of it is kept. Where a job is open already, that. */
export async function openExample(page, url) {
  await open(page, url);
  const show = page.locator(".head").getByRole("button", { name: "Show an example" });
  if (await show.count()) await show.click();
}

/** The bakery's van as a job of one's own. Where a job is open already, that. */
export async function openVan(page, url) {
  await openExample(page, url);
  const keep = page.getByRole("button", { name: "Keep it as a job" });
  if (await keep.count()) await keep.click();
}

/** Opens what few people need under each question. */
export async function openMore(page) {
  const closed = page.locator(".question .rarer:not([open]) > summary", { hasText: /^More/ });
  await closed.evaluateAll((folds) => folds.forEach((fold) => fold.click()));
}

/** Wait until the worker keeps everything and answers this page. */
export async function keptOffline(page) {
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    if (navigator.serviceWorker.controller) return;
    await new Promise((resolve) => navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true }));
  });
}

/** The names of this origin's caches. */
export const caches = (page) => page.evaluate(() => globalThis.caches.keys());
