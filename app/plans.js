/** What a plan is here: a set of files with a name, and the steps that led to it. */

/**
 * @typedef {Record<string, string>} Files texts by their names
 * @typedef {{ what: string, before: Record<string, string | null>, after: Record<string, string | null>, entry?: { number: number, was: object } }} Step one change: the texts of the files that it touched, before and after; an entry of the day book instead, which is taken back by another
 * @typedef {{ id: string, plan: string, files: Files, done: Step[], undone: Step[], names?: Record<string, string> }} Plan `names`: those that its files got here instead of those that they came with
 * @typedef {{ id: string, title: string }} Brief
 */

/** How many steps are kept. */
const STEPS = 100;

/** The title in a plan's text, or the file's name. @param {{ plan: string, files: Files }} plan @returns {string} */
export function title(plan) {
  const found = /^\s*title\s*=\s*(?:"((?:[^"\\]|\\.)*)"|'([^']*)')/m.exec(plan.files[plan.plan] ?? "");
  const text = found?.[1] !== undefined ? unescaped(found[1]) : found?.[2];
  return text || plan.plan.replace(/\.plan\.toml$/, "");
}

/** @param {string} text */
function unescaped(text) {
  try {
    return String(JSON.parse(`"${text}"`));
  } catch {
    return text;
  }
}

/** A new plan of some files. @param {string} plan @param {Files} files @returns {Plan} */
export const begun = (plan, files) => ({ id: crypto.randomUUID(), plan, files: { ...files }, done: [], undone: [] });

/** The name of the day book of a plan. @param {string} plan */
export const dayBook = (plan) => plan.replace(/(\.plan)?\.toml$/, "") + ".daybook.jsonl";

/** The yard and the shed that a plan names, by the text of the plan. @param {Plan} plan @param {"yard" | "shed"} which @returns {string | undefined} */
export function named(plan, which) {
  const name = new RegExp(`^\\s*${which}\\s*=\\s*["']([^"']*)["']`, "m").exec(plan.files[plan.plan] ?? "")?.[1];
  return name !== undefined && name in plan.files ? name : Object.keys(plan.files).find((file) => file.endsWith(`${which}.toml`));
}

/** Files under other names, which the plan among them then uses. @param {string} plan its name before @param {Files} files @param {Record<string, string>} names @returns {Files} */
export function renamed(plan, files, names) {
  const line = /^(\s*(?:yard|shed)\s*=\s*)(["'])(.*?)\2/gm;
  const text = (/** @type {string} */ text) => text.replace(line, (all, key, quote, file) => (Object.hasOwn(names, file) ? key + quote + names[file] + quote : all));
  return Object.fromEntries(Object.entries(files).map(([name, was]) => [names[name] ?? name, name === plan ? text(was) : was]));
}

/** Changes files as one step. @param {Plan} plan @param {Record<string, string | null>} to @param {string} what @param {Step["entry"]} [entry] @returns {boolean} whether anything changed */
export function change(plan, to, what, entry) {
  const changed = Object.keys(to).filter((name) => (plan.files[name] ?? null) !== to[name]);
  if (!changed.length) return false;
  /** @param {(name: string) => string | null} of */
  const texts = (of) => Object.fromEntries(changed.map((name) => [name, of(name)]));
  plan.done.push({ what, before: texts((name) => plan.files[name] ?? null), after: texts((name) => to[name]), ...(entry ? { entry } : {}) });
  plan.done.splice(0, plan.done.length - STEPS);
  plan.undone = [];
  put(plan, texts((name) => to[name]));
  return true;
}

/** Puts texts of files in. @param {Plan} plan @param {Record<string, string | null>} texts */
export function put(plan, texts) {
  for (const [name, text] of Object.entries(texts)) {
    if (text === null) delete plan.files[name];
    else plan.files[name] = text;
  }
}

/** A plan as one file. @param {Plan} plan */
export const bundled = (plan) => JSON.stringify({ scantling: 1, plan: plan.plan, files: plan.files }, null, 1) + "\n";

/** A plan from one file. @param {string} text @returns {Plan} @throws {TypeError} with what is wrong, in words */
export function unbundled(text) {
  /** @type {any} */
  let read;
  try {
    read = JSON.parse(text);
  } catch {
    throw new TypeError("This file is no plan: it is not JSON.");
  }
  if (read?.scantling !== 1) throw new TypeError("This file is no plan of this edition.");
  const files = read.files;
  const whole = files && typeof files === "object" && Object.values(files).every((file) => typeof file === "string") && typeof read.plan === "string" && Object.hasOwn(files, read.plan);
  if (!whole) throw new TypeError("This file is no whole plan: a file is missing in it.");
  return begun(read.plan, files);
}
