// The core in a worker: bytes of JSON in, bytes of JSON out, nothing remembered between two requests.
"use strict";

/** @type {WebAssembly.Module | undefined} */
let module;
/** @type {any} */
let core;

/** @param {object} request @returns {unknown} */
function answer(request) {
  core ??= new WebAssembly.Instance(/** @type {WebAssembly.Module} */ (module), {}).exports;
  const bytes = new TextEncoder().encode(JSON.stringify(request));
  const room = core.scantling_room(bytes.length);
  new Uint8Array(core.memory.buffer, room, bytes.length).set(bytes);
  const packed = BigInt.asUintN(64, core.scantling_app(room, bytes.length));
  const pointer = Number(packed >> 32n);
  const length = Number(packed & 0xffffffffn);
  const text = new TextDecoder().decode(new Uint8Array(core.memory.buffer, pointer, length));
  core.scantling_free(pointer, length);
  return JSON.parse(text);
}

addEventListener("message", ({ data }) => {
  if (data.module) {
    module = data.module;
    return;
  }
  try {
    postMessage({ number: data.number, answer: answer(data.request) });
  } catch (error) {
    core = undefined; // what trapped is not used again
    postMessage({ number: data.number, answer: { error: `the core stopped: ${error}` } });
  }
});
