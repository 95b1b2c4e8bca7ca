/** The hand-on file: the app in one file with a plan in it, for a reader who refits it to their own yard and space. */
import { desk, take } from "./desk.js";
import { handed, text, whole } from "./parts.js";
import { unbundled } from "./plans.js";

/** The one place in the page where a plan stands; it comes before all scripts. */
const PLACE = /(<script type="application\/json" id="handed">)[^<]*/;

/** The page with the plan on the desk in it. The day book stays here: it tells of boards that others have not. @returns {Promise<string>} */
export async function handOn() {
  const { plan } = desk;
  if (!plan) throw new Error("There is no plan to hand on.");
  const page = whole ?? (await text("single.html"));
  if (!PLACE.test(page)) throw new Error("The app in one file is not beside this page.");
  const files = Object.fromEntries(Object.entries(plan.files).filter(([name]) => !name.endsWith(".daybook.jsonl")));
  const data = JSON.stringify({ scantling: 1, id: crypto.randomUUID(), plan: plan.plan, files }).replaceAll("<", "\\u003c");
  return page.replace(PLACE, (_, begin) => begin + data);
}

/** Whether the app can be handed on from here: the command carries no core for browsers. */
export const canHandOn = () => whole !== null || desk.home.kind !== "folder";

/** Opens the plan that the page was handed on with, if it was: as it was left here, or as it came. @returns {Promise<string | null>} */
export async function openHanded() {
  const said = JSON.parse(handed ?? "null");
  if (said === null) return null;
  const plan = unbundled(JSON.stringify(said));
  plan.id = `handed.${said.id}`;
  if ((await desk.home.load(plan.id)) === null) await take(plan);
  return plan.id;
}
