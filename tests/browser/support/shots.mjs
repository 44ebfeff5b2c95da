// Pictures for people to look at. They are written only where POURCARD_SHOTS names a folder.
import { join } from "node:path";
import { shots } from "./settings.mjs";

/** A picture of the whole page called `name`, in light and dark. */
export async function picture(page, name) {
  if (!shots) return;
  await page.evaluate(walk);
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    await page.screenshot({ path: join(shots, `${name}-${colorScheme}.png`), fullPage: true });
  }
}

/** Down the page and back: what is far below is laid out only once it comes near. */
async function walk() {
  const { scrollY } = globalThis;
  for (let y = 0; y < document.documentElement.scrollHeight; y += innerHeight) {
    scrollTo({ top: y, behavior: "instant" });
    await new Promise(requestAnimationFrame);
  }
  scrollTo({ top: scrollY, behavior: "instant" });
}
