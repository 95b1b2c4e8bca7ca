/** How it goes up, from any side: one line drawing, turned by finger, mouse or keys, and grown step by step. The core draws each. */
import { desk, on } from "./desk.js";
import { quick } from "./core.js";
import { button, h, notice, renew } from "./dom.js";
import { drawing } from "./trust.js";

/** From where one looks, in steps of 15°: round the build from its front towards its right, and above the level. */
const FIRST = { around: 3, above: 2 };
const ROUND = 24;
const UPRIGHT = 6;
/** Pixels that a finger moves for one step. */
const PER_STEP = 26;

export function buildUp() {
  let at = Infinity;
  let side = { ...FIRST };
  /** Counts the pictures that were asked for: an older one never replaces a newer one. */
  let asked = 0;
  const picture = h("figure", { class: "buildup", tabindex: 0, role: "group", "aria-label": "The build, to turn: arrow keys turn it, plus and minus build it up and take it apart", onkeydown: key, onpointerdown: grip });
  const from = h("p", { class: "what", "aria-live": "polite", id: "turned-from" });
  const caption = h("p", { "aria-live": "polite", id: "turned-step" });
  const slide = h("input", { type: "range", min: 1, step: 1, id: "buildup-step", oninput: () => go(Number(slide.value)) });
  const space = h("div", { class: "space" });
  const turns = h("div", { class: "row turns", role: "group", "aria-label": "Turn it" },
    button("⟲", () => turn(-1, 0), { "aria-label": "walk to the left", "data-key": "turn-left" }), button("⟳", () => turn(1, 0), { "aria-label": "walk to the right", "data-key": "turn-right" }),
    button("↑", () => turn(0, 1), { "aria-label": "look from higher up", "data-key": "turn-up" }), button("↓", () => turn(0, -1), { "aria-label": "look from lower down", "data-key": "turn-down" }),
    button("as first seen", () => ((side = { ...FIRST }), draw()), { "data-key": "turn-back" }));
  const deep = button("In three dimensions", solid, { "data-key": "solid" });
  const box = h("section", { id: "build-up", "aria-labelledby": "h-build-up", hidden: true }, h("h2", { id: "h-build-up" }, "How it goes up"),
    h("p", {}, "Turn it with a finger, the mouse or the arrow keys; the slide takes it apart, the last part first."),
    picture, from, caption,
    h("div", { class: "row" }, button("←", () => go(at - 1), { "aria-label": "a step back" }), h("label", { for: "buildup-step", class: "hidden" }, "Step"), slide, button("→", () => go(at + 1), { "aria-label": "a step on" })),
    turns, h("p", { class: "row" }, deep), space);

  /** @returns {{ svg: string, caption: string }[]} */
  const steps = () => desk.settled?.build_up ?? [];

  async function draw() {
    const step = steps()[at - 1];
    const { body } = desk.settled ?? {};
    if (!step || !body) return;
    const turn = (asked += 1);
    caption.textContent = `${at} of ${steps().length}. ${step.caption}`;
    // Whole, nothing in it is new: all lines alike.
    const answer = await quick.latest("turned", { body, ...side, ...(at < steps().length ? { steps: at } : {}) });
    if (turn !== asked || !answer) return;
    if (!answer.ok) return void notice(`Not drawn: ${answer.refused?.text ?? answer.error}`);
    picture.replaceChildren(drawing(answer.ok.svg, "build-up"));
    from.textContent = answer.ok.from;
  }

  /** @param {number} to */
  function go(to) {
    const count = steps().length;
    if (!count) return;
    at = Math.max(1, Math.min(count, to));
    slide.max = String(count);
    slide.value = String(at);
    draw();
    dispatchEvent(new CustomEvent("built", { detail: at }));
  }

  /** @param {number} around @param {number} above */
  function turn(around, above) {
    side = { around: (side.around + around + ROUND) % ROUND, above: Math.max(-UPRIGHT, Math.min(UPRIGHT, side.above + above)) };
    draw();
  }

  /** @param {KeyboardEvent} event */
  function key(event) {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    const step = { "+": 1, "=": 1, "-": -1 }[event.key];
    if (event.key === "Home") ((side = { ...FIRST }), draw());
    else if (step) go(at + step);
    else if (way) turn(way[0], way[1]);
    else return;
    event.preventDefault();
  }

  /** @param {PointerEvent} event */
  function grip(event) {
    if (event.button !== 0) return;
    const start = { x: event.clientX, y: event.clientY, ...side };
    picture.setPointerCapture(event.pointerId);
    const moved = (/** @type {PointerEvent} */ move) => {
      const around = start.around - Math.round((move.clientX - start.x) / PER_STEP);
      const above = Math.max(-UPRIGHT, Math.min(UPRIGHT, start.above + Math.round((move.clientY - start.y) / PER_STEP)));
      const to = { around: ((around % ROUND) + ROUND) % ROUND, above };
      if (to.around === side.around && to.above === side.above) return;
      side = to;
      draw();
    };
    const end = () => picture.removeEventListener("pointermove", moved);
    picture.addEventListener("pointermove", moved);
    for (const what of ["pointerup", "pointercancel"]) picture.addEventListener(what, end, { once: true });
  }

  /** The view in three dimensions is brought only when it is asked for. */
  async function solid() {
    const { open } = await import("./solid.js");
    open(space, () => ({ body: desk.settled?.body, steps: at < steps().length ? at : null }), deep);
  }

  on("answer", () => {
    box.hidden = !steps().length || !desk.settled?.body;
    if (box.hidden) return void (renew(picture), renew(space));
    go(at);
  });
  return box;
}
