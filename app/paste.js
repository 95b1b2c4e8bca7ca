/** Boards out of a table that was copied from a spreadsheet: one line for each length, tabs between the columns. */
import { desk } from "./desk.js";
import { button, h, renew } from "./dom.js";
import { add } from "./form.js";
import { named } from "./plans.js";
import { name, quoted, value } from "./toml.js";

const COLUMNS = ["label", "length", "price", "thickness", "width", "material"];

/** @typedef {Record<string, string>} Row */

export function paste() {
  const area = h("textarea", { id: "paste", rows: 4, placeholder: "larch board 20 × 145\t2400\t11.28" });
  const seen = h("div", {});
  area.addEventListener("input", () => look(area, seen));
  return h("details", {}, h("summary", {}, "Paste a table of boards"),
    h("p", { id: "paste-how" }, `One line for each length, with the columns ${COLUMNS.join(", ")} in this order, or any order under a heading. Thickness and width may stand in the label, as 20 × 145.`),
    h("label", { for: "paste" }, "Table"), area, seen);
}

/** @param {string} text @returns {Row[]} */
export function rows(text) {
  const cells = text.split(/\r?\n/).filter((line) => line.trim()).map((line) => line.split("\t").map((cell) => cell.trim()));
  const heads = cells[0]?.map((cell) => cell.toLowerCase());
  const headed = heads?.includes("length") && heads.includes("label");
  const columns = headed ? heads : COLUMNS;
  return cells.slice(headed ? 1 : 0).map((line) => sized(Object.fromEntries(line.map((cell, at) => [columns[at] ?? "", cell]))));
}

/** Takes thickness and width out of the label where they have no columns. @param {Row} row */
function sized(row) {
  const found = /(\d+(?:\.\d+)?)\s*[×x]\s*(\d+(?:\.\d+)?)/i.exec(row.label ?? "");
  const [thin, wide] = found ? [Number(found[1]), Number(found[2])].sort((a, b) => a - b) : [];
  return { ...row, thickness: row.thickness || (thin ? String(thin) : ""), width: row.width || (wide ? String(wide) : "") };
}

/** The tables of the boards, as the yard's file writes them. @param {Row[]} all @param {Set<string>} taken names that are there already */
export function written(all, taken) {
  const labels = [...new Set(all.map((row) => row.label))];
  return labels.map((label) => {
    const own = all.filter((row) => row.label === label);
    const base = name(label);
    let free = base;
    for (let count = 2; taken.has(free); count += 1) free = `${base.slice(0, 36)}-${count}`;
    taken.add(free);
    const material = own[0].material && `material = ${quoted(own[0].material)}\n`;
    const lengths = own.map((row) => `    { length = ${value(row.length)}${row.price ? `, price = ${Number(row.price.replace(/[^\d.]/g, "")).toFixed(2)}` : ""} },\n`).join("");
    return `[board.${free}]\nlabel = ${quoted(label)}\nthickness = ${value(own[0].thickness)}\nwidth = ${value(own[0].width)}\n${material ?? ""}lengths = [\n${lengths}]\n`;
  }).join("\n");
}

/** @param {HTMLTextAreaElement} area @param {HTMLElement} seen */
function look(area, seen) {
  const all = rows(area.value);
  const bad = all.filter((row) => !row.label || !row.length || !row.thickness || !row.width);
  if (!all.length) return renew(seen);
  const table = h("table", {}, h("caption", {}, "What was read"), h("thead", {}, h("tr", {}, COLUMNS.map((column) => h("th", { scope: "col" }, column)))), h("tbody", {}, all.map((row) => h("tr", {}, COLUMNS.map((column) => h("td", {}, row[column] ?? ""))))));
  const take = button("Add these boards to the yard", () => {
    const file = desk.plan && named(desk.plan, "yard");
    if (!file) return;
    const taken = new Set([...(desk.plan?.files[file] ?? "").matchAll(/^\[board\.([\w-]+)\]/gm)].map((found) => found[1]));
    add(file, written(all, taken), `paste ${all.length} lines into the yard`);
    area.value = "";
    renew(seen, h("p", { role: "status" }, "Added."));
  }, { class: "main" });
  renew(seen, h("div", { class: "table", tabindex: 0, role: "region", "aria-label": "What was read" }, table), bad.length ? h("p", { role: "alert" }, `${bad.length} lines lack a label, a length, a thickness or a width.`) : take);
}
