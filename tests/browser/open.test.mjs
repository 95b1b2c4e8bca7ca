// The app as `scantling open` serves it: edits come into the files of the folder, whole; what another program writes is told; plans
// that are begun come into the folder; the core answers through the wire, and stops when it is told to. `SCANTLING` is the command.
import { test, before, after } from "node:test";
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, readdirSync, rmSync, statSync, watch, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

const { CHROMIUM, SCANTLING } = process.env;
const build = new URL("../../builds/kitchen-trough/", import.meta.url).pathname;
const [PLAN, YARD, BOOK] = ["plan.toml", "yard.toml", "daybook.jsonl"].map((what) => `kitchen-trough.${what}`);
let browser;

before(async () => {
  assert.ok(SCANTLING, "SCANTLING names no command: build crates/cli");
  browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-dev-shm-usage", "--disable-background-networking", "--disable-component-update"] });
});
after(() => browser?.close());

/** The command at work in a folder of its own. `files` are taken from the trough. */
async function served(files = [PLAN, YARD, "kitchen-trough.shed.toml"], more = [PLAN]) {
  const folder = mkdtempSync(join(tmpdir(), "scantling-open-"));
  for (const file of files) cpSync(join(build, file), join(folder, file));
  const command = spawn(SCANTLING, ["open", ...more], { cwd: folder, stdio: ["ignore", "pipe", "inherit"] });
  const address = await new Promise((resolve, reject) => {
    command.stdout.once("data", (data) => resolve(String(data).trim()));
    command.once("exit", (code) => reject(new Error(`it ended with ${code}`)));
  });
  const close = () => {
    command.kill();
    rmSync(folder, { recursive: true });
  };
  return { folder, address, close, text: (name) => readFileSync(join(folder, name), "utf8"), put: (name, text) => writeFileSync(join(folder, name), text) };
}

/** The app in a fresh browser. `errors` gathers what goes wrong. */
async function opened(address) {
  const context = await browser.newContext({ viewport: { width: 1366, height: 768 }, reducedMotion: "reduce", locale: "en-GB" });
  const page = await context.newPage();
  const errors = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  // A conflict is an answer like others; the browser notes its status all the same.
  page.on("console", (message) => message.type() === "error" && !/status of 409/.test(message.text()) && errors.push(message.text()));
  await page.goto(address);
  await page.waitForSelector("body[data-ready]");
  return { page, errors, close: () => context.close() };
}

