/** What lies on the desk: one plan, what the core says of it, and who wants to know. */
import { quick, slow } from "./core.js";
import { notice, button } from "./dom.js";
import { home } from "./home.js";
import { narrow } from "./pictures.js";
import { change as changed, dayBook, put } from "./plans.js";

/**
 * @typedef {import("./plans.js").Plan} Plan
 * @typedef {import("./core.js").Edit} Edit
 * @typedef {"plan" | "answer" | "picture" | "busy" | "form"} What
 */

export const desk = {
  /** @type {import("./home.js").Home} */ home: /** @type {any} */ (null),
  /** @type {Plan | null} */ plan: null,
  /** What was last settled; it may be older than the plan while `busy`. @type {any} */ settled: null,
  /** Why the plan cannot be, if so. @type {import("./core.js").Refused | null} */ refused: null,
  /** The tables of all files. @type {import("./form.js").FormFile[]} */ form: [],
  /** Sizes, line and both drawings of the last drag. @type {any} */ picture: null,
  busy: false,
};

/** @type {Map<What, Set<() => void>>} */
const listeners = new Map();

/** Calls when something changes. @param {What} what @param {() => void} does */
export function on(what, does) {
  listeners.set(what, (listeners.get(what) ?? new Set()).add(does));
}

/** @param {...What} whats */
export function tell(...whats) {
  for (const what of whats) for (const does of listeners.get(what) ?? []) does();
}

/** What every request about the plan carries. */
export const about = () => ({ plan: desk.plan?.plan, files: desk.plan?.files ?? {} });

/** Finds the home, and tells when a plan was changed elsewhere. */
export async function settleIn() {
  desk.home = await home();
  desk.home.watch((elsewhere) => {
    if (elsewhere.id !== desk.plan?.id) return;
    const theirs = button("Take theirs", () => {
      box.remove();
      if (elsewhere.file) change({ [elsewhere.file]: elsewhere.theirs ?? "" }, `take ${elsewhere.file} as it was changed elsewhere`);
      else open(elsewhere.id);
    });
    const mine = button("Keep mine", () => {
      box.remove();
      Promise.resolve(elsewhere.keepMine ? elsewhere.keepMine() : save(Object.keys(desk.plan?.files ?? {}))).catch(unsaved);
    });
    const choices = elsewhere.file && !elsewhere.keepMine ? [theirs] : [mine, theirs];
    const box = notice(elsewhere.file ? `${elsewhere.file} was changed by another program.` : "This plan was changed in another window.", ...choices);
  });
}

/** Opens a plan. @param {string} id */
export async function open(id) {
  const plan = await desk.home.load(id).catch(unsaved);
  if (plan) lay(plan);
  return Boolean(plan);
}

/** Lays a plan on the desk and keeps it. @param {Plan} plan */
export async function take(plan) {
  await desk.home.take(plan);
  lay(plan);
  await save(Object.keys(plan.files));
}

/** @param {Plan} plan */
function lay(plan) {
  Object.assign(desk, { plan, settled: null, refused: null, form: [], picture: null });
  renewed();
}

/** @param {unknown} error @returns {void} */
const unsaved = (error) => void notice(error instanceof Error ? error.message : String(error));

/** @param {string[]} names */
async function save(names) {
  if (desk.plan) await desk.home.save(desk.plan, names).catch(unsaved);
}

/** Changes files: one step of undo, kept at once, settled anew. @param {Record<string, string | null>} to @param {string} what @param {import("./plans.js").Step["entry"]} [entry] */
export function change(to, what, entry) {
  if (!desk.plan || !changed(desk.plan, to, what, entry)) return;
  save(Object.keys(to));
  renewed();
}

/** Asks for all that follows from the plan as it is. */
function renewed() {
  tell("plan");
  settle();
  form();
  drag({});
}

