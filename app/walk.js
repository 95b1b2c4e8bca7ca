/** The way along the bench: the places in the order of the weekend, at the head and at the end of each. */
import { desk, on } from "./desk.js";
import { h, renew, the } from "./dom.js";

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
}

function draw() {
  const open = desk.plan !== null;
  renew(the("walk"), open && h("ol", { class: "walk" }, PLACES.map(([name, title, what]) => h("li", {}, h("a", { href: `#${name}`, "data-key": name }, title), " ", h("span", { class: "what" }, what)))));
  for (const [name] of PLACES.slice(1)) the(name).hidden = !open;
}

/** The sign at the head of a place. @param {string} name */
export function sign(name) {
  const place = PLACES.find(([other]) => other === name) ?? PLACES[0];
  return h("p", { class: "sign" }, place[1], " ", h("span", { class: "what" }, place[2]));
}

/** The way on from a place, and back. @param {string} name */
export function onward(name) {
  const at = PLACES.findIndex(([other]) => other === name);
  const to = (/** @type {number} */ place, /** @type {string} */ words) => (PLACES[place] ? h("a", { href: `#${PLACES[place][0]}` }, `${words} ${PLACES[place][1]}`) : null);
  return h("p", { class: "onward" }, to(at - 1, "← back to"), to(at + 1, "on to"), PLACES[at + 1] ? " →" : null);
}