const settled = (page) => page.waitForFunction(() => document.querySelector("#head .proven") && document.querySelector("#head")?.getAttribute("aria-busy") === "false", null, { timeout: 120_000 });
const line = (page) => page.locator("#head .line").innerText();
const until = async (holds, what) => {
  for (let count = 0; count < 200; count += 1) {
    if (holds()) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  assert.fail(what);
};

test("an edit comes into the file, whole at any moment, and what another program wrote is told", async () => {
  const { folder, address, close, text, put } = await served();
  const { page, errors, close: leave } = await opened(address);
  await settled(page);
  assert.equal(await page.evaluate(() => location.href), address.replace(/#.*/, ""), "the token does not stay in the address");
  assert.equal(await page.evaluate(() => performance.getEntriesByName(new URL("scantling.wasm", location.href).href).length), 0, "the core is asked through the wire");
  const first = await line(page);

  // While it is written the file is never short, and never another's than the old or the new.
  const before = text(YARD);
  const number = statSync(join(folder, YARD)).ino;
  const seen = new Set();
  const watcher = watch(folder, () => seen.add(text(YARD)));
  await page.locator('[data-key="none board larch-145 3600000000"]').click();
  await page.waitForFunction((first) => document.querySelector("#head .line").textContent !== first, first);
  await settled(page);
  await until(() => /stock = 0/.test(text(YARD)), "the yard is not written");
  watcher.close();
  assert.match(text(YARD), /# Invented prices\./, "remarks stay");
  for (const there of seen) assert.ok(there === before || there === text(YARD), "half a file was there");
  assert.notEqual(statSync(join(folder, YARD)).ino, number, "a new file takes the place of the old one");
  assert.deepEqual(readdirSync(folder).filter((name) => name.startsWith(".")), [], "nothing is left beside it");

  // Somebody else writes the file: mine is kept only if the maker says so.
  put(YARD, `${text(YARD)}# theirs\n`);
  await page.getByRole("button", { name: "there are enough" }).click();
  await page.getByText(`${YARD} was changed by another program.`).waitFor();
  assert.match(text(YARD), /# theirs/, "nothing is written over before the maker chose");
  await page.getByRole("button", { name: "Keep mine" }).click();
  await until(() => !/stock|theirs/.test(text(YARD)), "mine is not kept");
  await settled(page);

  // And once more, seen when the window is looked at again: theirs is taken.
  const mine = await line(page);
  put(YARD, text(YARD).replace(/price = [\d.]+/, "price = 99"));
  await page.evaluate(() => dispatchEvent(new Event("focus")));
  await page.getByRole("button", { name: "Take theirs" }).click();
  await page.waitForFunction((mine) => document.querySelector("#head .line").textContent !== mine, mine);
  await settled(page);
  assert.match(text(YARD), /price = 99/);
  await page.getByRole("button", { name: "Undo" }).first().click();
  await until(() => !/price = 99/.test(text(YARD)), "undo does not reach the file");
  assert.deepEqual(errors, []);
  await leave();
  close();
});

test("a day book only grows, and what another program noted comes first", async () => {
  const { address, close, text, put } = await served();
  const { page, errors, close: leave } = await opened(address);
  await settled(page);
  const read = async (reads) => {
    await page.locator("#reading").selectOption("kerf");
    await page.locator("#read-reads").fill(reads);
    await page.getByRole("button", { name: "See what it changes" }).click();
    await page.getByRole("button", { name: "Write it into the day book" }).click({ timeout: 120_000 });
  };
  const entries = () => text(BOOK).trimEnd().split("\n").map((line) => JSON.parse(line));
  await read("2.6");
  await until(() => { try { return entries().length === 1; } catch { return false; } }, "no entry");
  await settled(page);
  await page.getByRole("button", { name: "Undo" }).first().click();
  await until(() => entries().length === 2, "no entry that takes it back");
  assert.deepEqual(entries().map((entry) => entry.what), ["kerf", "undo"]);
  await settled(page);
  put(BOOK, `${text(BOOK)}${JSON.stringify({ ...entries()[0], n: 3 })}\n`);
  const theirs = text(BOOK);
  await read("2.8");
  await page.getByText(`${BOOK} was changed by another program.`).waitFor();
  assert.equal(await page.getByRole("button", { name: "Keep mine" }).count(), 0);
  await page.getByRole("button", { name: "Take theirs" }).click();
  await settled(page);
  assert.equal(text(BOOK), theirs);
  assert.deepEqual(errors, []);
  await leave();
  close();
});

test("without a plan the start is shown, and what is begun comes into the folder under names that are free", async () => {
  const { folder, address, close, text } = await served([PLAN], []);
  const { page, errors, close: leave } = await opened(address);
  assert.equal(await page.locator("#head .proven").count(), 0);
  await page.getByRole("button", { name: "Mine is different: Kitchen trough in a ring of setts" }).click();
  await settled(page);
  await until(() => readdirSync(folder).length === 4, "the plan is not kept");
  assert.deepEqual(readdirSync(folder).sort(), [PLAN, "kitchen-trough-2.plan.toml", "kitchen-trough-2.shed.toml", "kitchen-trough-2.yard.toml"].sort());
  assert.match(text("kitchen-trough-2.plan.toml"), /^yard = "kitchen-trough-2\.yard\.toml"$/m);
  assert.equal(text(PLAN), readFileSync(join(build, PLAN), "utf8"));
  await page.reload();
  await page.waitForSelector("body[data-ready]");
  const plans = page.getByLabel("Plan", { exact: true });
  await plans.selectOption("kitchen-trough-2.plan.toml");
  await settled(page);
  assert.deepEqual(errors, []);
  await leave();
  close();
});

test("what runs at the other end of the wire stops when it is told to", async () => {
  const { address, close } = await served();
  const { page, close: leave } = await opened(address);
  await settled(page);
  // The first settling is held back on its way; the second overtakes it.
  let held = 0;
  await page.route("**/ask", async (route) => {
    const { ask } = route.request().postDataJSON();
    if (ask === "settle" && (held += 1) === 1) await new Promise((resolve) => setTimeout(resolve, 3000));
    await route.continue().catch(() => {});
  });
  const stopped = page.waitForEvent("requestfailed", (request) => request.url().endsWith("/ask"));
  await page.locator("#plan-text summary").click();
  const text = await page.locator("#text").inputValue();
  const titles = new Set();
  for (const title of ["Second", "Third"]) {
    await page.locator("#text").fill(text.replace(/^title = .*$/m, `title = "${title}"`));
    await page.locator("#text").blur();
    await page.waitForTimeout(600);
  }
  await stopped;
  for (let count = 0; count < 40; count += 1) {
    if (await page.locator("#head .proven").count()) titles.add(await page.locator("h1").innerText());
    await page.waitForTimeout(100);
  }
  titles.delete("Kitchen trough in a ring of setts");
  assert.deepEqual([...titles], ["Third"]);
  await leave();
  close();
});
