/** What was ticked at the saw: kept at once, for each plan. */
import { desk } from "./desk.js";

const place = () => `scantling.ticks.${desk.plan?.id}`;

/** @returns {Set<string>} */
export function ticks() {
  try {
    const kept = JSON.parse(localStorage.getItem(place()) ?? "[]");
    return new Set(Array.isArray(kept) ? kept : []);
  } catch {
    return new Set();
  }
}

/** @param {string} part @param {boolean} cut */
export function tick(part, cut) {
  const all = ticks();
  if (cut) all.add(part);
  else all.delete(part);
  localStorage.setItem(place(), JSON.stringify([...all]));
}
