// axe, put into the page past its policy the way a debugger would, so that the policy stays on.
import axe from "axe-core";
import { expect } from "@playwright/test";

const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** No finding in the page as it stands, in light and in dark. */
export async function expectAccessible(page) {
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    // From the top: what has just been told of lies over what is scrolled under it.
    await page.evaluate(() => scrollTo({ top: 0, behavior: "instant" }));
    await page.evaluate(`globalThis.axe ?? (() => { ${axe.source} })()`);
    const { violations } = await page.evaluate((tags) => globalThis.axe.run(document, { runOnly: tags }), TAGS);
    const findings = violations.map(({ id, help, nodes }) => `${id}: ${help}: ${nodes.map((n) => n.html).join(" | ")}`);
    expect(findings, colorScheme).toEqual([]);
  }
}
