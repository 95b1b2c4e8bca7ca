// The cutting engine by itself gives the same bytes natively and in wasm: fingerprints of its plans, word by word.
import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";

const { PLANS, PLANS_WASM } = process.env;
const COUNT = 60;

test("cutting plans are the same natively and in wasm", async () => {
  const module = await WebAssembly.compile(readFileSync(PLANS_WASM));
  assert.deepEqual(WebAssembly.Module.imports(module), []);
  const { exports } = await WebAssembly.instantiate(module, {});
  const native = execFileSync(PLANS, [String(COUNT)]).toString().trim().split("\n");
  const wasm = native.map((_, number) => String(BigInt.asUintN(64, exports.fingerprint(number))));
  assert.equal(native.length, COUNT);
  assert.equal(new Set(native).size, COUNT);
  assert.deepEqual(wasm, native);
});
