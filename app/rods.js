/** All rods, and what a drag on one does to the others. */
import { desk, drag, move, on } from "./desk.js";
import { h, renew } from "./dom.js";
import { Rod } from "./rod.js";

/** @param {HTMLElement} picture what follows the rods */
export function rods(picture) {
  const line = h("p", { class: "line", id: "drag-line", hidden: true });
  const list = h("div", { class: "rods" });
  /** @type {Map<string, Rod>} */
  const all = new Map();

  on("plan", () => desk.settled || (all.clear(), renew(list)));
  on("answer", () => {
    line.hidden = true;
    const sizes = (desk.settled?.sizes ?? []).filter((/** @type {any} */ size) => size.to > size.from);
    for (const name of all.keys()) if (!sizes.some((/** @type {any} */ size) => size.name === name)) all.delete(name);
    for (const size of sizes) {
      const rod = all.get(size.name) ?? new Rod(size.name, { moved, let_go, back });
      all.set(size.name, rod);
      rod.settled(size, desk.settled.unit, desk.settled.currency, desk.settled.step);
    }
    const elements = sizes.map((/** @type {any} */ size) => all.get(size.name)?.element);
    if (elements.some((/** @type {Element} */ element, /** @type {number} */ at) => list.children[at] !== element) || list.children.length !== elements.length) renew(list, elements);
  });

  /** @param {string} name @param {number} at */
  async function moved(name, at) {
    const answer = await drag({ [name]: at });
    if (!answer || !all.get(name)?.held) return;
    for (const size of answer.sizes) if (size.name !== name) all.get(size.name)?.follow(size.at, size.shown);
    line.textContent = answer.line;
    line.hidden = false;
    all.get(name)?.say(answer.sizes.find((/** @type {any} */ size) => size.name === name));
  }

  /** @param {string} name @param {number} at */
  async function let_go(name, at) {
    if (!(await move({ [name]: at }, `${name.replaceAll(".", " ")} by the rod`))) back();
  }

  function back() {
    line.hidden = true;
    for (const rod of all.values()) rod.rest();
    drag({});
  }

  return h(
    "section",
    { "aria-labelledby": "h-rods", id: "rods" },
    h("h2", { id: "h-rods" }, "Where it comes out"),
    h("p", {}, "Each ruler is notched where everything that hangs on that size comes out; the lower figure is what boards, sheets and units cost there. Draw the mark along it, or use the arrow keys: to the next notch, with Shift one step of the tape."),
    line,
    h("div", { class: "beside" }, picture, list),
  );
}
