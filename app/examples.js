/** The example builds: one strip of line drawings. Tapping one copies it: mine is different. */
import { take } from "./desk.js";
import { quick } from "./core.js";
import { button, h, notice } from "./dom.js";
import { text } from "./parts.js";
import { begun } from "./plans.js";
import { drawing } from "./trust.js";

/** @typedef {{ name: string, title: string, plan: string, files: string[] }} Example */

export function strip() {
  const row = h("ul", { class: "strip", "aria-label": "Builds" });
  fill(row).catch((error) => notice(`The builds are not there: ${error.message ?? error}`));
  return h("section", { "aria-labelledby": "h-builds" }, h("h2", { id: "h-builds" }, "Or begin from a build"), h("p", {}, "Each is whole, with yard and shed. Yours will be different: take one, and change what you like."), row);
}

/** @param {HTMLElement} row */
async function fill(row) {
  const examples = /** @type {Example[]} */ (JSON.parse(await text("examples/list.json")));
  for (const example of examples) row.append(stand(example));
  for (const [at, example] of examples.entries()) await draw(example, row.children[at]);
}

/** @param {Example} example */
function stand(example) {
  return h("li", {}, h("div", { class: "sketch", "aria-hidden": "true" }), h("p", {}, example.title), button("Mine is different", async () => {
    await take(begun(example.plan, await texts(example)));
    location.hash = "#table";
  }, { "aria-label": `Mine is different: ${example.title}` }));
}

/** @param {Example} example @returns {Promise<Record<string, string>>} */
async function texts({ name, files }) {
  const each = files.map(async (file) => [file, await text(`examples/${name}/${file}`)]);
  return Object.fromEntries(await Promise.all(each));
}

/** The front of a build, drawn by the core. @param {Example} example @param {Element} into */
async function draw(example, into) {
  const answer = await quick.sure("drag", { plan: example.plan, files: await texts(example), wants: {} });
  if (answer.ok?.front) into.querySelector(".sketch")?.append(drawing(answer.ok.front, `build-${example.name}`));
}
