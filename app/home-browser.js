/** Plans in the storage of the browser. Another window that changes the same plan is told of. */
import { title } from "./plans.js";

const PLAN = "scantling.plan.";
const ORDER = "scantling.plans";

/** @typedef {import("./plans.js").Plan} Plan */

/** @typedef {import("./home.js").Home} Home */

/** @implements {Home} */
export class Browser {
  /** @type {"browser"} */ kind = "browser";

  /** @returns {string[]} */
  #order() {
    try {
      const order = JSON.parse(localStorage.getItem(ORDER) ?? "[]");
      return Array.isArray(order) ? order.filter((id) => localStorage.getItem(PLAN + id) !== null) : [];
    } catch {
      return [];
    }
  }

  async first() {
    return this.#order()[0] ?? null;
  }

  /** Each plan has its own names here. */
  async take() {}

  async list() {
    const plans = await Promise.all(this.#order().map((id) => this.load(id)));
    return plans.filter((plan) => plan !== null).map((plan) => ({ id: plan.id, title: title(plan) }));
  }

  /** @param {string} id @returns {Promise<Plan | null>} */
  async load(id) {
    try {
      const plan = JSON.parse(localStorage.getItem(PLAN + id) ?? "null");
      return plan && typeof plan.files?.[plan.plan] === "string" ? { ...plan, id, done: plan.done ?? [], undone: plan.undone ?? [] } : null;
    } catch {
      return null;
    }
  }

  /** @param {Plan} plan */
  async save(plan) {
    // Without room for all steps the oldest go; without room for the texts it is said.
    for (let kept = plan.done; ; kept = kept.slice(Math.ceil(kept.length / 2))) {
      try {
        localStorage.setItem(PLAN + plan.id, JSON.stringify({ ...plan, done: kept }));
        break;
      } catch (error) {
        if (!kept.length) throw new Error("This browser has no room for the plan. Keep it as a file.", { cause: error });
      }
    }
    localStorage.setItem(ORDER, JSON.stringify([plan.id, ...this.#order().filter((id) => id !== plan.id)]));
  }

  /** @param {string} id */
  async remove(id) {
    localStorage.removeItem(PLAN + id);
    localStorage.setItem(ORDER, JSON.stringify(this.#order()));
  }

  /** @param {(what: import("./home.js").Elsewhere) => void} told */
  watch(told) {
    addEventListener("storage", ({ key, newValue }) => {
      if (key?.startsWith(PLAN) && newValue !== null) told({ id: key.slice(PLAN.length) });
    });
  }
}
