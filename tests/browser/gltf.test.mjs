// The binary glTF file as strangers read it: judged by the validator that the Khronos Group publishes.
import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import validator from "gltf-validator";

const manifest = new URL("../../Cargo.toml", import.meta.url).pathname;
const file = execFileSync("cargo",
  ["run", "--locked", "-q", "--manifest-path", manifest, "-p", "drawing", "--example", "box_glb"], { maxBuffer: 1 << 28 });

test("a tapered box with a floor and a pane has nothing for the validator to say", async () => {
  const report = await validator.validateBytes(new Uint8Array(file));
  assert.deepEqual(report.issues.messages, []);
  assert.equal(report.mimeType, "model/gltf-binary");
  // Four boards and a floor in one colour, a pane in another; six faces each, two triangles to a face.
  assert.equal(report.info.materialCount, 2);
  assert.equal(report.info.drawCallCount, 6);
  assert.equal(report.info.totalTriangleCount, 6 * 12);
});

test("the validator does find fault with a broken file", async () => {
  const broken = new Uint8Array(file);
  const at = Buffer.from(broken).indexOf('"count":24');
  broken[at + 9] = "9".charCodeAt(0);
  const report = await validator.validateBytes(broken);
  assert.ok(report.issues.numErrors > 0);
});

const builds = new URL("../../builds/", import.meta.url).pathname;
const names = readdirSync(builds, { withFileTypes: true }).filter((entry) => entry.isDirectory()).map((entry) => entry.name);
const folder = mkdtempSync(join(tmpdir(), "model-"));

for (const name of names) {
  test(`${name}: the model of the build has nothing for the validator to say`, async () => {
    const path = join(folder, `${name}.glb`);
    execFileSync(process.env.SCANTLING, ["model", join(builds, name, `${name}.plan.toml`), "-o", path], { stdio: "pipe" });
    const report = await validator.validateBytes(new Uint8Array(readFileSync(path)));
    assert.deepEqual(report.issues.messages, []);
    assert.ok(report.info.totalTriangleCount >= 12);
  });
}
