/** One setting-out rod: a ruler of one size, notched where everything comes out, with a mark to draw along it. */
import { h, s } from "./dom.js";
import { graduation, inInches, show } from "./lengths.js";
import { labels } from "./labels.js";

/**
 * @typedef {{ from: number, to: number, best: number, shown: string, price?: string | number | null, chosen?: boolean }} Notch
 * @typedef {{ name: string, at: number, shown: string, want: number, from: number, to: number, step: number, notches: Notch[] }} Size
 * @typedef {{ moved(name: string, at: number): void, let_go(name: string, at: number): void, back(): void }} Hands
 */

const EDGE = 14;
const BATTEN = 40;
const NOTCH = 14;
/** How long keys may rest before the mark is taken as let go. */
const REST = 900;

export class Rod {
  held = false;
  /** @type {Size} */ #size = /** @type {any} */ (null);
  #unit = "mm";
  #currency = "";
  #step = 1_000_000;
  /** Where the mark stands. */ #at = 0;
  #said = "";
  #top = 0;
  #wide = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #rest;
  #hands;

  /** @param {string} name @param {Hands} hands */
  constructor(name, hands) {
    this.name = name;
    this.#hands = hands;
    this.title = name.replaceAll(".", " ");
    this.element = h("div", { class: "rod", role: "slider", tabindex: 0, "data-key": `rod-${name}`, "aria-label": this.title, "aria-orientation": "horizontal" });
    this.element.addEventListener("keydown", (event) => this.#key(event));
    this.element.addEventListener("blur", () => this.#commit());
    this.element.addEventListener("pointerdown", (event) => this.#grip(event));
    new ResizeObserver(() => this.#draw()).observe(this.element);
  }

  /** @param {Size} size @param {string} unit @param {string} currency @param {number} step */
  settled(size, unit, currency, step) {
    this.#unit = unit;
    this.#currency = currency;
    this.#step = size.step || step || this.#step;
    this.#size = size;
    if (!this.held) this.rest();
  }

  /** Back to where the plan has it. */
  rest() {
    this.held = false;
    clearTimeout(this.#rest);
    this.#at = this.#size.at;
    this.#said = this.#size.shown;
    this.#draw();
  }

  /** Goes where another rod's drag takes this size. @param {number} at @param {string} shown */
  follow(at, shown) {
    if (this.#at === at && this.#said === shown) return;
    this.#at = at;
    this.#said = shown;
    this.#draw();
  }

  /** What this size really comes out at, while it is drawn. @param {{ at: number, shown: string } | undefined} size */
  say(size) {
    if (size) this.#said = size.at === this.#at ? size.shown : `${show(this.#at, this.#unit)}: nearest ${size.shown}`;
    this.#draw();
  }

  /** @param {number} at */
  #to(at) {
    const { from, to } = this.#size;
    this.#at = Math.min(to, Math.max(from, from + Math.round((at - from) / this.#step) * this.#step));
    this.#said = show(this.#at, this.#unit);
    this.held = true;
    this.#draw();
    this.#hands.moved(this.name, this.#at);
  }

  #commit() {
    clearTimeout(this.#rest);
    if (!this.held) return;
    this.held = false;
    if (this.#at === this.#size.at) this.#hands.back();
    else this.#hands.let_go(this.name, this.#at);
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const { from, to, notches } = this.#size;
    const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
    if (event.key === "Escape" && this.held) return this.#hands.back();
    if (event.key === "Enter") return this.#commit();
    let at;
    if (event.key === "Home") at = from;
    else if (event.key === "End") at = to;
    else if (way && event.shiftKey) at = this.#at + way * this.#step;
    else if (way) {
      const bests = notches.map((notch) => notch.best).sort((a, b) => (a - b) * way);
      at = bests.find((best) => (best - this.#at) * way > 0) ?? this.#at;
    } else return;
    event.preventDefault();
    this.#to(at);
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => this.#commit(), REST);
  }

  /** @param {PointerEvent} event */
  #grip(event) {
    if (event.button !== 0) return;
    const { element } = this;
    element.setPointerCapture(event.pointerId);
    element.focus({ preventScroll: true });
    event.preventDefault();
    const draw = (/** @type {PointerEvent} */ moved) => this.#to(this.#length(moved.clientX - element.getBoundingClientRect().left));
    const end = (/** @type {PointerEvent} */ up) => {
      element.removeEventListener("pointermove", draw);
      element.removeEventListener("pointerup", end);
      element.removeEventListener("pointercancel", end);
      if (up.type === "pointerup") this.#commit();
      else this.#hands.back();
    };
    element.addEventListener("pointermove", draw);
    element.addEventListener("pointerup", end);
    element.addEventListener("pointercancel", end);
    draw(event);
  }

  /** @param {number} x */
  #length(x) {
    const { from, to } = this.#size;
    return from + ((x - EDGE) / (this.#wide - 2 * EDGE)) * (to - from);
  }

  /** @param {number} length */
  #x(length) {
    const { from, to } = this.#size;
    return Math.round((EDGE + ((Math.min(to, Math.max(from, length)) - from) / (to - from)) * (this.#wide - 2 * EDGE)) * 100) / 100;
  }

  /** The notch in which a length lies. @param {number} at */
  #notch(at) {
    return this.#size.notches.find((notch) => notch.from <= at && at <= notch.to);
  }

  #draw() {
    const { element } = this;
    const wide = element.clientWidth;
    if (!wide || !this.#size) return;
    this.#wide = wide;
    const { from, to, want, notches } = this.#size;
    const here = this.#notch(this.#at);
    const above = labels(notches.map((notch) => ({ x: this.#x(notch.best), lines: [notch.shown, money(notch.price)].filter(Boolean), first: notch === here })), wide);
    this.#top = 26 + above.height;
    const svg = s("svg", { width: wide, height: this.#top + BATTEN + 70, viewBox: `0 0 ${wide} ${this.#top + BATTEN + 70}`, "aria-hidden": "true" });
    svg.append(s("text", { x: 0, y: 16, class: "rod-title" }, `${this.title}, figures in ${inInches(this.#unit) ? "inches" : "mm"}`));
    svg.append(s("path", { d: this.#batten(), class: "wood" }), this.#ticks(), ...this.#figures());
    for (const label of above.shown) {
      const y = this.#top - 6 - label.up;
      svg.append(s("path", { d: `M${label.x} ${y + 2}V${this.#top + (label.first ? NOTCH : 0)}`, class: "thin" }));
      if (label.first) svg.append(s("rect", { x: label.left - 4, y: y - label.lines.length * 15 - 2, width: label.wide + 8, height: label.lines.length * 15 + 5, class: "frame" }));
      label.lines.forEach((words, at) => svg.append(s("text", { x: label.left + label.wide / 2, y: y - (label.lines.length - 1 - at) * 15 - 2, class: at ? "price" : "best", "text-anchor": "middle" }, words)));
    }
    const bottom = this.#top + BATTEN;
    const x = this.#x(this.#at);
    svg.append(s("path", { d: `M${this.#x(want)} ${bottom + 1}l6 11h-12z`, class: "wish" }));
    svg.append(s("path", { d: `M${x} ${this.#top + NOTCH}V${bottom + 36}`, class: "runner" }), s("path", { d: `M${x} ${bottom + 20}l11 20h-22z`, class: "mark" }));
    const words = this.#said;
    const half = Math.min(wide / 2, words.length * 5);
    svg.append(s("text", { x: Math.max(half, Math.min(wide - half, x)), y: bottom + 58, class: "at", "text-anchor": "middle" }, words));
    element.replaceChildren(svg);
    const set = { valuemin: show(from, this.#unit), valuemax: show(to, this.#unit), valuenow: this.#at / 1e6, valuetext: this.#words(here) };
    element.setAttribute("aria-valuemin", String(from / 1e6));
    element.setAttribute("aria-valuemax", String(to / 1e6));
    element.setAttribute("aria-valuenow", String(set.valuenow));
    element.setAttribute("aria-valuetext", set.valuetext);
    element.classList.toggle("held", this.held);
  }

  /** @param {Notch | undefined} here */
  #words(here) {
    const unit = inInches(this.#unit) ? "" : " mm";
    const price = money(here?.price);
    return `${show(this.#at, this.#unit)}${unit}, ${here ? "comes out" : "does not come out"}${here && price ? `, ${price} ${this.#currency}` : ""}`;
  }

  /** The outline of the batten with its notches. */
  #batten() {
    const top = this.#top;
    let path = `M1 ${top + BATTEN}V${top}`;
    for (const { from, to } of [...this.#size.notches].sort((a, b) => a.from - b.from)) {
      if (to < this.#size.from || from > this.#size.to) continue;
      const [left, right] = [this.#x(from), this.#x(to)];
      path += right - left < 2 ? `H${left - 2}L${left} ${top + NOTCH}L${left + 2} ${top}` : `H${left}V${top + NOTCH}H${right}V${top}`;
    }
    return `${path}H${this.#wide - 1}V${top + BATTEN}Z`;
  }

  #ticks() {
    const { from, to } = this.#size;
    const [fine, coarse] = graduation((to - from) / (this.#wide - 2 * EDGE), this.#unit);
    const bottom = this.#top + BATTEN;
    let path = "";
    for (let at = Math.ceil(from / fine) * fine; at <= to; at += fine) path += `M${this.#x(at)} ${bottom}v${at % coarse === 0 ? -13 : -7}`;
    return s("path", { d: path, class: "thin" });
  }

  #figures() {
    const { from, to } = this.#size;
    const [, coarse] = graduation((to - from) / (this.#wide - 2 * EDGE), this.#unit);
    const figures = [];
    for (let at = Math.ceil(from / coarse) * coarse; at <= to; at += coarse) {
      const words = show(at, this.#unit);
      const half = words.length * 4.6;
      if (Math.abs(this.#x(at) - this.#x(this.#at)) < half + 13) continue;
      figures.push(s("text", { x: Math.max(half, Math.min(this.#wide - half, this.#x(at))), y: this.#top + BATTEN + 26, class: "figure", "text-anchor": "middle" }, words));
    }
    return figures;
  }
}

/** @param {string | number | null | undefined} price */
const money = (price) => (price === null || price === undefined ? "" : String(price));
