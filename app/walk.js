/** The way along the bench: the places in the order of the weekend, always at hand, and the way on at the end of each. */
import { desk, on, step } from "./desk.js";
import { button, h, renew, the } from "./dom.js";

/** Each place: what it is called, and what is done there. */
export const PLACES = /** @type {const} */ ([
  ["start", "Start", "say what it is"],
  ["table", "Table", "decide"],
  ["yard", "Yard", "buy, bring home"],
  ["saw", "Saw", "cut"],
  ["bench", "Bench and ground", "put together, set out"],
  ["gate", "Gate", "hand on, ask why"],
]);

export function walk() {
  on("plan", draw);
  draw();
  addEventListener("scroll", here, { passive: true });
}

function draw() {
  const open = desk.plan !== null;
  const back = desk.plan?.done.at(-1);
  renew(the("walk"), open && [
    h("ol", { class: "walk" }, PLACES.map(([name, title, what]) => h("li", {}, h("a", { href: `#${name}`, "data-key": name }, title), " ", h("span", { class: "what" }, what)))),
    back && button("Undo", () => step("undo"), { "data-key": "walk-undo", class: "back", title: `Take back: ${back.what}`, "aria-label": `Undo: ${back.what}` })]);
  for (const [name] of PLACES.slice(1)) the(name).hidden = !open;
  for (const element of document.querySelectorAll(".onward")) element.classList.toggle("hidden-way", !open);
  here();
}

let due = false;

/** Marks the place that is in view. */
function here() {
  if (due) return;
  due = true;
  requestAnimationFrame(() => {
    due = false;
    const line = innerHeight / 3;
    const now = PLACES.findLast(([name]) => !the(name).hidden && the(name).getBoundingClientRect().top <= line)?.[0] ?? PLACES[0][0];
    for (const link of document.querySelectorAll("#walk a")) {
      const is = link.getAttribute("href") === `#${now}`;
      if (is === link.hasAttribute("aria-current")) continue;
      link.toggleAttribute("aria-current", is);
      if (is) link.setAttribute("aria-current", "location");
      const row = /** @type {HTMLElement | null} */ (link.closest("ol"));
      if (is && row && row.scrollWidth > row.clientWidth) row.scrollLeft = /** @type {HTMLElement} */ (link.parentElement).offsetLeft - 24;
    }
  });
}

/** The sign at the head of a place. @param {string} name */
export function sign(name) {
  const place = PLACES.find(([other]) => other === name) ?? PLACES[0];
  return h("p", { class: "sign" }, place[1], " ", h("span", { class: "what" }, place[2]));
}

/** The way on from a place, and back. @param {string} name */
export function onward(name) {
  const at = PLACES.findIndex(([other]) => other === name);
  const to = (/** @type {number} */ place, /** @type {string} */ words) => (PLACES[place] ? h("a", { href: `#${PLACES[place][0]}` }, words.replace("…", PLACES[place][1])) : null);
  return h("p", { class: "onward" }, to(at - 1, "← back to …"), to(at + 1, "on to … →"));
}
