// Pictures for people to look at. They are written only where POURCARD_SHOTS names a folder.
import { join } from "node:path";
import { shots } from "./settings.mjs";

/** A picture of the whole page called `name`, in light and dark. */
export async function picture(page, name) {
  if (!shots) return;
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    await page.screenshot({ path: join(shots, `${name}-${colorScheme}.png`), fullPage: true });
  }
}
