// The job as a link and as a code: made on one device, opened on another that has no signal.
import jsQR from "jsqr";
import { PNG } from "pngjs";
import { expectAccessible } from "./support/axe.mjs";
import { expect, keptOffline, open, openVan, test, watch } from "./support/fixture.mjs";
import { exported, goldenLinks, holdClipboard, linkOf, openFold } from "./support/job.mjs";
import { serve } from "./support/server.mjs";
import { dist } from "./support/settings.mjs";
import { picture } from "./support/shots.mjs";

const told = (page) => page.locator(".tidings");
const card = (page) => page.locator("#card").textContent();
const title = (page) => page.getByRole("textbox", { name: "Job" });

async function showLink(page) {
  await openFold(page, "Jobs");
  await page.getByRole("button", { name: "Link and code" }).click();
  await expect(page.getByRole("button", { name: "Copy the link" })).toBeVisible();
}

/** What a camera reads off the screen. */
async function readCode(page) {
  const picture = PNG.sync.read(await page.getByRole("img", { name: /Square code/ }).screenshot());
  return jsQR(new Uint8ClampedArray(picture.data), picture.width, picture.height)?.data;
}

/** Put a link into the address of a page that stands. */
const follow = (page, link) => page.evaluate((link) => void (location.hash = link), link);

const noFragment = (page) => expect.poll(() => new URL(page.url()).hash).toBe("");

