/** The one panel that says why: any number with a why opens it, from everywhere, and the numbers in it too. */
import { desk } from "./desk.js";
import { button, h, the } from "./dom.js";
import { ofCore } from "./trust.js";

const LINK = 'a.n[href^="#why-"]';

/** The names that were asked, the last one shown. @type {string[]} */
let asked = [];

export function why() {
  const panel = /** @type {HTMLDialogElement} */ (the("why"));
  document.addEventListener("click", (event) => {
    const link = /** @type {Element} */ (event.target).closest?.(LINK);
    if (!link) return;
    event.preventDefault();
    if (!panel.open) asked = [];
    asked.push(decodeURIComponent(/** @type {HTMLAnchorElement} */ (link).hash.slice("#why-".length)));
    draw(panel);
  });
  panel.addEventListener("click", (event) => event.target === panel && panel.close());
}

/** @param {string} name */
function answer(name) {
  const { whys } = desk.settled ?? {};
  const key = name in (whys ?? {}) ? name : Object.keys(whys ?? {}).find((key) => key.replace(/[^\w.-]/g, "-") === name);
  return key === undefined ? null : ofCore(whys[key]);
}

/** @param {HTMLDialogElement} panel */
function draw(panel) {
  const name = asked[asked.length - 1];
  const nodes = answer(name);
  const summary = nodes?.querySelector("summary");
  const details = nodes?.querySelector("details");
  const body = h("div", { class: "because" });
  if (details) {
    summary?.remove();
    body.append(...details.childNodes);
  } else body.append(nodes ?? "Nothing is known of this number as the plan now stands.");
  for (const element of body.querySelectorAll("[id]")) element.removeAttribute("id");
  panel.replaceChildren(
    h("h2", { id: "why-title", tabindex: -1 }, ...(summary ? summary.childNodes : [name])),
    body,
    h("p", { class: "row" }, asked.length > 1 && button("← Back", () => (asked.pop(), draw(panel))), button("Close", () => panel.close())),
  );
  if (!panel.open) panel.showModal();
  the("why-title").focus();
}
