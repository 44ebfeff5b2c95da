// The project's own server, started and stopped by the tests, so that its headers are what is tested.
import { spawn } from "node:child_process";
import { cp, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { xtask } from "./settings.mjs";

/** Serve `folder`; port 0 picks a free one. */
export async function serve(folder, port = 0) {
  const child = spawn(xtask, ["serve", "--no-build", "--dir", folder, "--port", String(port)], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const gone = new Promise((resolve) => child.once("exit", resolve));
  const url = await new Promise((resolve, reject) => {
    let said = "";
    child.once("error", reject);
    gone.then((code) => reject(new Error(`the server ended (${code}): ${said}`)));
    child.stdout.on("data", (chunk) => {
      said += chunk;
      const found = said.match(/http:\/\/\S+/);
      if (found) resolve(found[0]);
    });
  });
  return {
    url,
    port: Number(new URL(url).port),
    async stop() {
      child.kill();
      await gone;
    },
  };
}

/** A copy of a finished folder that a test may change. */
export async function copyOf(folder) {
  const copy = await mkdtemp(join(tmpdir(), "pourcard-site-"));
  await cp(folder, copy, { recursive: true });
  return { folder: copy, remove: () => rm(copy, { recursive: true, force: true }) };
}

/** Put another finished folder in a copy's place. */
export async function swap(copy, folder) {
  await rm(copy.folder, { recursive: true });
  await cp(folder, copy.folder, { recursive: true });
}
