/** The ways in which everything comes out: one tap takes one, and its sizes become the wishes. */
import { desk, move, on } from "./desk.js";
import { button, h, renew } from "./dom.js";

export function ways() {
  const list = h("ol", { class: "ways" });
  const box = h("section", { "aria-labelledby": "h-ways", id: "ways", hidden: true }, h("h2", { id: "h-ways" }, "Ways"), list);
  on("answer", () => {
    const { settled } = desk;
    box.hidden = !settled?.ways?.length;
    renew(list, (settled?.ways ?? []).map(way));
  });
  return box;
}

/** The sizes of a way by their names. @param {any} sizes @returns {Record<string, number>} */
const byName = (sizes) => (Array.isArray(sizes) ? Object.fromEntries(sizes.map((size) => [size.name, size.at])) : sizes);

/** @param {any} way @param {number} at */
function way(way, at) {
  const { currency } = desk.settled;
  const gaps = Array.isArray(way.gaps) ? way.gaps.join(", ") : way.gaps;
  const price = way.price === null || way.price === undefined ? "" : ` ${way.price} ${currency}`;
  return h("li", {},
    button(way.shown, () => move(byName(way.sizes), `take the way ${way.shown}`), { class: "way", "aria-pressed": String(Boolean(way.chosen)), "data-key": `way-${at}` }),
    h("span", { class: "price" }, price),
    h("span", {}, [gaps, way.because].filter(Boolean).join("; ")),
    way.chosen && h("strong", {}, " this one"));
}
