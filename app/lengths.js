/** Lengths on the screen. They are whole nanometres; the core words them, and this words only what lies between two of its answers. */

const MM = 1_000_000;
const INCH = 25_400_000;

/** Whether a unit of the core means inches. @param {string | undefined} unit */
export const inInches = (unit) => unit === "in" || unit === "ft-in" || /inch/.test(unit ?? "");

/** @param {number} a @param {number} b @returns {number} */
const divisor = (a, b) => (b ? divisor(b, a % b) : a);

/** How the tape reads a length. @param {number} nm @param {string | undefined} unit @returns {string} */
export function show(nm, unit) {
  if (!inInches(unit)) return String(Math.round((nm / MM) * 1000) / 1000);
  const parts = Math.round((nm / INCH) * 64);
  const whole = Math.floor(parts / 64);
  const rest = parts % 64;
  if (!rest) return `${whole}"`;
  const by = divisor(rest, 64);
  return `${whole ? `${whole} ` : ""}${rest / by}/${64 / by}"`;
}

/** A length as files write it, with its unit. @param {number} nm @param {string | undefined} unit */
export const written = (nm, unit) => (inInches(unit) ? `${show(nm, unit).replace('"', "")} in` : `${show(nm, unit)} mm`);

/** What somebody typed as a length, with its unit: bare numbers are in the unit of the tape. @param {string} text @param {string | undefined} unit */
export function typed(text, unit) {
  const clean = text.trim().replace(",", ".");
  return /^[\d.\s/]+$/.test(clean) ? `${clean} ${inInches(unit) ? "in" : "mm"}` : clean;
}

/** The nanometres of a text such as `1510 mm`, `16"` or `17 1/2 in`; nothing if it is none of these. @param {string} text @returns {number | undefined} */
export function read(text) {
  const metric = /^\s*([\d.]+)\s*mm\b/.exec(text);
  if (metric) return Math.round(Number(metric[1]) * MM);
  const feet = /^\s*(?:(\d+)\s*(?:'|ft)\s*)?(?:(\d+)(?![\d/]))?\s*(?:(\d+)\/(\d+))?\s*(?:"|in\b)?/.exec(text);
  if (!feet || !feet[0].trim()) return undefined;
  const [, ft, whole, over, under] = feet;
  return Math.round((Number(ft ?? 0) * 12 + Number(whole ?? 0) + (over ? Number(over) / Number(under) : 0)) * INCH);
}

/**
 * The graduation of a ruler: the distance of the fine marks, and of those with figures, in nanometres.
 * @param {number} perPixel nanometres to a pixel @param {string | undefined} unit @returns {[number, number]}
 */
export function graduation(perPixel, unit) {
  const steps = inInches(unit) ? [1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 6, 12, 24, 60, 120, 240].map((n) => n * INCH) : [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000].map((n) => n * MM);
  const last = steps[steps.length - 1];
  const fine = steps.find((step) => step / perPixel >= 4) ?? last;
  return [fine, steps.find((step) => step % fine === 0 && step / perPixel >= 56) ?? last];
}
