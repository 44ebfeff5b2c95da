// Takes the page's own pictures: `cargo xtask build`, then `node portraits.mjs`. One goes into README.md, three into the
// manifest, where a phone shows them before the page is put on its home screen. Run by hand when the look changes; the
// pictures are committed.
import { mkdir } from "node:fs/promises";
import { join, resolve } from "node:path";
import { chromium } from "@playwright/test";
import { serve } from "./support/server.mjs";
import { chromium as executablePath, dist, flags } from "./support/settings.mjs";

const root = resolve(import.meta.dirname, "../..");
const PICTURES = [
  { path: "data/demo/page.png", width: 1180, height: 980, from: "top" },
  { path: "styles/screenshots/wide.png", width: 1280, height: 800, from: "top" },
  { path: "styles/screenshots/questions.png", width: 390, height: 844, from: "top" },
  { path: "styles/screenshots/card.png", width: 390, height: 844, from: "#card" },
];

await mkdir(join(root, "styles/screenshots"), { recursive: true });
const site = await serve(dist);
const browser = await chromium.launch({ executablePath, args: flags });
for (const { path, width, height, from } of PICTURES) {
  const context = await browser.newContext({ viewport: { width, height }, reducedMotion: "reduce", serviceWorkers: "block" });
  const page = await context.newPage();
  await page.goto(site.url);
  await page.getByRole("button", { name: "Show an example" }).click();
  if (from !== "top") await page.locator(from).evaluate((element) => element.scrollIntoView());
  await page.screenshot({ path: join(root, path) });
  await context.close();
}
await browser.close();
await site.stop();
