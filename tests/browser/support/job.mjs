// The job on the page, and the links to it.
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { deflateRawSync } from "node:zlib";

const links = join(import.meta.dirname, "../../links");

/** Open a fold, if it is not. */
export async function openFold(page, name) {
  const fold = page.locator("details.fold", { has: page.locator("summary", { hasText: name }) });
  if (!(await fold.evaluate((element) => element.open))) await fold.locator("summary").first().click();
}

/** The job file the page writes. */
export async function exported(page) {
  await openFold(page, "Jobs");
  const button = page.getByRole("button", { name: "Export job file" });
  const [download] = await Promise.all([page.waitForEvent("download"), button.click()]);
  return readFile(await download.path(), "utf8");
}

/** The links that must open for ever, each with the text of the job it holds. */
export async function goldenLinks() {
  const lines = (await readFile(join(links, "golden.txt"), "utf8")).trim().split("\n");
  const golden = lines.filter((line) => !line.startsWith("# ")).map((line) => line.split(" "));
  return Promise.all(golden.map(async ([file, link]) => ({ file, link, text: await readFile(join(links, file), "utf8") })));
}

/** A text packed as a link, by Node's zlib. */
export const linkOf = (text) => `#job=1.${deflateRawSync(Buffer.from(text)).toString("base64url")}`;

/** Keep what the page copies where a test finds it: a real clipboard is shared by all tests. */
export async function holdClipboard(context) {
  await context.addInitScript(() => {
    navigator.clipboard.writeText = async (text) => void (globalThis.copied = text);
  });
  return (page) => page.evaluate(() => globalThis.copied);
}
