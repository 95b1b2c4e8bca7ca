/** Bring home: what the tape reads, written into the day book once it is seen what it changes. */
import { desk, on } from "./desk.js";
import { button, h, renew } from "./dom.js";
import { consider } from "./entry.js";
import { inInches, typed } from "./lengths.js";
import { boards, shelf } from "./stock.js";

/** @typedef {{ key: string, words: string, value?: string, choices?: () => { is: string, words: string }[] }} Ask */
/** @typedef {{ what: string, words: string, asks: () => Ask[], entry: (said: Record<string, string>) => Record<string, any> }} Reading */

const of = (/** @type {string} */ name) => () => shelf(name).map(({ name, label }) => ({ is: name, words: label }));
const lengths = () => boards().flatMap((board) => board.lengths.map((length) => ({ is: JSON.stringify([board.name, length.shown]), words: `${board.label}, ${length.shown}` })));
const length = (/** @type {string} */ text) => typed(text, desk.settled?.unit);
const sold = (/** @type {string} */ text) => {
  const [board, length] = JSON.parse(text);
  return { board, length };
};

/** @type {Reading[]} */
const READINGS = [
  { what: "width", words: "Boards side by side", asks: () => [{ key: "board", words: "which board", choices: of("board") }, { key: "over", words: "how many", value: "10" }, { key: "reads", words: "read together" }], entry: (said) => ({ board: said.board, over: Number(said.over), reads: length(said.reads) }) },
  { what: "true-length", words: "True lengths", asks: () => [{ key: "sold", words: "which", choices: lengths }, { key: "reads", words: "each reads (with ; between them)" }], entry: (said) => ({ ...sold(said.sold), reads: said.reads.split(";").filter((one) => one.trim()).map(length) }) },
  { what: "thickness", words: "Thickness", asks: () => [{ key: "of", words: "of which", choices: () => ["board", "sheet"].flatMap((kind) => shelf(kind).map(({ name, label }) => ({ is: JSON.stringify([kind, name]), words: label }))) }, { key: "reads", words: "reads" }], entry: (said) => { const [kind, name] = JSON.parse(said.of); return { [kind]: name, reads: length(said.reads) }; } },
  { what: "units", words: "Units laid dry", asks: () => [{ key: "unit", words: "which unit", choices: of("unit") }, { key: "over", words: "how many", value: "10" }, { key: "joint", words: "with a joint of" }, { key: "along", words: "along its", choices: () => [{ is: "length", words: "length" }, { is: "width", words: "width" }] }, { key: "reads", words: "read together" }], entry: (said) => ({ unit: said.unit, over: Number(said.over), joint: length(said.joint), along: said.along, reads: length(said.reads) }) },
  { what: "kerf", words: "Kerf", asks: () => [{ key: "reads", words: "a test slot reads" }], entry: (said) => ({ reads: length(said.reads) }) },
  { what: "bought", words: "Boards that came home", asks: () => [{ key: "sold", words: "which", choices: lengths }, { key: "count", words: "how many", value: "1" }], entry: (said) => ({ ...sold(said.sold), count: Number(said.count) }) },
  { what: "only", words: "The yard had only", asks: () => [{ key: "sold", words: "of which", choices: lengths }, { key: "left", words: "there are", value: "0" }], entry: (said) => ({ ...sold(said.sold), left: Number(said.left) }) },
];

export function bring() {
  const home = h("div", { class: "readings-form" });
  const answer = h("div", { class: "answer", "aria-live": "polite" });
  const pick = h("select", { id: "reading", onchange: draw });
  for (const { what, words } of READINGS) pick.append(h("option", { value: what }, words));
  on("form", draw);

  function draw() {
    const reading = READINGS.find(({ what }) => what === pick.value) ?? READINGS[0];
    /** @type {Record<string, HTMLInputElement | HTMLSelectElement>} */
    const boxes = {};
    const asks = reading.asks().map(({ key, words, value, choices }) => {
      const id = `read-${key}`;
      const had = /** @type {HTMLInputElement | null} */ (document.getElementById(id))?.value;
      if (choices) {
        const select = h("select", { id, "data-key": id }, choices().map(({ is, words }) => h("option", { value: is, selected: is === had }, words)));
        boxes[key] = select;
      } else boxes[key] = h("input", { id, "data-key": id, value: had ?? value ?? "", inputmode: inInches(desk.settled?.unit) ? "text" : "decimal", size: 9 });
      return h("p", { class: "ask" }, h("label", { for: id }, words), " ", boxes[key]);
    });
    const send = button("See what it changes", () => {
      const said = Object.fromEntries(Object.entries(boxes).map(([key, box]) => [key, box.value]));
      if (Object.values(said).some((one) => !one.trim())) return renew(answer, h("p", { role: "alert" }, "Something is left blank."));
      consider(answer, { what: reading.what, ...reading.entry(said) }, `read: ${reading.words.toLowerCase()}`);
    }, { class: "main", "data-key": "read-send" });
    renew(home, asks, send);
  }

  draw();
  return h("section", { id: "bring", "aria-labelledby": "h-bring" }, h("h2", { id: "h-bring" }, "Bring home"),
    h("p", {}, "The label is not the board. What the tape reads becomes the plan; sizes are final only now."),
    h("p", { class: "ask" }, h("label", { for: "reading" }, "What was read"), " ", pick), home, answer);
}
