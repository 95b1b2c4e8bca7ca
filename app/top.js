/** The line above everything: plans, undo, files, and the light. */
import { desk, on, open, step, take } from "./desk.js";
import { button, h, keepFile, notice, renew, the } from "./dom.js";
import { begun, bundled, title, unbundled } from "./plans.js";

const LIGHTS = /** @type {const} */ ([["house", "as the house"], ["day", "light"], ["night", "dark"], ["sun", "in the sun"]]);
const LIGHT = "scantling.light";

export function top() {
  document.documentElement.dataset.light = localStorage.getItem(LIGHT) ?? "house";
  on("plan", draw);
  addEventListener("keydown", (event) => {
    const typing = /** @type {HTMLElement} */ (event.target).closest?.("input, textarea, select");
    if (typing || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
    event.preventDefault();
    step(event.shiftKey ? "redo" : "undo");
  });
  draw();
}

async function draw() {
  const kept = await desk.home.list();
  const { plan } = desk;
  // A plan that was just begun may not be kept yet.
  const plans = plan && !kept.some(({ id }) => id === plan.id) ? [{ id: plan.id, title: title(plan) }, ...kept] : kept;
  const back = plan?.done.at(-1);
  const again = plan?.undone.at(-1);
  renew(
    the("top"),
    h("a", { href: "#start", class: "maker" }, "Scantling"),
    plans.length ? choice(plans) : null,
    plan && [
      button("Undo", () => step("undo"), { disabled: !back, "data-key": "undo", title: back && `Take back: ${back.what}` }),
      button("Redo", () => step("redo"), { disabled: !again, "data-key": "redo", title: again && `Make again: ${again.what}` }),
    ],
    h("details", { class: "menu" }, h("summary", { "data-key": "files" }, "Files"), h("div", {}, ...files())),
    light(),
  );
}

/** @param {import("./plans.js").Brief[]} plans */
function choice(plans) {
  const pick = h("select", { "aria-label": "Plan", "data-key": "plan", onchange: () => pick.value && open(pick.value) });
  if (!desk.plan) pick.append(h("option", { value: "" }, "a new plan"));
  for (const { id, title } of plans) pick.append(h("option", { value: id, selected: id === desk.plan?.id }, title));
  return pick;
}

function light() {
  const now = document.documentElement.dataset.light;
  const pick = h("select", { "aria-label": "Light", "data-key": "light", onchange: () => {
    document.documentElement.dataset.light = pick.value;
    localStorage.setItem(LIGHT, pick.value);
  } });
  for (const [is, words] of LIGHTS) pick.append(h("option", { value: is, selected: is === now }, words));
  return h("label", { class: "light" }, "Light ", pick);
}

function files() {
  const { plan } = desk;
  const pick = h("input", { type: "file", multiple: true, accept: ".toml,.json,.jsonl", id: "files", onchange: () => opened([...(pick.files ?? [])]) });
  const opens = h("p", {}, h("label", { for: "files" }, "Open a plan: one file kept here before, or its plan, yard and shed together"), " ", pick);
  if (!plan) return [opens];
  return [
    opens,
    h("p", {}, button("Keep as one file", () => keepFile(`${plan.plan.replace(/\.plan\.toml$/, "")}.scantling.json`, bundled(plan), "application/json"), { "data-key": "bundle" })),
    h("ul", { class: "plain" }, Object.entries(plan.files).map(([name, text]) => h("li", {}, button(name, () => keepFile(name, text, "text/plain"))))),
    desk.home.kind === "browser" &&
      h("p", {}, button("Take this plan out of the browser", async () => {
        if (!confirm(`Take “${title(plan)}” out of this browser? Keep it as a file first if you may want it again.`)) return;
        await desk.home.remove(plan.id);
        location.reload();
      })),
  ];
}

/** Opens files from the disk. @param {File[]} files */
export async function opened(files) {
  try {
    if (files.length === 1 && files[0].name.endsWith(".json")) return await take(unbundled(await files[0].text()));
    const texts = Object.fromEntries(await Promise.all(files.map(async (file) => [file.name, await file.text()])));
    const plan = Object.keys(texts).find((name) => name.endsWith(".plan.toml")) ?? Object.keys(texts).find((name) => /^\s*\[piece\./m.test(texts[name]));
    if (!plan) throw new TypeError("None of these files is a plan: its name ends in .plan.toml.");
    await take(begun(plan, texts));
  } catch (error) {
    notice(error instanceof Error ? error.message : String(error));
  }
}
