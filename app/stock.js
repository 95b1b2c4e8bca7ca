/** What the yard's file says of what is sold, read out of the form. */
import { desk } from "./desk.js";
import { inInches, read, typed } from "./lengths.js";
import { named } from "./plans.js";
import { inline, list, quoted, said, table as tableOf, value } from "./toml.js";

/**
 * @typedef {{ name: string, label: string, lengths: Length[] }} Board
 * @typedef {{ nm: number, shown: string, stock: string | undefined, at: number }} Length
 * @typedef {{ key: string, words: string, now: string }} Size
 * @typedef {{ path: (string | number)[], stocked: boolean, sizes: Size[], priced: boolean, price: string | null, list?: (string | number)[], count?: number }} Sold
 *   one thing on sale: its table or entry, whether its `stock` can be said, its sizes as they are written, the price of one as it is written, and the list that an
 *   entry for another size would join
 */

/** The tables of the yard. @returns {import("./form.js").Table[]} */
export function tables() {
  const yard = desk.plan && named(desk.plan, "yard");
  return desk.form.find((file) => file.name === yard)?.tables ?? [];
}

/** The table of one thing. @param {string} shelf @param {string} name */
const tableIn = (shelf, name) => tables().find((table) => table.path.length === 2 && table.path[0] === shelf && table.path[1] === name);

/** The value of a key of a table as it is written. @param {import("./form.js").Table | undefined} table @param {string} key */
const of = (table, key) => table?.fields.find((field) => field.key === key)?.text ?? undefined;

/** The things of one shelf of the yard. @param {string} shelf @returns {{ name: string, label: string }[]} */
export const shelf = (shelf) => tables().filter((table) => table.path[0] === shelf && table.path.length === 2).map((table) => ({ name: String(table.path[1]), label: said(of(table, "label")) || String(table.path[1]) }));

/** The unit of bare numbers in the yard. */
export const unit = () => said(of(tables().find((table) => table.path.length === 0), "units")) || "mm";

/** The nanometres of a length as the yard's file writes it. @param {string | undefined} text */
function nanometres(text) {
  const words = said(text);
  return read(/^[\d.]+$/.test(words) ? `${words} ${inInches(unit()) ? "in" : "mm"}` : words);
}

/** The boards with the lengths on sale. @returns {Board[]} */
export function boards() {
  const bare = inInches(unit()) ? "in" : "mm";
  return shelf("board").map(({ name, label }) => {
    const lengths = list(of(tableIn("board", name), "lengths")).map((entry, at) => {
      const keys = inline(entry) ?? {};
      const length = said(keys.length);
      const words = /^[\d.]+$/.test(length) ? `${length} ${bare}` : length;
      return { nm: read(words) ?? 0, shown: words, stock: keys.stock, at };
    });
    return { name, label, lengths };
  });
}

/** Where what is sold in several sizes lists them, and by which keys. */
const LISTED = /** @type {Record<string, [string, string[]]>} */ ({ board: ["lengths", ["length"]], sheet: ["sizes", ["length", "width"]] });

/** Where a line of the buying list stands in the yard; null if it is no board, sheet, unit or fitting by itself. @param {import("./shop.js").Line} line @returns {Sold | null} */
export function placeOf({ shelf, name, size, each }) {
  const table = tableIn(shelf, name);
  if (!table || each) return null;
  if (shelf === "unit" || shelf === "fitting") {
    const sizes = shelf === "unit" ? ["length", "width", "thickness"].map((key) => ({ key, words: key, now: said(of(table, key)) })) : [];
    return { path: [shelf, name], stocked: !of(table, "packs"), sizes, priced: false, price: of(table, "price") ?? null };
  }
  if (!LISTED[shelf]) return null;
  const [key, sides] = LISTED[shelf];
  const entries = list(of(table, key)).map((entry) => inline(entry) ?? {});
  const at = entries.findIndex((entry) => sides.every((side, place) => nanometres(entry[side]) === size[place]));
  if (at < 0) return null;
  return { path: [shelf, name, key, at], stocked: true, sizes: sides.map((side) => ({ key: side, words: side, now: said(entries[at][side]) })), priced: true, price: entries[at].price ?? null, list: [shelf, name, key], count: entries.length };
}

/** Everything of which the yard has only so many. @returns {{ words: string, path: (string | number)[], stock: string }[]} */
export function limited() {
  return tables().filter((table) => table.path.length === 2).flatMap((table) => {
    const [shelf, name] = table.path;
    const label = said(of(table, "label")) || String(name);
    const own = of(table, "stock");
    const alone = own === undefined ? [] : [{ words: label, path: [shelf, name], stock: own }];
    const [key, sides] = LISTED[shelf] ?? ["", []];
    const entries = key ? list(of(table, key)).map((entry) => inline(entry) ?? {}) : [];
    const sized = entries.flatMap((entry, at) => (entry.stock === undefined ? [] : [{ words: `${label}, ${sides.map((side) => said(entry[side])).join(" × ")}`, path: [shelf, name, key, at], stock: entry.stock }]));
    return [...alone, ...sized];
  });
}

/** The yard's file. */
const file = () => /** @type {string} */ (desk.plan && named(desk.plan, "yard"));

/** The edit that says how many of something the yard has. @param {(string | number)[]} path @param {number | null} count */
export const stockOf = (path, count) => ({ file: file(), path: [...path, "stock"], to: count === null ? null : String(count) });

/** The edit that says what one costs. @param {(string | number)[]} path @param {number} price */
export const priceOf = (path, price) => ({ file: file(), path: [...path, "price"], to: price.toFixed(2) });

/** A length that somebody typed, as the yard's file writes it. @param {string} text */
const lengthValue = (text) => (/^\d+(\.\d+)?$/.test(text) ? value(text) : quoted(typed(text, unit())));

/**
 * The edits that put another size in the place of one: what is sold in several sizes gets one more, and none of the old one; what has
 * one size gets the other.
 * @param {Sold} place @param {Record<string, string>} size @param {string} price @returns {import("./core.js").Edit[]}
 */
export function otherwise({ path, list, count, sizes }, size, price) {
  if (!list) return sizes.filter(({ key, now }) => size[key] !== now).map(({ key }) => ({ file: file(), path: [...path, key], to: lengthValue(size[key]) }));
  const written = Object.fromEntries(sizes.map(({ key }) => [key, lengthValue(size[key])]));
  const money = Number(price.replace(",", "."));
  const cost = price && money >= 0 ? { price: money.toFixed(2) } : {};
  return [{ file: file(), path: [...list, count ?? 0], to: tableOf({ ...written, ...cost }) }, stockOf(path, 0)];
}
