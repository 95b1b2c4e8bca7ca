// The wasm build and the native command give the same bytes: the record and the page of every example, and the message of a
// plan that is refused.
import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { tmpdir } from "node:os";

const { SCANTLING, WASM } = process.env;
const builds = new URL("../../builds/", import.meta.url).pathname;
const module = await WebAssembly.compile(readFileSync(WASM));

test("the module asks the world for nothing", () => {
  assert.deepEqual(WebAssembly.Module.imports(module), []);
});

async function inWasm(call, plan, files, more = {}) {
  const { exports } = await WebAssembly.instantiate(module, {});
  const request = new TextEncoder().encode(JSON.stringify({ plan, files, ...more }));
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

// A plan with a day book, and an entry more.
const saturday = new URL("../../crates/audit/tests/records/bed-on-a-saturday/", import.meta.url).pathname;
const names = ["plan.toml", "yard.toml", "shed.toml", "plan.daybook.jsonl"];
const dated = () => Object.fromEntries(names.map((name) => [name, readFileSync(join(saturday, name), "utf8")]));

test("a plan goes by its day book, natively and in wasm", async () => {
  const native = execFileSync(SCANTLING, ["fit", "--json", join(saturday, "plan.toml")], { maxBuffer: 1 << 28, stdio: "pipe" });
  const answer = await inWasm("scantling_record", "plan.toml", dated());
  assert.ok(native.equals(answer), "the records differ");
  const { "plan.daybook.jsonl": _, ...without } = dated();
  assert.ok(!native.equals(await inWasm("scantling_record", "plan.toml", without)), "the day book changes nothing");
});

test("an entry is noted with the same line and the same words, natively and in wasm", async () => {
  const folder = mkdtempSync(join(tmpdir(), "scantling-"));
  const files = dated();
  for (const name of names) writeFileSync(join(folder, name), files[name]);
  const told = execFileSync(SCANTLING, ["note", join(folder, "plan.toml"), "kerf", "--reads", "3"], { stdio: "pipe" });
  const note = { what: "kerf", reads: "3" };
  const answer = JSON.parse((await inWasm("scantling_note", "plan.toml", files, { note })).toString());
  const kept = readFileSync(join(folder, "plan.daybook.jsonl"), "utf8");
  assert.equal(files["plan.daybook.jsonl"] + answer.append, kept);
  assert.equal(answer.number, 11);
  assert.equal(answer.told, told.toString());
  assert.ok(answer.changes.length > 0 && answer.changes.every((change) => change.was !== change.is));
  const refused = await inWasm("scantling_note", "plan.toml", files, { note: { what: "kerf", reads: "32" } });
  assert.match(refused.toString(), /^error: .*no saw leaves/);
});
