/** Making elements. Texts are always texts here; HTML of the core goes through `trust.js`. */

/** @typedef {Node | string | number | null | undefined | false} Child */

/**
 * An element with attributes, listeners (`onclick` and so on) and children.
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag @param {Record<string, any>} [with_] @param {...(Child | Child[])} children
 * @returns {HTMLElementTagNameMap[Tag]}
 */
export function h(tag, with_ = {}, ...children) {
  const element = document.createElement(tag);
  for (const [key, value] of Object.entries(with_)) {
    if (value === undefined || value === null || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (key === "value" && "value" in element) /** @type {any} */ (element).value = value;
    else element.setAttribute(key, value === true ? "" : String(value));
  }
  element.append(...kept(children));
  return element;
}

/** @param {(Child | Child[])[]} children @returns {(Node | string)[]} */
function kept(children) {
  const all = /** @type {Child[]} */ (children.flat());
  return all.filter((child) => child !== null && child !== undefined && child !== false).map((child) => (typeof child === "number" ? String(child) : /** @type {Node | string} */ (child)));
}

const SVG = "http://www.w3.org/2000/svg";

/** An SVG element. @param {string} tag @param {Record<string, string | number>} [with_] @param {...(Node | string)} children @returns {SVGElement} */
export function s(tag, with_ = {}, ...children) {
  const element = /** @type {SVGElement} */ (document.createElementNS(SVG, tag));
  for (const [key, value] of Object.entries(with_)) element.setAttribute(key, String(value));
  element.append(...children);
  return element;
}

/** The element with an id that the page surely has. @param {string} id @returns {HTMLElement} */
export function the(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`no #${id}`);
  return element;
}

/** A button. @param {string} words @param {(event: MouseEvent) => void} does @param {Record<string, any>} [with_] */
export const button = (words, does, with_ = {}) => h("button", { type: "button", onclick: does, ...with_ }, words);

/**
 * Puts new children in, and the focus back to the element with the same `data-key` if it was in here.
 * @param {Element} parent @param {...(Child | Child[])} children
 */
export function renew(parent, ...children) {
  const had = parent.contains(document.activeElement) ? /** @type {HTMLElement} */ (document.activeElement).dataset.key : undefined;
  parent.replaceChildren(...kept(children));
  if (had !== undefined) /** @type {HTMLElement | null} */ (parent.querySelector(`[data-key="${CSS.escape(had)}"]`))?.focus({ preventScroll: true });
}

/** Offers a file to keep. @param {string} name @param {string | Uint8Array} content @param {string} type */
export function keepFile(name, content, type) {
  const link = h("a", { href: URL.createObjectURL(new Blob([/** @type {any} */ (content)], { type })), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** Says something in the line of notices; it stays until it is put away. @param {string} words @param {...HTMLElement} choices */
export function notice(words, ...choices) {
  const box = h("p", { class: "notice" }, words, " ", ...choices, button("Put away", () => box.remove()));
  const same = [...the("notices").children].find((old) => old.firstChild?.textContent === words);
  same?.remove();
  the("notices").append(box);
  return box;
}
