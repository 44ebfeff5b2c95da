// Starts the page and stands by when it cannot go on.
//
// Kept apart from the compiled page on purpose: a page that stops, or never starts, must still be able to say so,
// hand over what is kept, and take an update. Boxes and their words are in index.html.

const KEPT = "pourcard"; // what the page keeps on the device goes by names that begin so

const element = (id) => document.getElementById(id);
const show = (id, shown = true) => {
  element(id).hidden = !shown;
};

// ---- The page

async function start() {
  if (typeof WebAssembly !== "object") {
    show("no-wasm");
    return;
  }
  // The page draws itself in a task after the module's own. A drawing that failed has said so by then.
  const drawn = new MutationObserver(() => {
    drawn.disconnect();
    document.documentElement.dataset.page ??= "stands";
  });
  drawn.observe(element("page"), { childList: true });
  try {
    const { default: run } = await import("./pourcard.js");
    await run({ module_or_path: new URL("./pourcard_bg.wasm", import.meta.url) });
    takeFiles();
  } catch (error) {
    stopped(error);
  }
}

try {
  // How amounts of money are written here: for the page to read off.
  globalThis.pourcardMoney = new Intl.NumberFormat(navigator.language, { style: "currency", currency: "EUR" }).format(1234.5);
} catch {
  // It says nothing: with a point, the currency in front.
}

// ---- Files from outside: opened with the page by the system, or dropped on it

/** Gives files to the page's own import, which says what it takes and what it refuses. It is drawn once its fold is open. */
async function hand(files) {
  if (files.length === 0) return;
  let input;
  for (let turns = 0; turns < 60 && !(input = document.querySelector(".jobs-in")); turns += 1) {
    document.querySelector(".jobs-fold")?.toggleAttribute("open", true);
    await new Promise(requestAnimationFrame);
  }
  if (!input) return; // the page stopped
  const chosen = new DataTransfer();
  for (const file of files) chosen.items.add(file);
  input.files = chosen.files;
  input.dispatchEvent(new Event("change", { bubbles: true }));
}

function takeFiles() {
  globalThis.launchQueue?.setConsumer(async ({ files }) => {
    hand(await Promise.all(files.map((handle) => handle.getFile())));
  });
  const carriesFiles = (event) => event.dataTransfer?.types.includes("Files");
  addEventListener("dragover", (event) => {
    if (carriesFiles(event)) event.preventDefault();
  });
  addEventListener("drop", (event) => {
    if (!carriesFiles(event)) return;
    event.preventDefault();
    hand([...event.dataTransfer.files]);
  });
}

// ---- The part of the page that a keyboard laid over it leaves in sight

const seen = globalThis.visualViewport;
function follow() {
  const covered = seen.scale > 1.01 ? 0 : innerHeight - seen.height - seen.offsetTop; // not by a finger that zooms
  document.documentElement.style.setProperty("--covered", `${Math.max(0, Math.round(covered))}px`);
}
for (const what of ["resize", "scroll"]) seen?.addEventListener(what, follow);

// ---- The focus never falls to the body: what held it may go, with a row that is removed or a button that is used up

let held = [];
const CAN = "a[href], button:not(:disabled), summary, input, select";
addEventListener("focusin", ({ target }) => {
  held = [];
  for (let at = target; at && at !== document.body; at = at.parentElement) held.push(at);
});
new MutationObserver(() => {
  const now = document.activeElement;
  if (held.length === 0 || (held[0].isConnected && !held[0].disabled)) return; // still there, or put down by the user
  if (now !== document.body && now !== held[0]) return; // a button that was used up holds it a little longer
  for (const at of held) {
    const next = at.isConnected && [...at.querySelectorAll(CAN)].find((one) => one.checkVisibility());
    if (next) return next.focus();
  }
}).observe(element("page"), { childList: true, subtree: true, attributeFilter: ["disabled"] });

// ---- Stopped

function stopped(error) {
  element("page").inert = true;
  document.documentElement.dataset.page = "stopped";
  // The page's own panic message, where there is one, says more than the trap that follows it.
  const detail = element("crash-detail");
  detail.textContent ||= String(error);
  show("update", false);
  show("offline-ready", false);
  const any = Object.keys(kept()).length > 0;
  show("crash-kept", any);
  show("crash-save", any);
  show("crash-lost", !any);
  show("crash");
  element("crash-title").focus(); // and into sight
}

addEventListener("error", (event) => {
  // Only what our own files threw: extensions and resize notices come here too.
  if (event.error && event.filename.startsWith(location.origin)) stopped(event.error);
});
addEventListener("unhandledrejection", (event) => {
  if (globalThis.WebAssembly && event.reason instanceof WebAssembly.RuntimeError) stopped(event.reason);
});

element("crash-reload").addEventListener("click", () => location.reload());
element("crash-fresh").addEventListener("click", () => {
  location.hash = "fresh"; // the page opens an empty job, and leaves the kept ones where they are
  location.reload();
});
element("crash-save").addEventListener("click", () => {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([JSON.stringify(kept(), null, 1)], { type: "application/json" }));
  link.download = "pourcard-kept.json";
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
});

function kept() {
  const found = {};
  try {
    for (const [name, text] of Object.entries(localStorage)) {
      if (name.startsWith(KEPT)) found[name] = text;
    }
  } catch {
    // The browser denies storage: nothing is kept.
  }
  return found;
}

// ---- Threads: the one that does long work, and the one that keeps the page for offline use

const THREADS = ["sw.js", "./src/browser/background.js"];
const policy = globalThis.trustedTypes?.createPolicy("pourcard-worker", {
  createScriptURL: (name) => THREADS.find((known) => known === name) ?? "",
});
const script = (name) => (policy ? policy.createScriptURL(name) : name);

// For the page to call: only the policy above may make the address of a script.
globalThis.pourcardBackground = () =>
  new Worker(script("./src/browser/background.js"), { type: "module" });

// ---- Without a signal, and updates

let reloading = false;

async function keepOffline() {
  const workers = navigator.serviceWorker;
  const address = script("sw.js");
  let waiting = null;
  let controlled = Boolean(workers.controller);
  const ready = (worker) => {
    waiting = worker;
    show("update");
  };

  workers.addEventListener("controllerchange", () => {
    if (reloading) location.reload();
    else if (controlled) ready(null); // another tab took the update: this one still runs the old page
    controlled = true;
  });
  element("update-now").addEventListener("click", () => {
    if (reloading) return;
    reloading = true;
    if (waiting) waiting.postMessage("take over");
    else location.reload();
  });
  element("update-later").addEventListener("click", () => show("update", false));

  const registration = await workers.register(address, { updateViaCache: "none" });
  if (registration.waiting && controlled) ready(registration.waiting);
  registration.addEventListener("updatefound", () => {
    const worker = registration.installing;
    const first = !registration.active;
    worker.addEventListener("statechange", () => {
      if (worker.state === "installed" && !first) ready(worker);
      // Said of a page that works, and of no other.
      if (worker.state === "activated" && first && document.documentElement.dataset.page === "stands") {
        show("offline-ready");
        setTimeout(() => show("offline-ready", false), 6_000);
      }
    });
  });
  // A page left open for days asks again when it comes back into view.
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") registration.update().catch(() => {});
  });
}

start();
if ("serviceWorker" in navigator) {
  // After the first load, so that the two don't compete for the line. Denied (a private window): online only.
  const begin = () => keepOffline().catch(() => {});
  if (document.readyState === "complete") begin();
  else addEventListener("load", begin, { once: true });
}
