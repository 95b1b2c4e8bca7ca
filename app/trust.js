/** The one door through which HTML and script addresses pass: HTML of the core, which escapes it there, and addresses of our own. */

/** @typedef {{ createHTML(text: string): string, createScriptURL(text: string): string }} Policy */

/** Addresses of scripts that the page carries. @type {Set<string>} */
const made = new Set();

const rules = {
  /** @param {string} text */
  createHTML: (text) => text,
  /** @param {string} text */
  createScriptURL: (text) => {
    if (made.has(text)) return text;
    const address = new URL(text, document.baseURI);
    if (address.origin !== location.origin) throw new TypeError("a script from elsewhere");
    return address.href;
  },
};

/** @type {Policy} */
const policy = /** @type {any} */ (globalThis).trustedTypes?.createPolicy("scantling", rules) ?? rules;

/** The nodes of a text of HTML that the core wrote. @param {string} html @returns {DocumentFragment} */
export function ofCore(html) {
  const template = document.createElement("template");
  template.innerHTML = policy.createHTML(html);
  return template.content;
}

/** The address of a script that the page carries. @param {string} text @returns {string} */
export function scriptOf(text) {
  const address = URL.createObjectURL(new Blob([text], { type: "text/javascript" }));
  made.add(address);
  return policy.createScriptURL(address);
}

/** The address of a script of our own. @param {string} name @returns {string} */
export const script = (name) => policy.createScriptURL(name);

/**
 * A drawing of the core that may stand more than once on the page: its ids are made its own.
 * @param {string} svg @param {string} own @returns {DocumentFragment}
 */
export function drawing(svg, own) {
  const nodes = ofCore(svg);
  for (const element of nodes.querySelectorAll("[id]")) element.id = `${own}-${element.id}`;
  for (const element of nodes.querySelectorAll("*")) {
    for (const attribute of [...element.attributes]) {
      if (attribute.name === "aria-labelledby") attribute.value = attribute.value.split(" ").map((id) => `${own}-${id}`).join(" ");
      else if (attribute.value.startsWith("url(#")) attribute.value = attribute.value.replace("url(#", `url(#${own}-`);
      else if (attribute.name === "href" && attribute.value.startsWith("#") && element.tagName === "use") attribute.value = `#${own}-${attribute.value.slice(1)}`;
    }
  }
  return nodes;
}
