/** The keys of one part: what the tape reads on it, as planned or not. One hand, big keys. */
import { desk } from "./desk.js";
import { button, h } from "./dom.js";
import { inInches, read, show, typed, written } from "./lengths.js";

/**
 * @param {string} part its short id @param {string} planned its length as the card says it
 * @param {{ asPlanned(): void, otherwise(length: string): void }} does
 * @param {string[]} done the parts of this card that are ticked
 */
export function reading(part, planned, does, done) {
  const { unit } = desk.settled;
  const step = desk.settled.step ?? (inInches(unit) ? 25_400_000 / 16 : 1_000_000);
  const wants = read(planned);
  let now = wants;
  const box = h("input", { class: "reads", "aria-label": `what ${part} reads`, inputmode: inInches(unit) ? "text" : "decimal", onchange: () => (now = read(typed(box.value, unit))) });
  const to = (/** @type {number | undefined} */ length) => {
    now = length;
    box.value = length === undefined ? "" : show(length, unit);
  };
  const by = (/** @type {number} */ steps) => () => now !== undefined && to(now + steps * step);
  const parts = (inInches(unit) ? [[1 / 16, "1/16"], [1 / 8, "1/8"], [1 / 4, "1/4"], [1 / 2, "1/2"]].map(([n, words]) => [Number(n) * 25_400_000, words]) : [[500_000, "0.5"], [250_000, "0.25"]]);
  const fractions = h("div", { class: "row", hidden: true }, parts.map(([nm, words]) => [button(`+${words}`, () => now !== undefined && to(now + Number(nm))), button(`−${words}`, () => now !== undefined && to(now - Number(nm)))]).flat());
  const length = () => (now === undefined ? typed(box.value, unit) : written(now, unit));
  to(wants);
  const together = done.length > 1 ? `as planned: ${done.join(" ")}` : "as planned";
  return h("div", { class: "keys", role: "group", "aria-label": `what ${part} reads` },
    h("p", {}, h("strong", {}, part), " reads ", box),
    h("div", { class: "row" }, button("−1", by(-1)), button("+1", by(1)), button("fraction", () => (fractions.hidden = !fractions.hidden))),
    fractions,
    h("div", { class: "row" },
      button(together, () => does.asPlanned(), { class: "main" }),
      button("this went wrong", () => does.otherwise(length()), { class: "wrong" })));
}
