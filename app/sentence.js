/** The sentence: running text with words to tap. The core says which words there are and what may stand for each. */
import { change, desk, on, take } from "./desk.js";
import { quick } from "./core.js";
import { button, h, notice, renew } from "./dom.js";
import { narrow, pictures } from "./pictures.js";
import { begun, renamed } from "./plans.js";

/**
 * @typedef {{ word: string, is?: string, shown: string, choices?: { is: string, shown: string }[], length?: { from: number, to: number }, wrong?: string }} Word
 */

const UNITS = "scantling.units";

export function sentence() {
  const line = h("p", { class: "sentence" });
  const after = h("div", { class: "row" });
  const picture = h("div", { class: "pictures" });
  /** What was chosen so far. @type {Record<string, string>} */
  let words = {};
  /** The plan that this sentence began, as long as nothing else changed it. @type {import("./plans.js").Plan | null} */
  let mine = null;
  let units = localStorage.getItem(UNITS) ?? (/^en-US/.test(navigator.language) ? "in" : "mm");
  /** @type {{ plan: string, files: Record<string, string> } | null} */
  let ready = null;

  async function draw() {
    const answer = await quick.latest("start", { units, words });
    if (!answer) return;
    if (!answer.ok) return void notice(`The sentence is not there: ${answer.refused?.text ?? answer.error}`);
    const { sentence, plan, files } = answer.ok;
    renew(line, together(sentence));
    ready = files && plan ? { plan, files } : null;
    renew(after, ready && (mine && mine === desk.plan ? null : button(desk.plan ? "Begin another plan with this" : "Make a plan of this", begin, { class: "main", "data-key": "begin" })), unit());
    if (ready && mine && mine === desk.plan) change(renamed(ready.plan, ready.files, mine.names ?? {}), "say it otherwise");
    look();
  }

  /** What to tap, and the texts between: a comma or a point stays with the word before it. @param {(string | Word)[]} parts */
  function together(parts) {
    return parts.map((part, at) => {
      if (typeof part === "string") return typeof parts[at - 1] === "object" ? part.replace(/^[,.;:]/, "") : part;
      const word = part.length ? length(part) : choice(part);
      const next = parts[at + 1];
      const point = typeof next === "string" ? /^[,.;:]/.exec(next)?.[0] : undefined;
      return point ? h("span", { class: "pointed" }, word, point) : word;
    });
  }

  async function begin() {
    if (!ready) return;
    mine = begun(ready.plan, ready.files);
    await take(mine);
    draw();
    location.hash = "#table";
  }

  /** The picture of what is said so far, before it is a plan. */
  async function look() {
    const said = ready;
    const answer = said && (await quick.sure("drag", { plan: said.plan, files: said.files, wants: {}, narrow: narrow() }));
    if (said === ready) pictures(picture, "start", answer?.ok);
  }

  /** @param {string} word @param {string} is */
  function choose(word, is) {
    words = { ...words, [word]: is };
    draw();
  }

  /** A word to tap: its list opens below it. @param {Word} word */
  function choice(word) {
    const list = h("span", { class: "choices", hidden: true, role: "group", "aria-label": `instead of ${word.shown}` });
    const tap = button(word.shown, () => show(Boolean(list.hidden)), { class: "word", "aria-expanded": "false", "data-key": `word-${word.word}` });
    const show = (/** @type {boolean} */ open) => {
      list.hidden = !open;
      tap.setAttribute("aria-expanded", String(open));
      if (open) /** @type {HTMLElement | null} */ (list.querySelector("[aria-pressed=true]") ?? list.firstElementChild)?.focus();
    };
    for (const { is, shown } of word.choices ?? []) {
      list.append(button(shown, () => (tap.focus(), choose(word.word, is)), { "aria-pressed": String(is === word.is) }));
    }
    list.addEventListener("keydown", (event) => {
      const at = [...list.children].indexOf(/** @type {Element} */ (document.activeElement));
      const next = { ArrowDown: at + 1, ArrowRight: at + 1, ArrowUp: at - 1, ArrowLeft: at - 1 }[event.key];
      if (event.key === "Escape") (show(false), tap.focus());
      else if (next !== undefined) (event.preventDefault(), /** @type {HTMLElement | undefined} */ (list.children[(next + list.children.length) % list.children.length])?.focus());
    });
    return h("span", { class: "tapped" }, tap, list);
  }

  /** A length to type. @param {Word} word */
  function length(word) {
    const input = h("input", { class: "word", inputmode: units === "mm" ? "decimal" : "text", value: word.is ?? word.shown, size: Math.max(4, String(word.shown).length), "aria-label": `${word.word.replace(/[.-]/g, " ")}, ${units}`, "data-key": `word-${word.word}`, onchange: () => choose(word.word, input.value), "aria-invalid": word.wrong && "true", "aria-describedby": word.wrong && `wrong-${word.word}` });
    return h("span", {}, input, word.wrong && h("span", { class: "wrong-word", id: `wrong-${word.word}`, role: "alert" }, ` (${word.wrong}) `));
  }

  function unit() {
    const pick = h("select", { "aria-label": "Tape", "data-key": "units", onchange: () => {
      units = pick.value;
      localStorage.setItem(UNITS, units);
      words = {};
      draw();
    } });
    for (const [is, shown] of [["mm", "millimetres"], ["in", "inches"]]) pick.append(h("option", { value: is, selected: is === units }, shown));
    return h("label", { class: "light" }, "Tape ", pick);
  }

  on("plan", () => mine && mine !== desk.plan && ((mine = null), draw()));
  draw();
  return h("div", {}, line, after, picture);
}
