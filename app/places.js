/** The head of the page, and in each place the sections that the core writes for it. The app's own controls stand above them. */
import { desk, on } from "./desk.js";
import { h, renew, the } from "./dom.js";
import { title } from "./plans.js";
import { ofCore } from "./trust.js";
import { onward, PLACES, sign } from "./walk.js";

/** Sections whose part the app plays itself: the rods that can be moved, the ways that can be taken, one card at a time, one panel of whys. */
const OWN = new Set(["rod", "ways", "cards", "why"]);

/** @type {Map<string, { html: string, element: HTMLElement }>} */
const shown = new Map();

export function places() {
  for (const [name] of PLACES) {
    the(name).append(sign(name), h("div", { class: "own", id: `own-${name}` }), h("div", { class: "said", id: `said-${name}` }), onward(name));
  }
  on("plan", head);
  on("answer", () => (head(), sections()));
  // While something is settled, what a drag finds stands beside the rod.
  on("picture", () => desk.settled || head());
}

/** The app's own part of a place. @param {string} name */
export const own = (name) => the(`own-${name}`);

function head() {
  const { plan, settled, refused, picture } = desk;
  const name = settled?.title ?? (plan ? title(plan) : "Scantling");
  document.title = plan ? `${name} – Scantling` : "Scantling";
  renew(
    the("head"),
    h("h1", {}, name),
    settled ? h("p", { class: "line" }, settled.line) : picture && !refused && h("p", { class: "line" }, picture.line),
    settled && h("p", { class: "proven" }, settled.proven),
    settled && stamp(settled),
    refused && h("p", { class: "stamp failed", role: "alert" }, "This cannot be as it stands. ", h("a", { href: "#refused" }, "What collides, and the ways out")),
  );
}

/** @param {any} settled */
function stamp(settled) {
  const failed = !settled.passed;
  const open = Array.isArray(settled.open) ? settled.open.length : settled.open ?? 0;
  return h("div", {},
    failed
      ? h("p", { class: "stamp failed", role: "alert" }, "The referee did ", h("strong", {}, "not"), " pass this plan: do not build from it. ", h("a", { href: "#referee" }, "What is wrong"))
      : h("p", { class: "stamp" }, "Refereed: ", h("a", { href: "#referee" }, "passed")),
    open > 0 && h("p", { class: "stamp failed" }, `Not held: ${open === 1 ? "one place has" : `${open} places have`} no screw that holds. `, h("a", { href: "#know" }, "Where, and what would do")));
}

/** Puts the core's sections in; those that are as before stay as they are, with what is open or ticked in them. */
function sections() {
  for (const [place] of PLACES) {
    const said = desk.settled?.places?.find((/** @type {any} */ other) => other.name === place);
    const now = (said?.sections ?? []).filter((/** @type {any} */ section) => section.html && !OWN.has(section.name)).map(section);
    const home = the(`said-${place}`);
    for (const old of [...home.children]) if (!now.includes(old)) old.remove();
    now.forEach((/** @type {Element} */ element, /** @type {number} */ at) => home.children[at] === element || home.insertBefore(element, home.children[at] ?? null));
  }
}

/** @param {{ name: string, title: string, html: string }} section @returns {HTMLElement} */
function section({ name, title, html }) {
  const known = shown.get(name);
  if (known?.html === html) return known.element;
  const nodes = ofCore(html);
  const whole = nodes.querySelector(`section#${CSS.escape(name)}`);
  const element = whole instanceof HTMLElement ? whole : h("section", { id: name, "aria-labelledby": `h-${name}` }, h("h2", { id: `h-${name}` }, title), nodes);
  shown.set(name, { html, element });
  return element;
}
