/** Table: the rods with their picture, the wishes, the ways, what collides, and the text of the plan. */
import { desk, on } from "./desk.js";
import { h } from "./dom.js";
import { buildUp } from "./buildup.js";
import { fields } from "./form.js";
import { pictures } from "./pictures.js";
import { own } from "./places.js";
import { refused } from "./refused.js";
import { rods } from "./rods.js";
import { text } from "./text.js";
import { ways } from "./ways.js";
import { wishes } from "./wishes.js";

export function table() {
  const picture = h("div", { class: "pictures", "aria-live": "off" });
  on("picture", () => pictures(picture, "table", desk.picture));
  on("plan", () => desk.picture || picture.replaceChildren());
  own("table").append(refused(), rods(picture), ways(), wishes(), buildUp(), pieces(), text());
}

/** All that the plan says, table by table. */
function pieces() {
  const home = h("div", {});
  const box = h("details", { id: "pieces" }, h("summary", {}, "Everything that the plan says, to change"), home);
  on("form", () => fields(home, desk.plan?.plan, () => box.open));
  box.addEventListener("toggle", () => fields(home, desk.plan?.plan, () => box.open));
  return box;
}
