/** The wishes: what is wanted, from where to where it may move, and what is kept first. */
import { desk, on } from "./desk.js";
import { h, renew } from "./dom.js";
import { field } from "./form.js";

export function wishes() {
  const body = h("div", { class: "wishes" });
  const box = h("section", { "aria-labelledby": "h-wishes", id: "wishes", hidden: true }, h("h2", { id: "h-wishes" }, "Wishes"), h("p", {}, "What is wanted, and the range that it may move in so that everything comes out. Rank 1 is kept before rank 2."), body);
  on("form", () => {
    const file = desk.form.find((file) => file.name === desk.plan?.plan);
    const found = (file?.tables ?? []).map((table) => ({ table, own: table.fields.filter((field) => kind(field) === "wish" && field.text !== null && field.text !== undefined) })).filter(({ own }) => own.length);
    box.hidden = !found.length;
    renew(body, found.map(({ table, own }) => h("fieldset", {}, h("legend", {}, table.path.slice(1).join(" ") || "the plan"), own.map((one) => field(desk.plan?.plan ?? "", table, one, "wish")))));
  });
  return box;
}

/** @param {import("./form.js").Field} field */
const kind = (field) => (typeof field.kind === "string" ? field.kind.split(" ")[0] : "");