test("a link made here opens the same job and card in another profile, server stopped", async ({ browser, context, page }) => {
  const server = await serve(dist);
  const copied = await holdClipboard(context);
  const other = await browser.newContext();
  const faults = watch(other);
  try {
    await faults.ready;
    const first = await other.newPage();
    await openVan(first, server.url);
    await keptOffline(first);
    await first.close();

    await openVan(page, server.url);
    await title(page).fill("Van with a \u201cquote\u201d, é and 水");
    await showLink(page);
    await page.getByRole("button", { name: "Copy the link" }).click();
    await expect(told(page)).toContainText("The link was copied");
    const link = await copied(page);
    expect(link).toMatch(/^http:\/\/[^#]+#job=1\.[\w-]+$/);
    // Too long for a code that a phone reads at arm's length: it is left to the link.
    await expect(page.getByRole("img", { name: /Square code/ })).toHaveCount(0);

    await server.stop();
    const second = await other.newPage();
    await openVan(second, link);
    await expect(told(second)).toContainText("A job came with the link");
    await noFragment(second);
    expect(await card(second)).toBe(await card(page));
    expect(await exported(second)).toBe(await exported(page));
    await second.reload();
    await second.locator("html[data-page=stands]").waitFor();
    await expect(title(second)).toHaveValue("Van with a \u201cquote\u201d, é and 水");
    faults.settle();
  } finally {
    await other.close();
    await server.stop();
  }
});

/** A job short enough for a code. */
async function openShort(page, url) {
  await open(page, url);
  for (const [id, text] of [["volume", "8.4"], ["missing", "0.6"], ["percent", "42"], ["coldest", "-25"]]) await page.locator(`#${id}`).fill(text);
  await page.getByRole("checkbox", { name: "Concentrate", exact: true }).check();
}

test("a camera reads the link off the screen, in any colours", async ({ context, page, site }) => {
  const copied = await holdClipboard(context);
  await openShort(page, site.url);
  await showLink(page);
  await page.getByRole("button", { name: "Copy the link" }).click();
  const link = await copied(page);
  await expect.poll(() => readCode(page)).toBe(link);
  await picture(page, "link");
  await expectAccessible(page);
  for (const colorScheme of ["dark", "light"]) {
    await page.emulateMedia({ colorScheme });
    expect(await readCode(page), colorScheme).toBe(link);
  }
  await page.emulateMedia({ forcedColors: "active" });
  expect(await readCode(page), "forced colours").toBe(link);
});

test("old links open, each beside what was there", async ({ page, site }) => {
  await openVan(page, site.url);
  await title(page).fill("Mine");
  const links = await goldenLinks();
  for (const [count, { file, link, text }] of links.entries()) {
    await page.goto("about:blank");
    await openVan(page, `${site.url}${link}`);
    await expect(told(page), file).toContainText("A job came with the link");
    await noFragment(page);
    // The page spells out what a file leaves to its defaults.
    expect(JSON.parse(await exported(page)), file).toMatchObject(JSON.parse(text));
    // Two of them hold the same job.
    const jobs = new Set(links.slice(0, count + 1).map(({ text }) => text));
    await expect(page.locator(".jobs li")).toHaveCount(jobs.size);
  }
  await page.getByRole("button", { name: "Open Mine" }).click();
  await expect(title(page)).toHaveValue("Mine");
});

test("one link opened three times opens one job", async ({ page, site }) => {
  const [{ link, text }] = await goldenLinks();
  await openVan(page, site.url);
  await title(page).fill("Mine");
  for (let visit = 0; visit < 3; visit += 1) {
    await page.goto("about:blank");
    await openVan(page, `${site.url}${link}`);
    await expect(told(page)).toContainText("A job came with the link");
    await expect(title(page)).toHaveValue(JSON.parse(text).title);
  }
  await openFold(page, "Jobs");
  await expect(page.locator(".job-title")).toHaveText(["Mine"]);
  // Changed, it is no longer the link's.
  await title(page).fill("Changed");
  await follow(page, link);
  await expect(page.locator(".job-title")).toHaveText(["Mine", "Changed"]);
});

test("a link put into the address of an open page is taken in, and a place on the page is not", async ({ page, site }) => {
  await openVan(page, site.url);
  await page.locator("a.bar").click();
  expect(new URL(page.url()).hash).toBe("#card");
  const [{ link, text }] = await goldenLinks();
  await title(page).fill("Mine");
  await follow(page, link);
  await expect(title(page)).toHaveValue(JSON.parse(text).title);
  await noFragment(page);
  await openFold(page, "Jobs");
  await expect(page.getByRole("button", { name: "Open Mine" })).toBeVisible();
});

test("a link that is cut, hostile or newer is refused and changes nothing", async ({ page, site }) => {
  await openVan(page, site.url);
  await title(page).fill("Mine");
  const before = await exported(page);
  const [{ link, text }] = await goldenLinks();
  const job = (change) => linkOf(JSON.stringify({ ...JSON.parse(text), ...change }));
  const cases = [
    [link.slice(0, -40), /cut off or altered/],
    [link.slice(0, 30), /cut off or altered/],
    [`${link}AAAA`, /cut off or altered/],
    [`${link.slice(0, 60)}%${link.slice(61)}`, /cut off or altered/],
    ["#job=1.", /cut off or altered/],
    [linkOf(Buffer.from([0x7b, 0xff, 0xfe])), /cut off or altered/],
    [link.replace("job=1.", "job=7."), /newer version/],
    [job({ pourcard: 2 }), /newer version/],
    [`#job=1.${"A".repeat(40_000)}`, /longer than any job/],
    // A few kB that unfold to sixteen million.
    [linkOf(`${text}${" ".repeat(16_000_000)}`), /longer than any job/],
    [job({ shelf: 7 }), /shelf/],
    [job({ onload: "<img src=x onerror=alert(1)>" }), /onload/],
    [linkOf("[[[[[[".repeat(30_000)), /not JSON/],
  ];
  for (const [bad, why] of cases) {
    await follow(page, bad);
    await expect(told(page), bad.slice(0, 60)).toContainText(why);
    await expect(told(page)).toContainText("What was here stays as it was");
    await noFragment(page);
    await told(page).getByRole("button", { name: "Close" }).press("Enter"); // the page may still move under a pointer
    await expect(told(page)).toBeEmpty();
  }
  expect(await exported(page)).toBe(before);
  await expect(page.locator(".jobs li")).toHaveCount(0);
  await follow(page, cases[0][0]);
  await expect(told(page)).toContainText(cases[0][1]);
  await expectAccessible(page);
  await picture(page, "link-refused");
});

test("a browser that cannot pack makes a plain link, and says when it cannot unpack one", async ({ context, page, site }) => {
  const copied = await holdClipboard(context);
  await context.addInitScript(() => {
    delete globalThis.CompressionStream;
    delete globalThis.DecompressionStream;
  });
  await openVan(page, site.url);
  await title(page).fill("Mine");
  await showLink(page);
  await page.getByRole("button", { name: "Copy the link" }).click();
  await expect.poll(() => copied(page)).toContain("#job=1,");
  const text = Buffer.from((await copied(page)).split("#job=1,")[1], "base64url").toString();
  expect(JSON.parse(text)).toEqual(JSON.parse(await exported(page)));
  const [deflated, plain] = await goldenLinks();
  await follow(page, deflated.link);
  await expect(told(page)).toContainText("too old to unpack");
  await follow(page, plain.link);
  await expect(title(page)).toHaveValue(JSON.parse(plain.text).title);
});

test("the link follows what is typed, and waits while a field is broken", async ({ context, page, site }) => {
  const copied = await holdClipboard(context);
  await openShort(page, site.url);
  await showLink(page);
  const first = await readCode(page);
  const volume = page.getByRole("textbox", { name: "Capacity, filled to the mark" });
  await volume.fill("8.5.");
  await expect(page.getByRole("button", { name: "Copy the link" })).toBeHidden();
  await expect(page.getByText("A link can be made once every system is filled in")).toBeVisible();
  await volume.fill("8.5");
  await page.getByRole("button", { name: "Copy the link" }).click();
  const link = await copied(page);
  expect(link).not.toBe(first);
  expect(await readCode(page)).toBe(link);
});
