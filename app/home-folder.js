/** The folder that `scantling open` serves: files are read and written there, each write against the stamp that was read. */

const TOKEN = "scantling.token";

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
    const answer = await folder.#ask("folder").catch(() => null);
    const said = answer?.ok ? await answer.json().catch(() => null) : null;
    return said?.folder === true ? folder : null;
  }

  /** @param {string} path @param {RequestInit} [with_] */
  #ask(path, with_ = {}) {
    return fetch(path, { ...with_, cache: "no-store", headers: { "X-Scantling-Token": this.#token, ...with_.headers } });
  }

  /** The one plan; nothing is read here, so that the stamps stay those of what is on the desk. */
  async list() {
    return [{ id: "folder", title: "the folder" }];
  }

  /** @returns {Promise<Plan | null>} */
  async load() {
    const answer = await this.#ask("files");
    if (!answer.ok) return null;
    const { plan, files } = await answer.json();
    const each = /** @type {[string, { text: string, stamp: string }][]} */ (Object.entries(files));
    this.#stamps = Object.fromEntries(each.map(([name, file]) => [name, file.stamp]));
    this.#texts = Object.fromEntries(each.map(([name, file]) => [name, file.text]));
    return { id: "folder", plan, files: { ...this.#texts }, done: [], undone: [] };
  }

  /** @param {Plan} plan @param {string[]} changed */
  save(plan, changed) {
    const texts = changed.map((name) => /** @type {const} */ ([name, plan.files[name]]));
    const all = this.#turn.then(async () => {
      for (const [name, text] of texts) if (text !== undefined) await this.#write(name, text);
    });
    this.#turn = all.catch(() => {});
    return all;
  }

  /** @param {string} name @param {string} text */
  async #write(name, text) {
    if (name.endsWith(".daybook.jsonl")) return this.#append(name, text);
    const answer = await this.#ask(`files/${encodeURIComponent(name)}`, { method: "PUT", body: text, headers: { "If-Match": this.#stamps[name] ?? "" } });
    if (answer.status === 409) return this.#conflict(name, text, await answer.json());
    if (!answer.ok) throw new Error(`${name} was not kept: ${(await answer.text()).trim() || answer.status}`);
    this.#stamps[name] = (await answer.json()).stamp;
    this.#texts[name] = text;
  }

  /** Day books only grow. @param {string} name @param {string} text */
  async #append(name, text) {
    const had = this.#texts[name] ?? "";
    if (!text.startsWith(had)) throw new Error(`${name} only grows: nothing in it is changed.`);
    for (const line of text.slice(had.length).split("\n").filter((line) => line)) {
      const answer = await this.#ask(`daybook/${encodeURIComponent(name)}`, { method: "POST", body: line });
      if (!answer.ok) throw new Error(`The entry was not kept: ${(await answer.text()).trim() || answer.status}`);
      this.#texts[name] = `${this.#texts[name] ?? ""}${line}\n`;
    }
  }

  /** @param {string} file @param {string} mine @param {{ text: string, stamp: string }} theirs */
  #conflict(file, mine, theirs) {
    this.#stamps[file] = theirs.stamp;
    this.#texts[file] = theirs.text;
    this.#told({ id: "folder", file, theirs: theirs.text, keepMine: () => this.#write(file, mine) });
  }

  async remove() {
    throw new Error("Files in a folder are taken out there.");
  }

  /** @param {(what: import("./home.js").Elsewhere) => void} told */
  watch(told) {
    this.#told = told;
  }
}
