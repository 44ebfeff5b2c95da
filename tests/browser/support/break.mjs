// Ways to break the page from outside, with no door in the page itself.

/** From now on nothing can be inserted into the page's root: the next drawing that inserts a node panics. */
export function denyDrawing(page) {
  return page.evaluate(denied);
}

/** The same before the page starts. */
export function denyDrawingFromTheStart(page) {
  return page.addInitScript(denied);
}

function denied() {
  for (const method of ["insertBefore", "appendChild"]) {
    const real = Node.prototype[method];
    Node.prototype[method] = function (...args) {
      if (this.isConnected && document.getElementById("page")?.contains(this)) throw new Error("drawing denied by the test");
      return real.apply(this, args);
    };
  }
}
