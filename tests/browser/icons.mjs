// Draws the home-screen pictures from styles/icons/icon.svg: `node icons.mjs`. Run by hand when the drawing changes;
// the pictures are committed.
import { readFile } from "node:fs/promises";
import { join, resolve } from "node:path";
import { chromium } from "@playwright/test";
import { chromium as executablePath, flags } from "./support/settings.mjs";

const folder = resolve(import.meta.dirname, "../../styles/icons");
const svg = await readFile(join(folder, "icon.svg"), "utf8");
const PAPER = "#f3f0e8";

// A maskable picture may lose everything outside the middle four fifths; Apple rounds the corners itself.
const PICTURES = [
  { name: "icon-192", size: 192, share: 1, paper: false },
  { name: "icon-512", size: 512, share: 1, paper: false },
  { name: "icon-180", size: 180, share: 1, paper: true },
  { name: "icon-maskable", size: 512, share: 0.78, paper: true },
];

const browser = await chromium.launch({ executablePath, args: flags });
for (const { name, size, share, paper } of PICTURES) {
  const page = await browser.newPage({ viewport: { width: size, height: size } });
  const side = size * share;
  await page.setContent(
    `<body style="margin:0;display:grid;place-items:center;height:100vh;background:${paper ? PAPER : "transparent"}">` +
      `<div style="width:${side}px;height:${side}px">${svg}</div>`,
  );
  await page.screenshot({ path: join(folder, `${name}.png`), omitBackground: true });
  await page.close();
}
await browser.close();
