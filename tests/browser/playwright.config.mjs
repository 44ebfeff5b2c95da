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
  timeout: 60_000,
  expect: { timeout: 15_000 },
  reporter: "list",
  use: {
    launchOptions: { executablePath: chromium, args: flags },
    viewport: { width: 390, height: 844 },
    trace: process.env.POURCARD_TRACE ? "retain-on-failure" : "off",
  },
});
