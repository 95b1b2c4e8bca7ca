/** Asking the core. Nothing else in the app knows that there is a worker. */
import { core, inside } from "./parts.js";
import { script, scriptOf } from "./trust.js";
import { Wire } from "./wire.js";

/**
 * @typedef {{ ok?: any, refused?: Refused, error?: string }} Answer
 * @typedef {{ text: string, problems: Problem[], ways_out: WayOut[] }} Refused
 * @typedef {{ message: string, hint?: string, file?: string, line?: number, column?: number, length?: number }} Problem
 * @typedef {{ words: string, edits: Edit[] }} WayOut
 * @typedef {{ file?: string, path: (string | number)[], to: string | null }} Edit
 * @typedef {{ kind: string, sure: boolean, request: object, done: (answer: Answer | null) => void }} Job
 */

/** @type {Promise<WebAssembly.Module> | undefined} */
let compiled;

/** The compiled core, once for both workers. */
function module() {
  compiled ??= core().then((bytes) => WebAssembly.compile(bytes));
  return compiled;
}

/** @type {import("./wire.js").Ask | undefined} */
let reached;

/** Has the core asked elsewhere from now on, instead of in workers of the page. @param {import("./wire.js").Ask} ask */
export function through(ask) {
  reached = ask;
}

/** How long a request may run before a newer one of its kind ends it. */
const PATIENCE = 300;

/** A worker with the core in it. @param {WebAssembly.Module} compiled */
function worked(compiled) {
  const own = inside("worker.js");
  const worker = new Worker(own === undefined ? script("worker.js") : scriptOf(own));
  worker.postMessage({ module: compiled });
  return worker;
}

/**
 * A worker, or a wire in its place, and what waits for it. Of each kind only the latest waits: those before it are answered with null. What is *sure* is
 * never dropped, and answered in turn.
 */
class Lane {
  /** @type {Worker | Wire | undefined} */ #worker;
  /** @type {Job[]} */ #waiting = [];
  /** @type {Job | undefined} */ #running;
  #since = 0;
  #number = 0;

  /**
   * Asks for the latest state of something; null if something newer was asked before the answer came.
   * @param {string} kind @param {object} request @returns {Promise<Answer | null>}
   */
  latest(kind, request) {
    this.#drop(kind);
    const old = this.#running;
    if (old && old.kind === kind && !old.sure && kind !== "drag" && performance.now() - this.#since > PATIENCE) this.cancel();
    return this.#add({ kind, sure: false, request: { ask: kind, ...request } });
  }

  /** Asks for something that must be answered. @param {string} kind @param {object} request @returns {Promise<Answer>} */
  async sure(kind, request) {
    return (await this.#add({ kind, sure: true, request: { ask: kind, ...request } })) ?? { error: "stopped" };
  }

  /** Ends what runs: the worker is stopped and begun again. */
  cancel() {
    this.#worker?.terminate();
    this.#worker = undefined;
    const old = this.#running;
    this.#running = undefined;
    this.#number += 1;
    old?.done(null);
    this.#next();
  }

  /** Drops what waits of a kind. @param {string} kind */
  #drop(kind) {
    for (const job of this.#waiting.filter((job) => job.kind === kind && !job.sure)) job.done(null);
    this.#waiting = this.#waiting.filter((job) => job.kind !== kind || job.sure);
  }

  /** @param {Omit<Job, "done">} job @returns {Promise<Answer | null>} */
  #add(job) {
    return new Promise((done) => {
      this.#waiting.push({ ...job, done });
      this.#next();
    });
  }

  async #next() {
    if (this.#running) return;
    const job = this.#waiting.shift();
    if (!job) return;
    this.#running = job;
    this.#since = performance.now();
    const number = (this.#number += 1);
    try {
      const worker = (this.#worker ??= this.#begin(reached ? new Wire(reached) : worked(await module())));
      if (number === this.#number) worker.postMessage({ number, request: job.request });
    } catch (error) {
      if (number === this.#number) this.#answered(number, { error: String(error) });
    }
  }

  /** @param {Worker | Wire} worker */
  #begin(worker) {
    worker.addEventListener("message", (event) => {
      const { data } = /** @type {MessageEvent} */ (event);
      if (worker === this.#worker) this.#answered(data.number, data.answer);
    });
    worker.addEventListener("error", (event) => {
      if (worker === this.#worker) this.#answered(this.#number, { error: /** @type {ErrorEvent} */ (event).message || "the worker stopped" });
    });
    return worker;
  }

  /** @param {number} number @param {Answer} answer */
  #answered(number, answer) {
    const job = this.#running;
    if (!job || number !== this.#number) return;
    this.#running = undefined;
    const newer = !job.sure && job.kind !== "drag" && this.#waiting.some((other) => other.kind === job.kind);
    job.done(newer ? null : answer);
    this.#next();
  }
}

/** Settling, readings and pages: may take its time. */
export const slow = new Lane();
/** Dragging, forms and edits: never behind the other. */
export const quick = new Lane();
