// What holds whatever the page shows: headers, policy, and what is readable when the page cannot run.
import { readdir } from "node:fs/promises";
import { copyOf, serve } from "./support/server.mjs";
import { dist } from "./support/settings.mjs";
import { denyDrawing, denyDrawingFromTheStart } from "./support/break.mjs";
import { expectAccessible } from "./support/axe.mjs";
import { picture } from "./support/shots.mjs";
import { expect, keptOffline, openVan, test } from "./support/fixture.mjs";

const CAUTIONS = [/never open a hot/i, /poison/i, /local rules/i, /label/i];

async function expectCautions(page) {
  const words = await page.locator("body").innerText();
  for (const caution of CAUTIONS) expect(words).toMatch(caution);
}

test("the page stands, without a finding", async ({ page, site }) => {
  await openVan(page, site.url);
  await expectAccessible(page);
  await picture(page, "first");
});

test("every file comes with the headers it should have", async ({ request, site }) => {
  const files = (await readdir(dist)).filter((name) => !/\.(br|gz)$|^_/.test(name));
  expect(files).toContain("sw.js");
  for (const name of files) {
    const answer = await request.get(site.url + name);
    expect(answer.status(), name).toBe(200);
    const headers = answer.headers();
    expect(headers["content-security-policy"], name).toContain("default-src 'none'");
    expect(headers["content-security-policy"], name).toContain("frame-ancestors 'none'");
    expect(headers["content-security-policy"], name).not.toContain("unsafe-inline");
    expect(headers["x-content-type-options"], name).toBe("nosniff");
    expect(headers["referrer-policy"], name).toBe("no-referrer");
    expect(headers["cross-origin-opener-policy"], name).toBe("same-origin");
    expect(headers["cross-origin-resource-policy"], name).toBe("same-origin");
    expect(headers["cross-origin-embedder-policy"], name).toBe("require-corp");
    expect(headers["content-security-policy"], name).not.toContain("data:");
    expect(headers["x-frame-options"], name).toBe("DENY");
    expect(headers["x-permitted-cross-domain-policies"], name).toBe("none");
    const hashed = /\.[0-9a-f]{16}\.\w+$/.test(name);
    expect(headers["cache-control"], name).toBe(hashed ? "public, max-age=31536000, immutable" : "no-cache");
  }
});

test("the notices of what ships are at the page's foot", async ({ page, site, faults }) => {
  faults.allow(/404/); // a browser asks beside a text for the icon of its address
  await openVan(page, site.url);
  await page.getByRole("link", { name: "Licences of what this page is built from" }).click();
  await expect(page.getByText("Permission is hereby granted, free of charge").first()).toBeVisible();
  const words = await page.locator("body").innerText();
  for (const name of ["yew 0.", "wasm-bindgen 0.", "serde_json 1.", "The Rust standard library"]) expect(words).toContain(name);
});

test("the module is sent packed and as what it is", async ({ request, site }) => {
  const module = (await readdir(dist)).find((name) => name.endsWith(".wasm"));
  for (const [accepts, encoding] of [["gzip, br", "br"], ["gzip", "gzip"], ["identity", undefined]]) {
    const answer = await request.get(site.url + module, { headers: { "accept-encoding": accepts } });
    expect(answer.headers()["content-encoding"], accepts).toBe(encoding);
    expect(answer.headers()["content-type"]).toBe("application/wasm");
    expect((await answer.body()).subarray(0, 4)).toEqual(Buffer.from("\0asm"));
  }
});

