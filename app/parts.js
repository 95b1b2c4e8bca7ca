/** The parts of the app that are no scripts: files beside the page, or carried in it where the app is one file. */

/** @param {string} id */
const block = (id) => document.getElementById(id)?.textContent ?? null;

/** The page as it came, where the app is one file: what is handed on is made of it. */
export const whole = block("carried") === null ? null : `<!doctype html>\n${document.documentElement.outerHTML}\n`;

/** @type {Record<string, string>} */
const carried = JSON.parse(block("carried") ?? "{}");

/** The plan that the page was handed on with, as text. */
export const handed = block("handed");

/** A text of the app that the page carries. @param {string} path @returns {string | undefined} */
export const inside = (path) => (Object.hasOwn(carried, path) ? carried[path] : undefined);

/** A text of the app. @param {string} path @returns {Promise<string>} */
export async function text(path) {
  const own = inside(path);
  if (own !== undefined) return own;
  if (whole) throw new Error(`${path} is not in this page`);
  const answer = await fetch(path);
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  return answer.text();
}

/** The core, as bytes. @returns {Promise<ArrayBuffer>} */
export async function core() {
  const packed = block("core");
  if (packed) {
    const bytes = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
    return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"))).arrayBuffer();
  }
  const answer = await fetch("scantling.wasm");
  if (!answer.ok) throw new Error(`the core is not there (${answer.status})`);
  return answer.arrayBuffer();
}
