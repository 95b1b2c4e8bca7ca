/** Gate: what is handed on: the page, the lists and the model, each as a file. */
import { about, desk, on } from "./desk.js";
import { slow } from "./core.js";
import { button, h, keepFile, notice, renew, the } from "./dom.js";
import { canHandOn, handOn } from "./handing.js";
import { own } from "./places.js";

export function gate() {
  const row = h("div", { class: "row" });
  own("gate").append(h("section", { id: "hand-on", "aria-labelledby": "h-hand-on" }, h("h2", { id: "h-hand-on" }, "Hand on"), h("p", {}, "Everything as files that others can open, without this app and without a network."), row));
  const with_ = h("div", {});
  the("hand-on").append(with_);
  on("answer", () => renew(with_, desk.settled && canHandOn() && [
    h("p", {}, "Or the whole app in one file with this plan in it: whoever opens it from their disk fits it to their own boards and their own place, without a network. The day book stays here."),
    button("The app with this plan", () => handOn().then((html) => keepFile(`${base()}.app.html`, html, "text/html"), (error) => notice(error.message)), { "data-key": "hand-on" }),
  ]));
  on("answer", () => renew(row, desk.settled && [
    button("The page", () => keep("page", ({ html }) => keepFile(`${base()}.html`, html, "text/html")), { "data-key": "page" }),
    button("The lists", () => keep("lists", ({ lists }) => lists.forEach((/** @type {any} */ list) => keepFile(list.name, list.csv, "text/csv"))), { "data-key": "lists" }),
    button("The model", () => keep("model", ({ glb }) => keepFile(`${base()}.glb`, Uint8Array.from(atob(glb), (letter) => letter.charCodeAt(0)), "model/gltf-binary")), { "data-key": "model" }),
  ]));
}

const base = () => (desk.plan?.plan ?? "plan").replace(/(\.plan)?\.toml$/, "");

/** @param {"page" | "lists" | "model"} what @param {(ok: any) => void} then */
async function keep(what, then) {
  const answer = await slow.sure(what, about());
  if (answer.ok) then(answer.ok);
  else notice(`Not made: ${answer.refused?.text ?? answer.error}`);
}
