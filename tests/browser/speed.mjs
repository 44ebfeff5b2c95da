// Speed of the page in a browser, for `cargo xtask measure`. Nothing here fails on a figure: clocks differ.
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium as launcher } from "@playwright/test";
import { serve } from "./support/server.mjs";
import { chromium, dist, flags } from "./support/settings.mjs";

const SLOWED = 4;
const KEYS = 200;
const STARTS = 9;
const root = join(import.meta.dirname, "../..");

let site = await serve(dist);
const browser = await launcher.launch({ executablePath: chromium, args: flags });
try {
  await starts();
  await typing();
  await nothing();
  await fleet();
} finally {
  await browser.close();
  await site.stop();
}

function spread(times) {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share) => sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)].toFixed(1);
  return `median ${at(0.5)} ms, p95 ${at(0.95)} ms of ${sorted.length}`;
}

/** From the request for the page to the moment a field can be typed in. */
async function usable(page) {
  await page.goto(site.url, { waitUntil: "commit" });
  await page.locator("html[data-page=stands]").waitFor();
  return page.evaluate(() => performance.getEntriesByName("stands").at(0)?.startTime ?? NaN);
}

/** Marks the moment the page says that it stands, and keeps the long tasks until then. */
function mark() {
  globalThis.starting = [];
  const seen = (list) => globalThis.starting.push(...list.getEntries().map((task) => Math.round(task.duration)));
  new PerformanceObserver(seen).observe({ type: "longtask", buffered: true });
  const look = (_, observer) => {
    if (document.documentElement.dataset.page !== "stands") return;
    performance.mark("stands");
    observer.disconnect();
  };
  new MutationObserver(look).observe(document, { subtree: true, attributes: true, attributeFilter: ["data-page"] });
}

async function starts() {
  const times = { cold: [], warm: [], offline: [] };
  const long = [];
  for (let i = 0; i < STARTS; i += 1) {
    const context = await browser.newContext();
    await context.addInitScript(mark);
    const page = await context.newPage();
    times.cold.push(await usable(page));
    await page.waitForTimeout(200); // a task is told of once it is over
    long.push((await page.evaluate(() => globalThis.starting)).join(" + ") || "none");
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
      while (!navigator.serviceWorker.controller) await new Promise((go) => setTimeout(go, 10));
    });
    times.warm.push(await usable(page));
    const { port } = site;
    await site.stop();
    times.offline.push(await usable(page));
    site = await serve(dist, port);
    await context.close();
  }
  for (const [name, list] of Object.entries(times)) console.log(`start to usable, ${name}: ${spread(list)}`);
  console.log(`  tasks over 50 ms at a cold start: ${long.join(", ")}`);
}

/** A key on a number of the demo's van, until the frame with the new answer is out. */
async function typing() {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, serviceWorkers: "block" });
  await context.addInitScript(mark);
  const page = await context.newPage();
  await usable(page);
  await page.getByRole("button", { name: "Show an example" }).click();
  const devtools = await context.newCDPSession(page);
  await devtools.send("Emulation.setCPUThrottlingRate", { rate: SLOWED });
  const field = page.getByRole("textbox", { name: "Capacity, filled to the mark" });
  await field.focus();
  await page.evaluate(() => {
    globalThis.painted = [];
    globalThis.long = [];
    const seen = (list) => globalThis.long.push(...list.getEntries().map((task) => Math.round(task.duration)));
    new PerformanceObserver(seen).observe({ type: "longtask" });
    addEventListener("beforeinput", () => (globalThis.began = performance.now()), true);
    addEventListener("input", () => {
      const { began } = globalThis;
      requestAnimationFrame(() => {
        const out = new MessageChannel();
        out.port1.onmessage = () => globalThis.painted.push(performance.now() - began);
        out.port2.postMessage(0);
      });
    });
  });
  await field.press("End");
  for (let i = 0; i < KEYS; i += 1) {
    const before = i < 4 ? await page.locator("#card").innerText() : "";
    await page.keyboard.press(i % 2 ? "Backspace" : "5");
    await page.waitForFunction((n) => globalThis.painted.length === n, i + 1);
    if (i < 4 && before === (await page.locator("#card").innerText())) throw new Error("the answer stayed as it was");
    await page.waitForTimeout(40);
  }
  const { painted, long } = await page.evaluate(() => ({ painted, long }));
  console.log(`key to painted answer, processor slowed ${SLOWED} times: ${spread(painted)}`);
  console.log(`  tasks over 50 ms in ${KEYS} keys: ${long.length ? long.join(", ") : "none"}`);
  await context.close();
}

/** The same keys on a page with one field and one line: what the browser and the machine take by themselves. */
async function nothing() {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  await page.setContent("<input value=8><p></p>");
  const devtools = await context.newCDPSession(page);
  await devtools.send("Emulation.setCPUThrottlingRate", { rate: SLOWED });
  await page.evaluate(() => {
    globalThis.painted = [];
    addEventListener("beforeinput", () => {
      const began = performance.now();
      requestAnimationFrame(() => {
        document.querySelector("p").textContent = began;
        const out = new MessageChannel();
        out.port1.onmessage = () => globalThis.painted.push(performance.now() - began);
        out.port2.postMessage(0);
      });
    });
  });
  await page.locator("input").focus();
  for (let i = 0; i < KEYS; i += 1) {
    await page.keyboard.press(i % 2 ? "Backspace" : "5");
    await page.waitForFunction((n) => globalThis.painted.length === n, i + 1);
    await page.waitForTimeout(40);
  }
  console.log(`  the same on an empty page: ${spread(await page.evaluate(() => globalThis.painted))}`);
  await context.close();
}

/** Ten thousand rows of the demo orchard's table. */
async function fleet() {
  const [head, ...rows] = (await readFile(join(root, "data/demo/orchard_fleet.csv"), "utf8")).trim().split("\n");
  const table = [head, ...Array.from({ length: 10_000 }, (_, i) => rows[i % rows.length])].join("\n");
  // A file on disk: one handed over by the driver costs the page a long task of the driver's own.
  const folder = await mkdtemp(join(tmpdir(), "pourcard-speed-"));
  const chosen = join(folder, "fleet.csv");
  await writeFile(chosen, table);
  const context = await browser.newContext({ serviceWorkers: "block" });
  await context.addInitScript(mark);
  const page = await context.newPage();
  await usable(page);
  await page.locator("summary", { hasText: "Jobs" }).click();
  await page.locator("input.jobs-in").setInputFiles(join(root, "data/demo/orchard_fleet.json"));
  await page.getByRole("button", { name: "Plan a fleet from a table" }).click();
  await page.evaluate(() => {
    globalThis.long = [];
    const seen = (list) => globalThis.long.push(...list.getEntries().map((task) => Math.round(task.duration)));
    new PerformanceObserver(seen).observe({ type: "longtask" });
  });
  const began = performance.now();
  await page.locator(".fleet input[type=file]").setInputFiles(chosen);
  await page.getByRole("button", { name: "Export the plans (CSV)" }).waitFor({ timeout: 120_000 });
  console.log(`ten thousand rows of a fleet on the page: ${((performance.now() - began) / 1000).toFixed(2)} s`);
  const long = await page.evaluate(() => globalThis.long);
  console.log(`  tasks over 50 ms: ${long.length ? long.join(", ") : "none"}`);
  await context.close();
  await rm(folder, { recursive: true });
}
