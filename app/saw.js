/** Saw: one card on the screen in big type; parts are ticked as they are cut, and what went wrong is said here. */
import { desk, on } from "./desk.js";
import { awake, can } from "./awake.js";
import { button, h, renew } from "./dom.js";
import { consider } from "./entry.js";
import { own } from "./places.js";
import { print } from "./print.js";
import { reading } from "./reading.js";
import { tick, ticks } from "./ticks.js";
import { ofCore } from "./trust.js";

/** Which card is shown, from 0. */
let at = 0;

export function saw() {
  const card = h("div", { class: "one-card", id: "one-card", "aria-live": "off" });
  const turn = h("div", { class: "row turn" });
  const part = h("div", { class: "part-keys" });
  const answer = h("div", { class: "answer", "aria-live": "polite" });
  const all = h("div", { class: "all-cards", "aria-hidden": "true" });
  const box = h("section", { id: "cards", "aria-labelledby": "h-cards" }, h("h2", { id: "h-cards" }, "At the saw, card by card"), h("div", { class: "screen-only" }, turn, card, part, answer), all);
  const keep = h("label", { class: "keep-awake" }, h("input", { type: "checkbox", onchange: (/** @type {Event} */ event) => awake(/** @type {HTMLInputElement} */ (event.target).checked) }), " keep the screen awake");
  own("saw").append(h("p", { class: "row" }, button("Print the cards", () => print("cards"), { class: "main" }), can() && keep), box);

  on("plan", () => desk.settled || (at = 0));
  on("answer", () => {
    all.replaceChildren();
    for (const html of cards()) all.append(ofCore(html));
    for (const element of all.querySelectorAll("[id]")) element.removeAttribute("id");
    for (const element of all.querySelectorAll("[aria-labelledby]")) element.removeAttribute("aria-labelledby");
    for (const element of all.querySelectorAll("input, a")) element.setAttribute("tabindex", "-1");
    draw();
  });

  /** @returns {string[]} */
  const cards = () => (desk.settled?.cards ?? []).map((/** @type {any} */ card) => (typeof card === "string" ? card : card.html));

  function draw() {
    const count = cards().length;
    at = Math.max(0, Math.min(count - 1, at));
    const go = (/** @type {number} */ to) => () => {
      at = to;
      renew(part);
      renew(answer);
      draw();
    };
    renew(turn, count > 0 && [button("← before", go(at - 1), { disabled: at === 0, "data-key": "before", "aria-label": "card before" }), h("span", { role: "status" }, `${at + 1} of ${count}`), button("next →", go(at + 1), { disabled: at >= count - 1, "data-key": "next", "aria-label": "next card" })]);
    if (!count) return renew(card, desk.settled && h("p", {}, "Nothing is cut in this plan."));
    card.replaceChildren(ofCore(cards()[at]));
    tallies();
  }

  /** Makes the tally of the card's parts: a tap ticks one, and brings its keys. */
  function tallies() {
    const done = ticks();
    const boxes = /** @type {HTMLInputElement[]} */ ([...card.querySelectorAll(".tally input")]);
    for (const box of boxes) {
      const name = nameOf(box);
      box.checked = done.has(name);
      box.dataset.key = `tick-${name}`;
      box.addEventListener("change", () => {
        tick(name, box.checked);
        keys(name);
      });
    }
  }

  /** @param {string} name */
  function keys(name) {
    renew(answer);
    const done = [...ticks()].filter((part) => [...card.querySelectorAll(".tally input")].some((box) => nameOf(/** @type {HTMLInputElement} */ (box)) === part));
    const planned = card.querySelector(".stop")?.textContent?.replace(/^\D*(?=\d)/, "") ?? "";
    renew(part, reading(name, planned, {
      asPlanned: () => consider(answer, { what: "cut", parts: done.length ? done : [name] }, `${(done.length ? done : [name]).join(" ")} cut`),
      otherwise: (length) => consider(answer, { what: "wrong", part: name, length }, `${name} went wrong`),
    }, done));
  }
}

/** The short id of a part on its tick. @param {HTMLInputElement} box */
const nameOf = (box) => (box.closest("label")?.textContent ?? "").trim();