test("the policy stops what it should", async ({ page, site, faults }) => {
  await openVan(page, site.url);
  faults.expect(/TrustedScript/);
  faults.expect(/TrustedHTML/);
  faults.expect(/policy breached: style-src-elem|inline style/i);
  faults.expect(/policy breached: connect-src|Fetch API cannot load|Connecting to/);
  faults.allow(/policy breached: require-trusted-types-for/);
  const outcome = await page.evaluate(async () => {
    const script = document.createElement("script");
    try {
      script.textContent = "globalThis.ran = true";
      document.head.append(script);
    } catch {
      // Refused before it could be put in.
    }
    const written = document.createElement("style");
    written.textContent = "body { display: none }";
    document.head.append(written);
    const sent = await fetch("http://pourcard.invalid/").then(() => true, () => false);
    let markup = true;
    try {
      document.createElement("p").innerHTML = "<b>x</b>";
    } catch {
      markup = false;
    }
    return { ran: globalThis.ran ?? false, hidden: getComputedStyle(document.body).display === "none", sent, markup };
  });
  expect(outcome).toEqual({ ran: false, hidden: false, sent: false, markup: false });
});

test("without WebAssembly the page says so and the cautions stay readable", async ({ page, site, faults }) => {
  faults.allow(/preloaded using link preload but not used/);
  await page.addInitScript(() => delete globalThis.WebAssembly);
  await page.goto(site.url);
  await expect(page.getByRole("heading", { name: "This browser can't run the page" })).toBeVisible();
  await expectCautions(page);
  await keptOffline(page);
  await expect(page.getByText("Works offline from now on.")).toBeHidden();
  await expectAccessible(page);
  await picture(page, "no-wasm");
});

test.describe("without scripts", () => {
  test.use({ javaScriptEnabled: false });
  test("the page says so and the cautions stay readable", async ({ page, site, faults }) => {
    faults.allow(/preloaded using link preload but not used/);
    await page.goto(site.url);
    await expect(page.getByText("needs scripts")).toBeVisible();
    await expectCautions(page);
  });
});

test("a panic shows the crash box with its words, and nothing behind it looks alive", async ({ page, site, faults }) => {
  faults.expect(/drawing denied by the test/);
  faults.expect(/uncaught: .*unreachable/);
  await denyDrawingFromTheStart(page);
  await page.addInitScript(() => localStorage.setItem("pourcard test", "8.4 typed"));
  await page.goto(site.url);

  await expect(page.getByRole("alert", { name: "The page stopped" })).toBeVisible();
  await expect(page.locator("#crash-detail")).toContainText("panicked");
  await expect(page.locator("#page")).toHaveAttribute("inert");
  await expectAccessible(page);
  await picture(page, "stopped");

  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save what is kept to a file" }).click(),
  ]);
  const chunks = [];
  for await (const chunk of await download.createReadStream()) chunks.push(chunk);
  expect(JSON.parse(Buffer.concat(chunks).toString())).toEqual({ "pourcard test": "8.4 typed" });
});

test("a panic far down the page, with nothing kept, comes into sight and offers no empty file", async ({ page, site, faults }) => {
  faults.expect(/drawing denied by the test/);
  faults.expect(/uncaught: .*unreachable/);
  await page.addInitScript(() => {
    Object.defineProperty(globalThis, "localStorage", { get: () => null });
  });
  await openVan(page, site.url);
  await page.locator(".step label.tick").first().click();
  await page.locator("#card .card-foot").scrollIntoViewIfNeeded();
  await denyDrawing(page);
  await page.getByRole("textbox", { name: "Actual amount" }).last().fill("0.3");
  await expect(page.getByRole("heading", { name: "The page stopped" })).toBeInViewport();
  await expect(page.getByText("Nothing of it was kept")).toBeVisible();
  await expect(page.getByRole("button", { name: "Save what is kept" })).toBeHidden();
});

test("a module that never arrives shows the crash box too", async ({ page, faults }) => {
  const copy = await copyOf(dist);
  const server = await serve(copy.folder);
  try {
    const { rm } = await import("node:fs/promises");
    const names = (await readdir(copy.folder)).filter((name) => name.includes(".wasm"));
    await Promise.all(names.map((name) => rm(`${copy.folder}/${name}`)));
    faults.expect(/404/);
    await page.goto(server.url);
    await expect(page.getByRole("alert", { name: "The page stopped" })).toBeVisible();
    await expectCautions(page);
  } finally {
    await page.close(); // it may still ask for its icon or its worker
    await server.stop();
    await copy.remove();
  }
});
