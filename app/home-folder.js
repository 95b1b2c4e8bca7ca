/** The folder that `scantling open` serves: files are read and written there, each write against the stamp that was read. */
import { through } from "./core.js";
import { renamed } from "./plans.js";

const TOKEN = "scantling.token";
/** The stamp of a file that is not there. */
const NONE = "none";

/** @typedef {import("./plans.js").Plan} Plan */

/** The token of this opening, from the fragment of the address, once. */
function token() {
  const found = /^#token=([\w-]+)$/.exec(location.hash)?.[1];
  if (found) {
    sessionStorage.setItem(TOKEN, found);
    history.replaceState(null, "", location.pathname);
  }
  return found ?? sessionStorage.getItem(TOKEN);
}

/** @typedef {import("./home.js").Home} Home */

/** @implements {Home} */
export class Folder {
  /** @type {"folder"} */ kind = "folder";
  /** @type {Record<string, string>} */ #stamps = {};
  /** @type {Record<string, string>} */ #texts = {};
  /** @type {(what: import("./home.js").Elsewhere) => void} */ #told = () => {};
  /** The plan on the desk. */
  #plan = "";
  #token;
  /** Writes go one after the other. */
  #turn = Promise.resolve();

  /** @param {string} token */
  constructor(token) {
    this.#token = token;
  }

