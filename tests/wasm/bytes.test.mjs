// The wasm build and the native command give the same bytes: the record and the page of every example, and the message of a
// plan that is refused; and what the app is told of two of them.
import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { tmpdir } from "node:os";

const { SCANTLING, WASM, ANSWER } = process.env;
const builds = new URL("../../builds/", import.meta.url).pathname;
const module = await WebAssembly.compile(readFileSync(WASM));

test("the module asks the world for nothing", () => {
  assert.deepEqual(WebAssembly.Module.imports(module), []);
});

async function inWasm(call, plan, files, ask) {
  const { exports } = await WebAssembly.instantiate(module, {});
  const request = new TextEncoder().encode(JSON.stringify({ ask, plan, files }));
  const pointer = exports.scantling_room(request.length);
  new Uint8Array(exports.memory.buffer, pointer, request.length).set(request);
  const answer = BigInt.asUintN(64, exports[call](pointer, request.length));
  const [at, length] = [Number(answer >> 32n), Number(answer & 0xffffffffn)];
  const bytes = Buffer.from(new Uint8Array(exports.memory.buffer, at, length));
  exports.scantling_free(at, length);
  return bytes;
}

for (const name of readdirSync(builds, { withFileTypes: true }).filter((entry) => entry.isDirectory()).map((entry) => entry.name)) {
  const folder = join(builds, name);
  const plan = `${name}.plan.toml`;
  const texts = readdirSync(folder).filter((file) => file.endsWith(".toml"));
  const files = Object.fromEntries(texts.map((file) => [file, readFileSync(join(folder, file), "utf8")]));

  test(`${name}: the record`, async () => {
    const native = execFileSync(SCANTLING, ["fit", "--json", join(folder, plan)], { maxBuffer: 1 << 28 });
    assert.ok(native.length > 1000);
    assert.ok(native.equals(await inWasm("scantling_record", plan, files)), "the records differ");
  });

  test(`${name}: the page`, async () => {
    const output = join(mkdtempSync(join(tmpdir(), "scantling-")), "page.html");
    execFileSync(SCANTLING, ["page", join(folder, plan), "-o", output], { stdio: "pipe" });
    assert.ok(readFileSync(output).equals(await inWasm("scantling_page", plan, files)), "the pages differ");
  });

  if (["corner-bed", "picket-box"].includes(name)) {
    test(`${name}: what the app is told`, async () => {
      for (const ask of ["settle", "drag", "form"]) {
        const native = execFileSync(ANSWER, { input: JSON.stringify({ ask, plan, files }), maxBuffer: 1 << 28 });
        assert.match(native.subarray(0, 7).toString(), /^\{"ok":\{/);
        assert.ok(native.equals(await inWasm("scantling_app", plan, files, ask)), `the answers to ${ask} differ`);
      }
    });
  }

  test(`${name}: a refusal`, async () => {
    const misspelt = { ...files, [plan]: files[plan].replace("length", "lenght") };
    const answer = (await inWasm("scantling_record", plan, misspelt)).toString();
    assert.match(answer, /^error: /);
    assert.match(answer, /lenght/);
  });
}

test("a plan that is not there is told, natively and in wasm", async () => {
  const answer = (await inWasm("scantling_record", "none.plan.toml", {})).toString();
  const native = spawnSync(SCANTLING, ["fit", "none.plan.toml"], { encoding: "utf8" });
  assert.equal(native.status, 3);
  assert.equal(native.stderr, answer);
});
