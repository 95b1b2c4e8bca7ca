/** Room for labels above a ruler: each over its place, in rows, none over another; the least interesting go without. */

/**
 * @typedef {{ x: number, lines: string[], first: boolean }} Label
 * @typedef {Label & { left: number, wide: number, up: number }} Placed
 */

const LETTER = 7.4;
const LINE = 15;
const ROWS = 3;

/** @param {Label[]} all @param {number} wide @returns {{ shown: Placed[], height: number }} */
export function labels(all, wide) {
  /** @type {(Placed & { row: number })[]} */
  const shown = [];
  const high = Math.max(1, ...all.map((label) => label.lines.length)) * LINE + 9;
  for (const label of [...all].sort((a, b) => Number(b.first) - Number(a.first))) {
    const own = Math.max(...label.lines.map((line) => line.length)) * LETTER;
    const left = Math.max(5, Math.min(wide - own - 5, label.x - own / 2));
    /** @param {number} row */
    const free = (row) => shown.every((other) => other.row !== row
      ? !(other.row > row ? crosses(other, left, own) : crosses({ left: other.left, wide: other.wide, x: label.x }, other.left, other.wide))
      : left > other.left + other.wide + 10 || left + own + 10 < other.left);
    const row = [...Array(ROWS).keys()].find(free);
    if (row !== undefined) shown.push({ ...label, left, wide: own, up: row * high, row });
  }
  const rows = Math.max(0, ...shown.map((label) => label.row)) + 1;
  return { shown, height: rows * high + 4 };
}

/** Whether the leader of a label runs through a stretch. @param {{ x: number, left: number, wide: number }} label @param {number} left @param {number} wide */
const crosses = (label, left, wide) => label.x > left - 6 && label.x < left + wide + 6;
