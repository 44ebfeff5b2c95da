// Lighthouse, as a phone sees the page. Prints one line a category.
//
//   node lighthouse.mjs                 the categories that do not depend on the clock must be 100, layout shift 0
//   node lighthouse.mjs performance N   the performance score, median of N, with the figures behind it
import { launch } from "chrome-launcher";
import lighthouse from "lighthouse";
import { serve } from "./support/server.mjs";
import { chromium, dist, flags } from "./support/settings.mjs";

const STEADY = ["accessibility", "best-practices", "seo"];
const FIGURES = ["first-contentful-paint", "largest-contentful-paint", "total-blocking-time", "cumulative-layout-shift"];

const [what = "steady", times = "5"] = process.argv.slice(2);
const site = await serve(dist);
const browser = await launch({ chromePath: chromium, chromeFlags: ["--headless=new", ...flags], logLevel: "error" });
let failed = false;
try {
  if (what === "performance") await performance(Number(times));
  else await steady();
} finally {
  await browser.kill();
  await site.stop();
}
process.exitCode = failed ? 1 : 0;

async function look(onlyCategories, onlyAudits) {
  for (let again = 3; ; again -= 1) {
    const result = await lighthouse(site.url, { port: browser.port, logLevel: "error", onlyCategories, onlyAudits });
    const { runtimeError } = result.lhr;
    if (!runtimeError) return result.lhr;
    // The browser now and then records no start of the visit; that says nothing of the page.
    if (runtimeError.code !== "NO_NAVSTART" || again === 0) throw new Error(runtimeError.message);
  }
}

async function steady() {
  // Performance is run for its layout shift alone.
  const { categories, audits } = await look([...STEADY, "performance"]);
  for (const id of STEADY) {
    const score = Math.round(categories[id].score * 100);
    console.log(`${id} ${score}`);
    if (score === 100) continue;
    failed = true;
    for (const { id: audit, weight } of categories[id].auditRefs) {
      const { score, title, details } = audits[audit];
      if (weight > 0 && score !== null && score < 1) console.log(`  ${audit}: ${title} ${JSON.stringify(details?.items ?? [])}`);
    }
  }
  const shift = audits["cumulative-layout-shift"].numericValue;
  console.log(`layout shift ${shift}`);
  if (shift !== 0) {
    failed = true;
    console.log(`  ${JSON.stringify(audits["layout-shifts"]?.details?.items ?? [])}`);
  }
}

async function performance(count) {
  const runs = [];
  for (let i = 0; i < count; i += 1) {
    const { categories, audits } = await look(["performance"]);
    runs.push({ score: Math.round(categories.performance.score * 100), ...Object.fromEntries(FIGURES.map((id) => [id, audits[id].numericValue])) });
  }
  const median = (key) => runs.map((run) => run[key]).sort((a, b) => a - b)[Math.floor(count / 2)];
  console.log(`performance, median of ${count}: ${median("score")} (${runs.map((run) => run.score).join(", ")})`);
  for (const id of FIGURES) console.log(`  ${id}: ${Math.round(median(id) * 1000) / 1000}`);
}
