/** What the yard's file says of its boards, read out of the form. */
import { desk } from "./desk.js";
import { inInches, read } from "./lengths.js";
import { named } from "./plans.js";
import { inline, list, said } from "./toml.js";

/**
 * @typedef {{ name: string, label: string, lengths: Sold[] }} Board
 * @typedef {{ nm: number, shown: string, stock: string | undefined, at: number }} Sold
 */

/** The tables of the yard. @returns {import("./form.js").Table[]} */
export function tables() {
  const yard = desk.plan && named(desk.plan, "yard");
  return desk.form.find((file) => file.name === yard)?.tables ?? [];
}

/** The value of a key of a table as it is written. @param {import("./form.js").Table} table @param {string} key */
const of = (table, key) => table.fields.find((field) => field.key === key)?.text;

/** The things of one shelf of the yard. @param {string} shelf @returns {{ name: string, label: string }[]} */
export const shelf = (shelf) => tables().filter((table) => table.path[0] === shelf && table.path.length === 2).map((table) => ({ name: String(table.path[1]), label: said(of(table, "label")) || String(table.path[1]) }));

/** The unit of bare numbers in the yard. */
export const unit = () => said(of(tables().find((table) => table.path.length === 0) ?? { path: [], kind: "", doc: "", fields: [] }, "units")) || "mm";

/** The boards with the lengths on sale. @returns {Board[]} */
export function boards() {
  const bare = inInches(unit()) ? "in" : "mm";
  return shelf("board").map(({ name, label }) => {
    const text = of(/** @type {import("./form.js").Table} */ (tables().find((table) => table.path[0] === "board" && table.path[1] === name)), "lengths");
    const lengths = list(text).map((entry, at) => {
      const keys = inline(entry) ?? {};
      const length = said(keys.length);
      const words = /^[\d.]+$/.test(length) ? `${length} ${bare}` : length;
      return { nm: read(words) ?? 0, shown: words, stock: keys.stock, at };
    });
    return { name, label, lengths };
  });
}

/** The edit that says how many of a length the yard has. @param {string} board @param {number} at @param {number | null} count */
export function stockOf(board, at, count) {
  const file = /** @type {string} */ (desk.plan && named(desk.plan, "yard"));
  return { file, path: ["board", board, "lengths", at, "stock"], to: count === null ? null : String(count) };
}
