/** Yard: the shop's list with what it has not, the sheet to print, forms of yard and shed, and what is read at home. */
import { desk, on } from "./desk.js";
import { button, h } from "./dom.js";
import { bring } from "./bring.js";
import { fields } from "./form.js";
import { paste } from "./paste.js";
import { own } from "./places.js";
import { named } from "./plans.js";
import { print } from "./print.js";
import { shop } from "./shop.js";

export function yard() {
  own("yard").append(
    h("p", { class: "row" }, button("Print the yard sheet", () => print("yard-sheet"), { class: "main" })),
    shop(),
    bring(),
    tables("yard", "What can be bought", paste()),
    tables("shed", "What you have: saw, offcuts, hands and car"),
  );
}

/** The forms of one file. @param {"yard" | "shed"} which @param {string} words @param {...HTMLElement} more */
function tables(which, words, ...more) {
  const home = h("div", {});
  const box = h("details", { id: `form-${which}` }, h("summary", {}, words), home, ...more);
  const draw = () => fields(home, (desk.plan && named(desk.plan, which)) ?? undefined, () => box.open);
  on("form", draw);
  box.addEventListener("toggle", draw);
  return box;
}