  /** The folder, if this page is served by one. @returns {Promise<Folder | null>} */
  static async here() {
    const known = token();
    if (!known) return null;
    const folder = new Folder(known);
    const said = await folder.#said().catch(() => null);
    if (said?.folder !== true) return null;
    if (said.ask) through(folder.#reckon.bind(folder));
    return folder;
  }

  /** @param {string} path @param {RequestInit} [with_] */
  #ask(path, with_ = {}) {
    return fetch(path, { ...with_, cache: "no-store", headers: { "X-Scantling-Token": this.#token, ...with_.headers } });
  }

  /** What the folder holds. @returns {Promise<{ folder: boolean, ask: boolean, first: string | null, plans: { name: string, title: string | null }[], taken: string[] }>} */
  async #said() {
    const answer = await this.#ask("folder");
    if (!answer.ok) throw new Error(await why(answer));
    return answer.json();
  }

  /** @type {import("./wire.js").Ask} */
  async #reckon(request, signal) {
    const answer = await this.#ask("ask", { method: "POST", body: JSON.stringify(request), signal });
    return answer.ok ? answer.json() : { error: await why(answer) };
  }

  async list() {
    const { plans } = await this.#said();
    return plans.map(({ name, title }) => ({ id: name, title: title ?? name }));
  }

  async first() {
    return (await this.#said()).first;
  }

  /** @param {string} id @returns {Promise<Plan | null>} */
  async load(id) {
    const { plan, files } = await this.#files(id);
    this.#plan = plan;
    const there = Object.entries(files).filter(([, file]) => file.text !== null);
    for (const [name, file] of Object.entries(files)) this.#stamps[name] = file.stamp;
    const texts = Object.fromEntries(there.map(([name, file]) => [name, file.text]));
    Object.assign(this.#texts, texts);
    return { id: plan, plan, files: texts, done: [], undone: [] };
  }

  /** @param {string} id @returns {Promise<{ plan: string, files: Record<string, { text: string, stamp: string }> }>} */
  async #files(id) {
    const answer = await this.#ask(`files?plan=${encodeURIComponent(id)}`);
    if (!answer.ok) throw new Error(await why(answer));
    return answer.json();
  }

  /** Gives a new plan and its files the first names that nothing in the folder has. @param {Plan} plan */
  async take(plan) {
    const taken = new Set((await this.#said()).taken);
    const names = Object.keys(plan.files);
    for (let count = 1; ; count += 1) {
      const own = (/** @type {string} */ name) => (count === 1 ? name : name.replace(/(\.(plan|yard|shed|daybook))?\.\w+$/, `-${count}$&`));
      if (names.some((name) => taken.has(own(name)))) continue;
      plan.names = Object.fromEntries(names.map((name) => [name, own(name)]));
      plan.files = renamed(plan.plan, plan.files, plan.names);
      plan.id = plan.plan = own(plan.plan);
      this.#plan = plan.id;
      return;
    }
  }

  /** @param {Plan} plan @param {string[]} changed */
  save(plan, changed) {
    // The plan first: it is what lets its files in.
    const names = [...changed].sort((a, b) => Number(b === plan.plan) - Number(a === plan.plan));
    const texts = names.map((name) => /** @type {const} */ ([name, plan.files[name]]));
    const all = this.#turn.then(async () => {
      for (const [name, text] of texts) if (text !== undefined) await this.#write(name, text);
    });
    this.#turn = all.catch(() => {});
    return all;
  }

  /** @param {string} name @param {string} text */
  async #write(name, text) {
    if (name.endsWith(".daybook.jsonl")) return this.#append(name, text);
    if (this.#texts[name] === text) return;
    const answer = await this.#ask(`files/${encodeURIComponent(name)}`, { method: "PUT", body: text, headers: { "If-Match": this.#stamps[name] ?? NONE } });
    if (answer.status === 409) return this.#conflict(name, await answer.json(), () => this.#write(name, text));
    if (!answer.ok) throw new Error(`${name} was not kept: ${await why(answer)}`);
    this.#stamps[name] = (await answer.json()).stamp;
    this.#texts[name] = text;
  }

  /** Day books only grow. @param {string} name @param {string} text */
  async #append(name, text) {
    const had = this.#texts[name] ?? "";
    if (!text.startsWith(had)) throw new Error(`${name} only grows: nothing in it is changed.`);
    for (const line of text.slice(had.length).split("\n").filter((line) => line)) {
      const answer = await this.#ask(`daybook/${encodeURIComponent(name)}`, { method: "POST", body: line, headers: { "If-Match": this.#stamps[name] ?? NONE } });
      // What was reckoned with another book is reckoned again: the entry has a number, and there may be another of this number by now.
      if (answer.status === 409) return this.#conflict(name, await answer.json());
      if (!answer.ok) throw new Error(`The entry was not kept: ${await why(answer)}`);
      this.#stamps[name] = (await answer.json()).stamp;
      this.#texts[name] = `${this.#texts[name] ?? ""}${line}\n`;
    }
  }

  /** @param {string} file @param {{ text: string | null, stamp: string }} theirs @param {() => Promise<void>} [keepMine] */
  #conflict(file, theirs, keepMine) {
    this.#stamps[file] = theirs.stamp;
    this.#texts[file] = theirs.text ?? "";
    this.#told({ id: this.#plan, file, theirs: theirs.text ?? "", keepMine });
  }

  async remove() {
    throw new Error("Files in a folder are taken out there.");
  }

  /** @param {(what: import("./home.js").Elsewhere) => void} told */
  watch(told) {
    this.#told = told;
    addEventListener("focus", () => {
      this.#turn = this.#turn.then(() => this.#look()).catch(() => {});
    });
  }

  /** Looks whether another program changed a file while this window was behind others. */
  async #look() {
    if (!this.#plan) return;
    const { files } = await this.#files(this.#plan);
    for (const [name, file] of Object.entries(files)) {
      const [was, mine] = [this.#stamps[name] ?? NONE, this.#texts[name] ?? ""];
      if (file.stamp === was) continue;
      const own = name.endsWith(".daybook.jsonl") ? undefined : () => this.#write(name, mine);
      this.#conflict(name, file, own);
    }
  }
}

/** Why the folder did not do it, in words. @param {Response} answer */
async function why(answer) {
  const said = await answer.json().catch(() => null);
  return said?.error ?? `it answers ${answer.status}`;
}