async function settle() {
  desk.busy = true;
  tell("busy");
  const turn = (turns += 1);
  const answer = await slow.latest("settle", about());
  if (turn !== turns || !answer) return;
  if (answer.error) notice(`Not reckoned: ${answer.error}`);
  desk.settled = answer.ok ?? (answer.refused ? null : desk.settled);
  desk.refused = answer.refused ?? null;
  done();
  tell("answer");
}

/** Settlings asked for; an answer to any but the last is stale. */
let turns = 0;

function done() {
  desk.busy = false;
  tell("busy");
}

/** Ends the settling that runs. */
export function cancel() {
  slow.cancel();
  done();
}

async function form() {
  const answer = await quick.latest("form", about());
  if (!answer?.ok) return;
  const { files } = answer.ok;
  desk.form = Array.isArray(files) ? files : Object.entries(files).map(([name, tables]) => ({ name, tables: Array.isArray(tables) ? tables : /** @type {any} */ (tables).tables }));
  tell("form");
}

/** The closing nearest to some sizes, at once. @param {Record<string, number>} wants @returns {Promise<any>} */
export async function drag(wants) {
  const plan = desk.plan;
  const texts = JSON.stringify(plan?.files);
  const answer = await quick.latest("drag", { ...about(), wants, narrow: narrow() });
  if (!answer?.ok || plan !== desk.plan || texts !== JSON.stringify(desk.plan?.files)) return null;
  desk.picture = answer.ok;
  tell("picture");
  return answer.ok;
}

/** Changes single values of files, as one step. @param {Edit[]} edits @param {string} what @returns {Promise<boolean>} whether all could be made */
export async function edit(edits, what) {
  const plan = desk.plan;
  if (!plan) return false;
  /** @type {Record<string, string>} */
  const texts = {};
  for (const { file = plan.plan, path, to } of edits) {
    const answer = await quick.sure("edit", { text: texts[file] ?? plan.files[file], path, to });
    if (!answer.ok) {
      notice(`Not changed: ${answer.refused?.text ?? answer.error}`);
      return false;
    }
    texts[file] = answer.ok.text;
  }
  if (plan !== desk.plan) return false;
  change(texts, what);
  return true;
}

/** Makes the plan wish some sizes. @param {Record<string, number>} sizes @param {string} what */
export async function move(sizes, what) {
  const answer = await quick.sure("move", { ...about(), sizes });
  if (answer.ok) return edit(answer.ok.edits, what);
  notice(`Not moved: ${answer.refused?.text ?? answer.error}`);
  return false;
}

/** What an entry of the day book would change. @param {object} entry */
export const ask = (entry) => slow.sure("note", { ...about(), entry });

/** Writes an entry that was asked about into the day book. @param {string} line @param {number} number its own @param {object} entry @param {string} what */
export function append(line, number, entry, what) {
  if (!desk.plan) return;
  const name = dayBook(desk.plan.plan);
  change({ [name]: grown(name, line) }, what, { number, was: entry });
}

/** @param {string} name @param {string} line */
const grown = (name, line) => `${desk.plan?.files[name] ?? ""}${line.trimEnd()}\n`;

/** Takes the last step back, or makes it again. @param {"undo" | "redo"} which */
export async function step(which) {
  const plan = desk.plan;
  const [from, to] = plan ? (which === "undo" ? [plan.done, plan.undone] : [plan.undone, plan.done]) : [[], []];
  const last = from.at(-1);
  if (!plan || !last) return;
  let texts = which === "undo" ? last.before : last.after;
  let after = last;
  if (last.entry) {
    // A day book is never changed: an undo is an entry too, and what is made again is written again.
    const entry = which === "undo" ? { what: "undo", entry: last.entry.number } : last.entry.was;
    const answer = await ask(entry);
    const { line, number } = answer.ok ?? {};
    if (!line) return void notice(`Not taken back: ${answer.refused?.text ?? answer.error}`);
    const name = dayBook(plan.plan);
    texts = { [name]: grown(name, line) };
    if (which === "redo") after = { ...last, entry: { ...last.entry, number } };
  }
  from.pop();
  to.push(after);
  put(plan, texts);
  save(Object.keys(texts));
  renewed();
}
