// One real Chromium. `cargo xtask test` says which, and where results go; see support/settings.mjs.
import { defineConfig } from "@playwright/test";
import { chromium, flags, results } from "./support/settings.mjs";

export default defineConfig({
  testDir: ".",
  testMatch: "*.spec.mjs",
  outputDir: results,
  forbidOnly: Boolean(process.env.CI),
  fullyParallel: true,
  workers: 2,
  retries: 0,
  // Long enough for a machine with other work to do: the verdict is not to depend on how fast it is.
  timeout: 180_000,
  expect: { timeout: 60_000 },
  reporter: "list",
  use: {
    launchOptions: { executablePath: chromium, args: flags },
    viewport: { width: 390, height: 844 },
    trace: process.env.POURCARD_TRACE ? "retain-on-failure" : "off",
  },
});
