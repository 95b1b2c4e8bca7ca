/** The core at the other end of a wire, with the doors of a worker: `scantling open` reckons for the page. */

/** @typedef {(request: object, stop: AbortSignal) => Promise<import("./core.js").Answer>} Ask */

export class Wire extends EventTarget {
  #ask;
  #stop = new AbortController();

  /** @param {Ask} ask */
  constructor(ask) {
    super();
    this.#ask = ask;
  }

  /** @param {{ number: number, request: object }} message */
  async postMessage({ number, request }) {
    const { signal } = this.#stop;
    const answer = await this.#ask(request, signal).catch((error) => ({ error: `the core is not reached: ${error.message ?? error}` }));
    if (!signal.aborted) this.dispatchEvent(new MessageEvent("message", { data: { number, answer } }));
  }

  /** Ends what is asked; the other end is told by the connection that closes. */
  terminate() {
    this.#stop.abort();
  }
}
