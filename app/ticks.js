/** What was ticked, at the saw and in the shop: kept at once, for each plan. */
import { desk } from "./desk.js";

/** @param {"saw" | "shop"} where */
const place = (where) => `scantling.${where === "saw" ? "ticks" : "trolley"}.${desk.plan?.id}`;

/** @param {"saw" | "shop"} [where] @returns {Set<string>} */
export function ticks(where = "saw") {
  try {
    const kept = JSON.parse(localStorage.getItem(place(where)) ?? "[]");
    return new Set(Array.isArray(kept) ? kept : []);
  } catch {
    return new Set();
  }
}

/** @param {string} what @param {boolean} done @param {"saw" | "shop"} [where] */
export function tick(what, done, where = "saw") {
  const all = ticks(where);
  if (done) all.add(what);
  else all.delete(what);
  localStorage.setItem(place(where), JSON.stringify([...all]));
}
