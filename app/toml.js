/** The little of TOML that forms need: one value as text. Whole files are changed by the core alone. */

/** A text as a TOML string. @param {string} text */
export const quoted = (text) => JSON.stringify(text).replace(/\u007f/g, "\\u007F");

/** What a TOML string says; other values as they are written. @param {string | null | undefined} text @returns {string} */
export function said(text) {
  const value = (text ?? "").trim();
  if (/^"/.test(value)) {
    try {
      return JSON.parse(value.replace(/\\U000([0-9a-fA-F]{5})/g, (_, hex) => String.fromCodePoint(parseInt(hex, 16))));
    } catch {
      return value.slice(1, -1);
    }
  }
  return /^'.*'$/.test(value) ? value.slice(1, -1) : value;
}

/** A typed length, number or word as TOML: bare where it is a plain number. @param {string} text */
export function value(text) {
  const clean = text.trim();
  return /^-?\d+(\.\d+)?$/.test(clean) ? clean : quoted(clean);
}

/** Splits at commas that stand in no quotes and no brackets. @param {string} text @returns {string[]} */
function split(text) {
  const parts = [""];
  let deep = 0;
  let quote = "";
  for (const letter of text) {
    if (quote) quote = letter === quote ? "" : quote;
    else if (letter === '"' || letter === "'") quote = letter;
    else if ("[{".includes(letter)) deep += 1;
    else if ("]}".includes(letter)) deep -= 1;
    if (letter === "," && !deep && !quote) parts.push("");
    else parts[parts.length - 1] += letter;
  }
  return parts.map((part) => part.trim()).filter((part) => part !== "");
}

/** The keys of an inline table, each value as it is written; nothing if it is no table. @param {string | null | undefined} text @returns {Record<string, string> | undefined} */
export function inline(text) {
  const body = /^\s*\{([\s\S]*)\}\s*$/.exec(text ?? "")?.[1];
  if (body === undefined) return undefined;
  return Object.fromEntries(split(body).map((part) => [part.slice(0, part.indexOf("=")).trim(), part.slice(part.indexOf("=") + 1).trim()]));
}

/** The values of a list, each as it is written. @param {string | null | undefined} text @returns {string[]} */
export const list = (text) => split(/^\s*\[([\s\S]*)\]\s*$/.exec((text ?? "").replace(/#.*$/gm, ""))?.[1] ?? "");

/** An inline table of written values; empty ones are left out. @param {Record<string, string | undefined>} values */
export const table = (values) => `{ ${Object.entries(values).filter(([, value]) => value).map(([key, value]) => `${key} = ${value}`).join(", ")} }`;

/** A name for a table from a label. @param {string} label */
export const name = (label) => label.toLowerCase().normalize("NFKD").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 40) || "board";
