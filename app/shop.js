/** In the shop: each line that is to be bought, with what to say if there is none, only some, or another size: the plan follows on the spot. */
import { desk, edit, on } from "./desk.js";
import { button, h, renew } from "./dom.js";
import { limited, otherwise, placeOf, priceOf, stockOf, unit } from "./stock.js";
import { tick, ticks } from "./ticks.js";

/** @typedef {{ count: number, words: string, amount: string | null, shelf: string, name: string, size: number[], each: string | null }} Line */

export function shop() {
  const list = h("ul", { class: "shop" });
  const left = h("p", { class: "what", role: "status", id: "shop-left" });
  const box = h("section", { id: "shop", "aria-labelledby": "h-shop", hidden: true }, h("h2", { id: "h-shop" }, "In the shop"),
    h("p", {}, "Tick what lies on the trolley. Has the yard none, too few, or another size? Say so on its line: the plan follows on the spot, and Undo brings it back."), left, list);
  const count = () => {
    const all = [...list.querySelectorAll(".to-buy > label input")];
    const open = all.filter((box) => !(/** @type {HTMLInputElement} */ (box).checked)).length;
    left.textContent = open ? `${open} of ${all.length} lines still to find` : "All lines are ticked.";
  };
  const draw = () => {
    const all = /** @type {Line[]} */ (desk.settled?.buy ?? []);
    const short = limited();
    box.hidden = !all.length && !short.length;
    renew(list, all.map((line) => toBuy(line, count)), short.map(({ words, path, stock }) => {
      const has = stock === "0" ? "none" : `only ${stock}`;
      return h("li", {}, h("span", {}, words, h("strong", {}, ` the yard has ${has}`)), button("there are enough", () => edit([stockOf(path, null)], `${words}: there are enough`), { "aria-label": `${words}: there are enough` }));
    }));
    count();
  };
  on("answer", draw);
  on("form", draw);
  return box;
}

/** @param {Line} line @param {() => void} ticked */
function toBuy(line, ticked) {
  const key = `${line.shelf} ${line.name} ${line.each ?? line.size.join(" ")}`;
  const place = placeOf(line);
  const say = (/** @type {number} */ count) => place && edit([stockOf(place.path, count)], `${line.words}: ${count ? `only ${count}` : "none"}`);
  const count = h("input", { type: "number", min: 1, max: 99999, value: Math.max(1, line.count - 1), "aria-label": `how many there are of ${line.words}`, "data-key": `count ${key}` });
  const other = h("div", { class: "other" });
  const check = h("input", { type: "checkbox", "data-key": `tick ${key}`, checked: ticks("shop").has(key), onchange: () => (tick(key, check.checked, "shop"), ticked()) });
  return h("li", { class: "to-buy" },
    h("label", {}, check, h("span", {}, h("strong", {}, `${line.count} ×`), ` ${line.words}`, line.amount && h("span", { class: "what" }, ` ${line.amount} ${desk.settled?.currency ?? ""}`))),
    place && h("span", { class: "row" },
      place.stocked && [button("none", () => say(0), { "aria-label": `none of ${line.words}`, "data-key": `none ${key}` }),
        h("span", { class: "only" }, button("only", () => say(Math.max(0, Math.floor(Number(count.value) || 0))), { "aria-label": `only so many of ${line.words}`, "data-key": `only ${key}` }), count)],
      place.price === null && !line.amount && cost(line, place),
      place.sizes.length > 0 && button("another size", () => instead(other, line, place), { "aria-label": `another size instead of ${line.words}`, "data-key": `other ${key}` })),
    other);
}

/** The price of one, where none is known yet. @param {Line} line @param {import("./stock.js").Sold} place */
function cost(line, place) {
  const box = h("input", { size: 6, inputmode: "decimal", "data-key": `price ${line.shelf} ${line.name} ${line.size.join(" ")}`, onchange: () => {
    const price = Number(box.value.trim().replace(",", "."));
    if (box.value.trim() && price >= 0) edit([priceOf(place.path, price)], `${line.words}: ${price.toFixed(2)} each`);
    else box.setAttribute("aria-invalid", "true");
  } });
  return h("label", {}, "price of one ", box);
}

/** Asks for the size that there is instead. @param {HTMLElement} into @param {Line} line @param {import("./stock.js").Sold} place */
function instead(into, line, place) {
  if (into.firstChild) return renew(into);
  const tape = unit();
  const boxes = place.sizes.map(({ key, now, words }) => ({ key, words, now, box: h("input", { value: now, size: 9, inputmode: "decimal", "data-key": `other-${key}`, "aria-label": `${words} of what there is instead of ${line.words}, ${tape}` }) }));
  const price = h("input", { size: 7, inputmode: "decimal", "aria-label": "its price, if known" });
  const take = button("Plan with that", () => {
    const size = Object.fromEntries(boxes.map(({ key, box }) => [key, box.value.trim()]));
    if (Object.values(size).some((text) => !text)) return renew(answer, "Something is left blank.");
    if (boxes.every(({ now, key }) => size[key] === now)) return renew(answer, "That is the size in the plan.");
    edit(otherwise(place, size, price.value.trim()), `${line.words}: ${boxes.map(({ key }) => size[key]).join(" × ")} instead`);
  }, { class: "main" });
  const answer = h("span", { role: "alert" });
  renew(into, h("p", { class: "row" }, "There is instead: ", boxes.map(({ words, box }) => h("label", {}, `${words} `, box)), place.priced && h("label", {}, "price ", price), take, answer));
  boxes[0].box.focus();
  boxes[0].box.select();
}

