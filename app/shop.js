/** In the shop: each line that is to be bought, with what to say if there is none, or only some. */
import { desk, edit, on } from "./desk.js";
import { button, h, renew } from "./dom.js";
import { boards, stockOf } from "./stock.js";
import { ofCore } from "./trust.js";

/** @typedef {{ words: string, off: string, board: string, nm: number }} Line */

export function shop() {
  const list = h("ul", { class: "shop" });
  const box = h("section", { id: "shop", "aria-labelledby": "h-shop", hidden: true }, h("h2", { id: "h-shop" }, "In the shop"),
    h("p", {}, "Has the yard none of a length, or too few? Say so on its line: the plan follows on the spot, and Undo brings it back."), list);
  const draw = () => {
    const all = lines();
    const short = boards().flatMap((board) => board.lengths.filter((length) => length.stock !== undefined).map((length) => ({ board, length })));
    box.hidden = !all.length && !short.length;
    renew(list, all.map(toBuy), short.map(({ board, length }) => {
      const words = `${board.label}, ${length.shown}`;
      const has = length.stock === "0" ? "none" : `only ${length.stock}`;
      return h("li", {}, h("span", {}, words, h("strong", {}, ` the yard has ${has}`)), button("there are enough", () => edit([stockOf(board.name, length.at, null)], `${words}: there are enough`), { "aria-label": `${words}: there are enough` }));
    }));
  };
  on("answer", draw);
  on("form", draw);
  return box;
}

/** The lines of boards to buy, out of the core's own table. @returns {Line[]} */
function lines() {
  const sections = desk.settled?.places?.find((/** @type {any} */ place) => place.name === "yard")?.sections ?? [];
  const html = sections.find((/** @type {any} */ section) => section.name === "buy")?.html ?? "";
  return [...ofCore(html).querySelectorAll('tr:has(a[href^="#why-buy."][href$=".amount"])')].flatMap((row) => {
    const link = row.querySelector('a[href$=".amount"]')?.getAttribute("href") ?? "";
    const found = /^#why-buy\.(.+)\.(\d+(?:[-.]\d+)*)(in)?\.amount$/.exec(link);
    if (!found) return [];
    const [off, what] = [...row.children].map((cell) => cell.textContent ?? "");
    return [{ off, words: what, board: found[1], nm: Math.round(Number(found[2]) * (found[3] ? 25_400_000 : 1_000_000)) }];
  });
}

/** @param {Line} line */
function toBuy(line) {
  const board = boards().find((board) => board.name === line.board);
  const length = board?.lengths.find((length) => length.nm === line.nm);
  const say = (/** @type {number} */ count) => length && edit([stockOf(line.board, length.at, count)], `${line.words}: ${count ? `only ${count}` : "none"}`);
  const count = h("input", { type: "number", min: 1, max: 99, value: 1, "aria-label": `how many there are of ${line.words}`, "data-key": `count ${line.board} ${line.nm}` });
  return h("li", {},
    h("label", {}, h("input", { type: "checkbox", "data-key": `tick ${line.board} ${line.nm}` }), h("span", {}, h("strong", {}, `${line.off} ×`), ` ${line.words}`)),
    length && h("span", { class: "row" }, button("none", () => say(0), { "aria-label": `none of ${line.words}`, "data-key": `none ${line.board} ${line.nm}` }), h("span", { class: "only" }, button("only", () => say(Math.max(0, Math.floor(Number(count.value)))), { "aria-label": `only so many of ${line.words}` }), count)));
}
