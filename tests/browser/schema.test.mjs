// The schemas that `scantling schema` prints for editors: every build is let in, and what a hand slips on is not. `SCANTLING` is the command.
import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import Ajv from "ajv";
import { parse } from "smol-toml";

const { SCANTLING } = process.env;
const root = new URL("../../", import.meta.url).pathname;
const FILES = ["plan", "yard", "shed"];
const schemas = Object.fromEntries(FILES.map((file) => [file, JSON.parse(execFileSync(SCANTLING, ["schema", file], { encoding: "utf8" }))]));
// Strict: a word that the schema language does not know is a mistake of ours.
const held = Object.fromEntries(FILES.map((file) => [file, new Ajv({ strict: true, strictTypes: false, allErrors: false }).compile(schemas[file])]));

/** All plans, yards and sheds: the builds, and those that the referee's records are made of. */
const texts = ["builds", "crates/audit/tests/records"].flatMap((folder) => readdirSync(join(root, folder), { withFileTypes: true }).filter((entry) => entry.isDirectory()).flatMap(({ name }) => {
  const inside = join(root, folder, name);
  return readdirSync(inside).flatMap((file) => FILES.filter((kind) => file === `${kind}.toml` || file.endsWith(`.${kind}.toml`)).map((kind) => ({ kind, name: join(folder, name, file), text: readFileSync(join(inside, file), "utf8") })));
}));

test("every plan, yard and shed is let in", () => {
  assert.ok(texts.length > 3 * 8 && FILES.every((kind) => texts.some((text) => text.kind === kind)), `only ${texts.length} files`);
  for (const { kind, name, text } of texts) assert.ok(held[kind](parse(text)), `${name}: ${JSON.stringify(held[kind].errors)}`.slice(0, 600));
});

test("what a hand slips on is not", () => {
  const [plan, yard, shed] = FILES.map((kind) => readFileSync(join(root, `builds/kitchen-trough/kitchen-trough.${kind}.toml`), "utf8"));
  const slips = [
    ["plan", plan, /^gap = 8$/m, "gab = 8", "a misspelt key"],
    ["plan", plan, /^is = "walls"$/m, 'is = "wals"', "a kind that there is not"],
    ["plan", plan, /^is = "walls"\n/m, "", "a piece that does not say what it is"],
    ["plan", plan, /^joint = .*\n/m, "", "a key that must be there"],
    ["plan", plan, /^corners = "front through"$/m, 'corners = "front true"', "a word that there is not"],
    ["plan", plan, /want = 1500/, "wants = 1500", "a misspelt word of a wish"],
    ["plan", plan, /rank = 2/, "rank = 10", "a rank that there is not"],
    ["plan", plan, /^format = 1$/m, "format = 2", "a format to come"],
    ["plan", plan, /^\[piece\.trough\]$/m, "[piece.Trough]", "a name that cannot be"],
    ["plan", plan, /^\[piece\.trough\]$/m, "[pieces.trough]", "a table that there is not"],
    ["yard", yard, /^\[board\./m, "[bord.", "a shelf that there is not"],
    ["yard", yard, /^format = 1$/m, "", "a key at the top that must be there"],
    ["shed", shed, /^\[saw\]$/m, "[saws]", "a table of the shed that there is not"],
  ];
  for (const [kind, text, from, to, what] of slips) {
    const slipped = text.replace(from, to);
    assert.notEqual(slipped, text, what);
    assert.equal(held[kind](parse(slipped)), false, what);
  }
});

test("defaults are such that they could be written", () => {
  // A default is put in its place: it must be let in where it stands.
  const ajv = new Ajv({ strict: false });
  let count = 0;
  const look = (node, definitions) => {
    if (typeof node !== "object" || node === null) return;
    if (Object.hasOwn(node, "default")) {
      assert.ok(ajv.validate({ ...node, definitions }, node.default), `${JSON.stringify(node.default)}: ${node.description}`);
      count += 1;
    }
    for (const inner of Object.values(node)) look(inner, definitions);
  };
  for (const file of FILES) look(schemas[file].properties, schemas[file].definitions);
  assert.ok(count > 50, `only ${count}`);
  assert.ok(existsSync(SCANTLING));
});
