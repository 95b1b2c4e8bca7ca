/** The build, growing step by step: one drawing at a time. */
import { desk, on } from "./desk.js";
import { button, h, renew } from "./dom.js";
import { drawing } from "./trust.js";

export function buildUp() {
  let at = Infinity;
  const picture = h("figure", { class: "buildup" });
  const caption = h("p", { "aria-live": "polite" });
  const slide = h("input", { type: "range", min: 1, step: 1, id: "buildup-step", oninput: () => go(Number(slide.value)) });
  const box = h("section", { id: "build-up", "aria-labelledby": "h-build-up", hidden: true }, h("h2", { id: "h-build-up" }, "How it goes up"), picture, caption,
    h("div", { class: "row" }, button("←", () => go(at - 1), { "aria-label": "a step back" }), h("label", { for: "buildup-step", class: "hidden" }, "Step"), slide, button("→", () => go(at + 1), { "aria-label": "a step on" })));

  /** @returns {{ svg: string, caption?: string }[]} */
  const steps = () => (desk.settled?.build_up ?? []).map((/** @type {any} */ step) => (typeof step === "string" ? { svg: step } : step));

  /** @param {number} to */
  function go(to) {
    const all = steps();
    at = Math.max(1, Math.min(all.length, to));
    const step = all[at - 1];
    if (!step) return;
    slide.max = String(all.length);
    slide.value = String(at);
    picture.replaceChildren(drawing(step.svg, "build-up"));
    caption.textContent = `${at} of ${all.length}. ${step.caption ?? ""}`;
  }

  on("answer", () => {
    box.hidden = !steps().length;
    if (box.hidden) renew(picture);
    else go(at);
  });
  return box;
}
