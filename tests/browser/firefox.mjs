// The page in Firefox, in every gate: the example, a job by keyboard, no signal, and the card on paper. Spoken to in
// WebDriver BiDi. What is asked of it in full is asked of Chromium.
import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import puppeteer from "puppeteer-core";
import { extractText, getDocumentProxy } from "unpdf";
import { serve } from "./support/server.mjs";
import { dist } from "./support/settings.mjs";

const VAN = "Drain 1.00 L, add 250 mL, pour 1.35 L concentrate"; // by hand: 50 % of 8.4 L, the additive counted as water
const FIELDS = [["volume", "8.4"], ["missing", "0,6"], ["percent", "42"], ["coldest", "-25"]];

const profile = await mkdtemp(join(tmpdir(), "pourcard-firefox-"));
let site = await serve(dist);
const firefox = await puppeteer.launch({
  browser: "firefox",
  executablePath: process.env.POURCARD_FIREFOX,
  userDataDir: profile,
  headless: true,
  // A container has no room of its own to lock pages in.
  env: { ...process.env, MOZ_DISABLE_CONTENT_SANDBOX: "1" },
});
const page = await firefox.newPage();
const wrong = [];
page.on("console", (message) => {
  if (["error", "warn"].includes(message.type())) wrong.push(message.text());
});
page.on("pageerror", (error) => wrong.push(String(error)));

const plain = (text) => text.replaceAll("\u00a0", " ");
const text = async (selector) => plain(await page.$eval(selector, (found) => found.innerText).catch(() => ""));

/** Until it holds: how long that takes is not asked. */
async function until(what, holds) {
  for (let turns = 0; turns < 600; turns += 1) {
    if (await holds().catch(() => false)) return;
    await new Promise((go) => setTimeout(go, 100));
  }
  throw new Error(`Firefox: no ${what} in a minute; the page says: ${await text(".bar-line")}`);
}

const says = (selector, words) => until(`${selector} with ${words}`, async () => (await text(selector)).includes(words));
const stands = () => page.waitForSelector("html[data-page=stands]", { timeout: 60_000 });

/** Somewhere else first: an address that differs in its fragment alone loads nothing. */
async function open(fragment = "") {
  await page.goto("about:blank");
  await page.goto(site.url + fragment);
  await stands();
}

/** By keyboard alone: from field to field with Tab until it is the one, then over what stands in it. */
async function typed(id, keys) {
  for (let fields = 0; (await page.evaluate(() => document.activeElement.id)) !== id; fields += 1) {
    assert.ok(fields < 300, `no way to #${id} by Tab`);
    await page.keyboard.press("Tab");
  }
  await page.keyboard.down("Control");
  await page.keyboard.press("a");
  await page.keyboard.up("Control");
  await page.keyboard.type(keys);
}

async function byKeyboard() {
  await open("#fresh");
  await says(".bar-line", "Still needed");
  for (const [id, keys] of FIELDS) await typed(id, keys);
  for (let fields = 0; !(await page.evaluate(() => document.activeElement.matches(".stock-tick input"))); fields += 1) {
    assert.ok(fields < 300, "no way to the first product by Tab");
    await page.keyboard.press("Tab");
  }
  await page.keyboard.press(" ");
  await says(".headline", "concentrate");
}

async function withoutSignal() {
  const answer = await text(".headline");
  await until("worker", () => page.evaluate(() => Boolean(navigator.serviceWorker.controller)));
  await site.stop();
  await page.reload();
  await stands();
  assert.equal(await page.$eval("#volume", (field) => field.value), "8.4");
  await until("the answer kept", async () => (await text(".headline")) === answer);
}

/** Words that are drawn, and words that are set, are on the paper. */
async function onPaper() {
  await says(".bar-line", VAN);
  // What is read out of the curve under a pointer has no place on paper.
  const drawn = await page.$$eval(".card svg text:not(.read-out)", (found) => found.map((one) => one.textContent));
  assert.ok(drawn.length > 0, "the card has no drawing with words");
  const pdf = await getDocumentProxy(new Uint8Array(await page.pdf({ width: "21cm", height: "29.7cm" })));
  const squeezed = (words) => plain(words).replaceAll(/\s/g, "");
  const paper = squeezed((await extractText(pdf, { mergePages: true })).text);
  for (const words of [await text(".headline"), ...drawn]) {
    assert.ok(paper.includes(squeezed(words)), `not on paper: ${words}`);
  }
}

try {
  await open();
  await page.click(".head .note-line .link");
  await says(".bar-line", VAN);
  await onPaper();
  await byKeyboard();
  await withoutSignal();
  assert.deepEqual(wrong, []);
  console.log(`the example, the card on paper, a job by keyboard, and no signal: as in Chromium. ${await firefox.version()}`);
} finally {
  await firefox.close();
  await site.stop();
  await rm(profile, { recursive: true, force: true, maxRetries: 5 });
}
