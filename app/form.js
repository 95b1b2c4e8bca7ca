/** Forms for the tables of a file, made from what the core says of each key. */
import { change, desk, edit } from "./desk.js";
import { button, h, renew } from "./dom.js";
import { inline, quoted, said, table as tableOf, value } from "./toml.js";

/**
 * @typedef {{ key: string, doc: string, must?: boolean, kind: string, words?: (string | [string, string] | { is: string, doc?: string })[] | null, text?: string | null, default?: string | null }} Field
 * @typedef {{ path: (string | number)[], kind: string, doc: string, fields: Field[] }} Table
 * @typedef {{ name: string, tables: Table[] }} FormFile
 */

/** Puts the forms of a file in, if they are to be seen. @param {HTMLElement} home @param {string | undefined} file @param {() => boolean} seen */
export function fields(home, file, seen) {
  if (!seen()) return;
  const found = desk.form.find((other) => other.name === file);
  const open = new Set([...home.querySelectorAll("details[open]")].map((box) => /** @type {HTMLElement} */ (box).dataset.of));
  renew(home, (found?.tables ?? []).map((table) => one(file ?? "", table, open)));
}

/** @param {string} file @param {Table} table @param {Set<string | undefined>} open */
function one(file, table, open) {
  const name = table.path.join(" ");
  const told = table.fields.filter((field) => has(field) || field.must);
  const rest = table.fields.filter((field) => !has(field) && !field.must);
  const more = h("details", { "data-of": `${name} more`, open: open.has(`${name} more`) }, h("summary", { "data-key": `${file} ${name} more` }, `${rest.length} more that may be said`), rest.map((each) => field(file, table, each)));
  return h("details", { "data-of": name, open: open.has(name), class: "form" },
    h("summary", { "data-key": `${file} ${name}` }, name || file),
    h("p", { class: "what" }, table.doc),
    told.map((each) => field(file, table, each)),
    rest.length > 0 && more,
    table.path.length > 1 && h("p", {}, button(`Take ${name} out`, () => edit([{ file, path: table.path, to: null }], `take ${name} out`))));
}

/** @param {Field} field */
const has = (field) => field.text !== null && field.text !== undefined;

let count = 0;

/**
 * One field with its label, its doc, and what it is now.
 * @param {string} file @param {Table} table @param {Field} field @param {"wish" | "all"} [how]
 */
export function field(file, table, field, how = "all") {
  const id = `f${(count += 1)}`;
  const path = [...table.path, field.key];
  const key = `${how} ${file} ${path.join(".")}`;
  const set = (/** @type {string | null} */ to) => to !== (field.text ?? null) && edit([{ file, path, to }], `${path.slice(1).join(" ")} ${to === null ? "left out" : to}`);
  const kind = String(field.kind ?? "").split(" ")[0];
  const words = field.words ?? [];
  const control = kind === "wish" ? wish(id, key, field, set) : words.length ? choice(id, key, field, set) : input(id, key, kind, field, set);
  return h("div", { class: `field ${kind}` }, h("label", { for: id }, field.key), control, how === "all" && field.doc && h("p", { class: "what", id: `${id}-doc` }, field.doc));
}

/** @typedef {(to: string | null) => void} Setter */

/** @param {string} id @param {string} key @param {Field} field @param {Setter} set */
function choice(id, key, field, set) {
  const pick = h("select", { id, "data-key": key, onchange: () => set(pick.value === "" ? null : bare(field) ? pick.value : quoted(pick.value)) });
  const none = field.default ? `${said(field.default)} (if left out)` : "left out";
  if (!field.must || !has(field)) pick.append(h("option", { value: "" }, none));
  for (const word of field.words ?? []) {
    const [is, doc] = typeof word === "string" ? [word, ""] : Array.isArray(word) ? word : [word.is, word.doc ?? ""];
    pick.append(h("option", { value: is, selected: has(field) && said(field.text) === is, title: doc }, is));
  }
  return pick;
}

/** Whether the words of a field stand without quotes. @param {Field} field */
const bare = (field) => /^(flag|bool)/.test(field.kind) || /^(true|false)$/.test((field.text ?? field.default ?? "").trim());

/** @param {string} id @param {string} key @param {string} kind @param {Field} field @param {Setter} set */
function input(id, key, kind, field, set) {
  const compound = /^\s*[[{]/.test(field.text ?? "");
  const plain = ["text", "piece", "stock", "word"].includes(kind);
  const box = h("input", {
    id, "data-key": key, placeholder: field.default ? said(field.default) : "", value: compound ? field.text : said(field.text), required: field.must,
    onchange: () => set(box.value.trim() === "" ? null : compound || /^\s*[[{]/.test(box.value) ? box.value : plain ? quoted(box.value) : value(box.value)),
  });
  return box;
}

/** A wish: wanted, from, to, rank; or exactly. @param {string} id @param {string} key @param {Field} field @param {Setter} set */
function wish(id, key, field, set) {
  const now = inline(field.text) ?? { want: field.text ?? "" };
  const exactly = now.exactly !== undefined;
  /** @type {Record<string, HTMLInputElement>} */
  const boxes = {};
  const write = () => {
    const text = Object.fromEntries(Object.entries(boxes).map(([key, box]) => [key, box.value.trim() && value(box.value)]));
    if (!text.want) return set(null);
    const range = text.from || text.to || text.rank;
    set(range ? tableOf({ want: text.want, from: text.from, to: text.to, rank: text.rank }) : exactly ? tableOf({ exactly: text.want }) : text.want);
  };
  const box = (/** @type {string} */ part, /** @type {string} */ words) => {
    boxes[part] = h("input", { id: part === "want" ? id : `${id}-${part}`, "data-key": `${key} ${part}`, size: 7, value: said(now[part] ?? (part === "want" ? now.exactly : "")), onchange: write, "aria-label": part === "want" ? undefined : `${field.key} ${words}` });
    return h("span", { class: "part" }, part === "want" ? (exactly ? "exactly " : "") : `${words} `, boxes[part]);
  };
  return h("span", { class: "wishing" }, box("want", "wanted"), box("from", "from"), box("to", "to"), box("rank", "rank"));
}

/** Writes a new table at the end of a file. @param {string} file @param {string} text @param {string} what */
export function add(file, text, what) {
  const had = desk.plan?.files[file] ?? "";
  change({ [file]: `${had.trimEnd()}\n\n${text.trimEnd()}\n` }, what);
}
