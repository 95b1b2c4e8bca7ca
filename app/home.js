/** Where plans are kept: in the browser, or in the folder that `scantling open` serves. Both have the same few doors. */
import { Folder } from "./home-folder.js";
import { Browser } from "./home-browser.js";

/**
 * @typedef {import("./plans.js").Plan} Plan
 * @typedef {object} Home
 * @property {"browser" | "folder"} kind
 * @property {() => Promise<import("./plans.js").Brief[]>} list the plans in it
 * @property {() => Promise<string | null>} first the plan to begin with
 * @property {(plan: Plan) => Promise<void>} take makes room for a new plan: names that are free here
 * @property {(id: string) => Promise<Plan | null>} load
 * @property {(plan: Plan, changed: string[]) => Promise<void>} save keeps the files that changed; throws in words
 * @property {(id: string) => Promise<void>} remove
 * @property {(told: (what: Elsewhere) => void) => void} watch tells when a plan was changed from elsewhere
 * @typedef {{ id: string, file?: string, theirs?: string, keepMine?: () => Promise<void> }} Elsewhere what was changed; without `keepMine` a file can only be taken as it is now
 */

/** The home that there is. @returns {Promise<Home>} */
export async function home() {
  return (await Folder.here()) ?? new Browser();
}
