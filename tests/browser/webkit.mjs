// The page in WebKit, the engine of nearly every browser on an iPhone, for `cargo xtask test --deep`. Spoken to in WebDriver
// (W3C), which needs no package; the driver is Debian's. What is asked of it in full is asked of Chromium.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { serve } from "./support/server.mjs";
import { goldenLinks } from "./support/job.mjs";
import { dist } from "./support/settings.mjs";

const BROWSERS = ["/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser", "/usr/lib/aarch64-linux-gnu/webkit2gtk-4.1/MiniBrowser"];
const DRIVER = 4_471; // a port
const VAN = "Drain 1.00 L, add 250 mL, pour 1.35 L concentrate"; // an independent mass balance's
const CONTROL = "\uE009"; // the key, by the standard's code
const ELEMENT = "element-6066-11e4-a52e-4f735466cecf"; // the standard's name for a reference to one

const site = await serve(dist);
const display = ["-a", "-s", "-screen 0 1400x1000x24"];
const driver = spawn("xvfb-run", [...display, "WebKitWebDriver", `--port=${DRIVER}`], {
  detached: true, // so that what it starts can be ended with it
  stdio: "ignore",
  // A container has neither a graphics card nor a room of its own to lock pages in.
  env: { ...process.env, WEBKIT_DISABLE_COMPOSITING_MODE: "1", WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS: "1" },
});
let session;

/** One command of the protocol, and its value. */
async function call(method, path, body) {
  const headers = { "Content-Type": "application/json" };
  const reply = await fetch(`http://127.0.0.1:${DRIVER}${path}`, { method, headers, body: body && JSON.stringify(body) });
  const { value } = await reply.json();
  if (!reply.ok) throw new Error(`${method} ${path}: ${value.error}: ${value.message}`);
  return value;
}

const command = (path, body = {}) => call("POST", `/session/${session}${path}`, body);
const run = (expression) => command("/execute/sync", { script: `return ${expression}`, args: [] });
const text = async (selector) => (await run(`document.querySelector(${JSON.stringify(selector)})?.innerText ?? ""`)).replaceAll("\u00a0", " ");

async function until(what, holds) {
  for (let turns = 0; turns < 600; turns += 1) {
    if (await holds().catch(() => false)) return;
    await new Promise((go) => setTimeout(go, 100));
  }
  throw new Error(`WebKit: no ${what} in a minute; the page says: ${await text(".bar-line")}`);
}

const says = (selector, words) => until(`${selector} with ${words}`, async () => (await text(selector)).includes(words));

/** Somewhere else first: an address that differs in its fragment alone loads nothing. */
async function open(fragment = "") {
  await command("/url", { url: "about:blank" });
  await command("/url", { url: site.url + fragment });
  await stands();
}

async function stands() {
  await until("page that stands", async () => (await run("document.documentElement.dataset.page")) === "stands");
  await run("void (globalThis.thrown = [], addEventListener('error', (event) => thrown.push(event.message)))");
}

const nothingThrown = async () => assert.deepEqual(await run("globalThis.thrown"), []);

async function element(selector) {
  return (await command("/element", { using: "css selector", value: selector }))[ELEMENT];
}

async function press(selector) {
  const found = await element(selector);
  await run(`void document.querySelector(${JSON.stringify(selector)}).scrollIntoView({ block: "center", behavior: "instant" })`);
  await command(`/element/${found}/click`);
  return found;
}

/** Over what stands in a field. */
async function type(id, keys) {
  const found = await press(`#${id}`);
  await command(`/element/${found}/value`, { text: `${CONTROL}a` });
  await command(`/element/${found}/value`, { text: keys });
}

async function example() {
  await open();
  await press(".head .note-line .link");
  await says(".bar-line", VAN);
  await nothingThrown();
}

/** Links unpack by the browser's own streams; what they hold is answered. */
async function links() {
  for (const { link, text: job } of await goldenLinks()) {
    await open(link);
    const { title } = JSON.parse(job);
    await until(`job ${title}`, async () => (await run("document.querySelector('.title input').value")) === title);
    await until(`answer to ${title}`, async () => (await text(".headline")).length > 0);
    await nothingThrown();
  }
}

async function typed() {
  await open("#fresh");
  await says(".bar-line", "Still needed");
  for (const [id, keys] of [["volume", "8.4"], ["missing", "0,6"], ["percent", "42"], ["coldest", "-25"]]) await type(id, keys);
  await press(".stock-tick input");
  await says(".headline", "concentrate");
  const answer = await text(".headline");
  await type("volume", "eight");
  await says(".error", "Only a number goes here");
  await type("volume", "8.4");
  await until("the answer again", async () => (await text(".headline")) === answer);
  // What is on the device is there after a reload.
  await command("/refresh");
  await stands();
  assert.equal(await run("document.querySelector('#volume').value"), "8.4");
  await until("the answer kept", async () => (await text(".headline")) === answer);
  await nothingThrown();
}

async function withoutSignal() {
  await until("worker", () => run("Boolean(navigator.serviceWorker.controller)"));
  await site.stop();
  await command("/refresh");
  await stands();
  await type("volume", "9");
  await says(".headline", "concentrate");
  await nothingThrown();
}

try {
  await until("the driver", async () => (await call("GET", "/status")).ready);
  const options = { binary: BROWSERS.find((place) => existsSync(place)), args: ["--automation"] };
  session = (await call("POST", "/session", { capabilities: { alwaysMatch: { "webkitgtk:browserOptions": options } } })).sessionId;
  await example();
  await links();
  await typed();
  await withoutSignal();
  console.log(`the example, links, a job by keyboard, errors, keeping, and no signal: as in Chromium. ${await run("navigator.userAgent")}`);
} finally {
  if (session) await call("DELETE", `/session/${session}`).catch(() => {});
  process.kill(-driver.pid);
  await site.stop();
}
