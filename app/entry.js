/** An entry of the day book: asked about first, so that what it changes is seen; then written; then the ways out of it. */
import { append, ask, desk } from "./desk.js";
import { button, h, renew } from "./dom.js";

/**
 * Asks what an entry changes and shows it, with the button that writes it.
 * @param {HTMLElement} into @param {Record<string, any>} entry @param {string} what the step in words
 * @param {() => void} [written] what to do when it is written
 */
export async function consider(into, entry, what, written) {
  renew(into, h("p", {}, "Reckoning what it changes…"));
  const answer = await ask(entry);
  if (!answer.ok) return void renew(into, h("p", { class: "stamp failed", role: "alert" }, answer.refused?.text ?? answer.error));
  const { line, number, changes = [], ways_out: out = [], refused } = answer.ok;
  const write = button("Write it into the day book", () => {
    append(line, number, entry, what);
    renew(into, h("p", { role: "status", tabindex: -1, "data-key": "written" }, "Written."), ways(into, number, out));
    written?.();
  }, { class: "main", "data-key": "write" });
  renew(into, refused && h("p", { class: "stamp failed", role: "alert" }, "With this nothing comes out any more. It can be written all the same: the tape does not lie."), refused && h("pre", {}, refused.text), list(changes), out.length > 0 && h("p", {}, `Once it is written there are ${out.length} ways out, the best first:`), out.length > 0 && h("ol", {}, out.map((/** @type {any} */ way) => h("li", {}, told(way)))),
    h("p", { class: "row" }, write, button("Leave it", () => renew(into))));
  write.focus();
}

/** What was, is, and why. @param {{ what: string, was: string, is: string, why: string }[]} changes */
function list(changes) {
  if (!changes.length) return h("p", {}, "Nothing else changes.");
  const heads = ["what", "was", "is", "why"];
  return h("div", { class: "table", tabindex: 0, role: "region", "aria-label": "What it changes" }, h("table", {}, h("caption", {}, "What it changes"), h("thead", {}, h("tr", {}, heads.map((head) => h("th", { scope: "col" }, head)))),
    h("tbody", {}, changes.map((change) => h("tr", {}, [change.what, change.was, change.is, change.why].map((cell) => h("td", {}, cell)))))));
}

/** @param {any} way */
function told(way) {
  const costs = [way.money !== undefined && way.money !== null && `${way.money} ${desk.settled?.currency ?? ""}`.trim(), way.minutes !== undefined && way.minutes !== null && `${way.minutes} minutes`].filter(Boolean).join(", ");
  return [way.words, costs && ` (${costs})`].filter(Boolean).join("");
}

/** @param {HTMLElement} into @param {number} number of the entry @param {any[]} out */
function ways(into, number, out) {
  if (!out.length) return null;
  const take = (/** @type {any} */ way) => consider(into, { what: "took", entry: number, way: way.way }, `take: ${way.words}`);
  return h("ol", { class: "ways" }, out.map((way) => h("li", {}, button(told(way), () => take(way), { class: "way" }))));
}
