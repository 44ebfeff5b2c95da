// The watch every test relies on must itself be able to fail.
import { test as plain } from "@playwright/test";
import { expectAccessible } from "./support/axe.mjs";
import { serve } from "./support/server.mjs";
import { dist } from "./support/settings.mjs";
import { expect, openVan, watch } from "./support/fixture.mjs";

const test = plain.extend({
  site: async ({}, use) => {
    const server = await serve(dist);
    await use(server);
    await server.stop();
  },
});

const TROUBLE = {
  "a console error": { make: () => console.error("said by the test"), seen: /said by the test/ },
  "a warning": { make: () => console.warn("warned by the test"), seen: /warned by the test/ },
  "an uncaught error": { make: () => void setTimeout(() => { throw new Error("thrown by the test"); }), seen: /thrown by the test/ },
  "a breach of the policy": { make: () => void document.body.setAttribute("style", "color: red"), seen: /policy breached: style-src-attr/ },
};

for (const [name, { make, seen }] of Object.entries(TROUBLE)) {
  test(`${name} does not go unseen`, async ({ context, page, site }) => {
    const faults = watch(context);
    await faults.ready;
    await openVan(page, site.url);
    faults.settle();
    await page.evaluate(make);
    await expect.poll(() => faults.found.join("\n")).toMatch(seen);
    expect(() => faults.settle()).toThrow(seen);
  });
}

test("a request elsewhere does not go unseen", async ({ context, page }) => {
  const faults = watch(context);
  await faults.ready;
  await context.route("http://pourcard.invalid/", (route) => route.fulfill({ body: "elsewhere" }));
  await page.goto("http://pourcard.invalid/");
  expect(() => faults.settle()).toThrow(/request elsewhere/);
});

test("a fault that was foreseen must happen", async ({ context }) => {
  const faults = watch(context);
  faults.expect(/never said/);
  expect(() => faults.settle()).toThrow(/did not happen/);
});

test("axe finds what is wrong", async ({ page, site }) => {
  await openVan(page, site.url);
  await page.evaluate(() => {
    const picture = document.createElement("img");
    picture.src = "data:,";
    document.body.append(picture);
  });
  await expect(expectAccessible(page)).rejects.toThrow(/image-alt/);
});
