/** Gate: what is handed on: the page, the lists and the model, each as a file. */
import { about, desk, on } from "./desk.js";
import { slow } from "./core.js";
import { button, h, keepFile, notice, renew } from "./dom.js";
import { own } from "./places.js";

export function gate() {
  const row = h("div", { class: "row" });
  own("gate").append(h("section", { id: "hand-on", "aria-labelledby": "h-hand-on" }, h("h2", { id: "h-hand-on" }, "Hand on"), h("p", {}, "Everything as files that others can open, without this app and without a network."), row));
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
