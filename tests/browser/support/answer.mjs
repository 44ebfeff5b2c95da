// What the project's own command answers to a job file.
import { execFile } from "node:child_process";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { xtask } from "./settings.mjs";

export async function answer(text) {
  const folder = await mkdtemp(join(tmpdir(), "pourcard-job-"));
  try {
    const file = join(folder, "job.json");
    await writeFile(file, text);
    const { stdout } = await promisify(execFile)(xtask, ["answer", file]);
    return JSON.parse(stdout);
  } finally {
    await rm(folder, { recursive: true });
  }
}
