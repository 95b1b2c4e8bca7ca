// The app in one file, from the disk: it reckons, keeps plans in the browser, and hands a plan on in a file of the same kind.
// `APP` is the folder that `cargo xtask app` has built.
import { test, before, after } from "node:test";
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { serve } from "./app-server.mjs";

const { APP, CHROMIUM } = process.env;
const TROUGH = "Mine is different: Kitchen trough in a ring of setts";
let browser;
let folder;

before(async () => {
  assert.ok(APP, "APP names no folder: build it by `cargo xtask app FOLDER`");
  browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-dev-shm-usage", "--disable-background-networking", "--disable-component-update"] });
  folder = mkdtempSync(join(tmpdir(), "scantling-single-"));
});
after(async () => {
  await browser?.close();
  if (folder) rmSync(folder, { recursive: true });
});

/** A page of its own browser, or of one that is given. `errors` gathers what goes wrong, `asked` what is asked of anybody. */
async function opened(url, context) {
  context ??= await browser.newContext({ viewport: { width: 390, height: 844 }, reducedMotion: "reduce", locale: "en-GB", acceptDownloads: true });
  const page = await context.newPage();
  const errors = [];
  const asked = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => message.type() === "error" && errors.push(message.text()));
  page.on("request", (request) => request.url() !== url && !/^(data|blob):/.test(request.url()) && asked.push(request.url()));
  await page.goto(url);
  await page.waitForSelector("body[data-ready]");
  return { context, page, errors, asked };
}

const settled = (page) => page.waitForFunction(() => document.querySelector("#head .proven") && document.querySelector("#head")?.getAttribute("aria-busy") === "false");
const line = (page) => page.locator("#head .line").innerText();
const changed = (page, before) => page.waitForFunction((before) => document.querySelector("#head .line").textContent !== before, before);

/** Takes the offered file and puts it into the folder; its address there. */
async function handedOn(page, name) {
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "The app with this plan" }).click()]);
  const path = join(folder, name);
  await download.saveAs(path);
  return path;
}

test("the policy of the one file lets in its own script and style, and nothing else", () => {
  const page = readFileSync(join(APP, "single.html"), "utf8");
  const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(page)[1];
  const hash = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
  const [script, ...others] = [...page.matchAll(/<script type="module">([\s\S]*?)<\/script>/g)].map(([, text]) => text);
  assert.deepEqual(others, []);
  const of = (name) => policy.split("; ").find((rule) => rule.startsWith(`${name} `)).slice(name.length + 1);
  assert.equal(of("script-src"), `${hash(script)} 'wasm-unsafe-eval'`);
  assert.equal(of("style-src"), hash(/<style>([\s\S]*?)<\/style>/.exec(page)[1]));
  assert.equal(of("default-src"), "'none'");
  assert.ok(!/unsafe-inline|'unsafe-eval'|https?:/.test(policy));
});

test("from the disk the app reckons, keeps what is made, and asks nobody", async () => {
  const { context, page, errors, asked } = await opened(pathToFileURL(join(APP, "single.html")).href);
  await page.getByRole("button", { name: TROUGH }).click();
  await settled(page);
  const first = await line(page);
  assert.ok((await page.locator("ul.strip .sketch svg").count()) > 0, "the builds are drawn");
  assert.equal(await page.evaluate(() => document.fonts.check("12px Scantling")), true);
  await page.locator('[data-key="none board larch-145 3600000000"]').click();
  await changed(page, first);
  await settled(page);
  const second = await line(page);
  await page.reload();
  await settled(page);
  assert.equal(await line(page), second);
  assert.deepEqual(errors, []);
  assert.deepEqual(asked, []);
  // What slips in by a mistake is not run.
  assert.equal(await page.evaluate(() => { try { document.body.innerHTML = "<p>x</p>"; return "let in"; } catch { return "kept out"; } }), "kept out");
  await context.close();
});

test("a plan is handed on in one file, opened from the disk, refitted there, and handed on again", async () => {
  const server = await serve();
  const maker = await opened(server.url);
  const bad = `</script><script>globalThis.had = 1</script><!-- $& $1 "trough" `;
  await maker.page.getByRole("button", { name: TROUGH }).click();
  await settled(maker.page);
  const text = await (async () => {
    await maker.page.locator("#plan-text summary").click();
    return maker.page.locator("#text").inputValue();
  })();
  await maker.page.locator("#text").fill(text.replace(/^title = .*$/m, () => `title = ${JSON.stringify(bad)}`));
  await maker.page.locator("#text").blur();
  await maker.page.waitForFunction((bad) => document.querySelector("#head h1").textContent === bad, bad);
  await settled(maker.page);
  const first = await line(maker.page);
  const path = await handedOn(maker.page, "handed.html");
  assert.deepEqual(maker.errors, []);
  await maker.context.close();
  await server.close();

  // The reader has the file and no network. Their yard has no such boards: what is handed on is fitted again, and stays so.
  const url = pathToFileURL(path).href;
  const reader = await opened(url);
  await settled(reader.page);
  assert.equal(await reader.page.locator("h1").innerText(), bad.trim());
  assert.equal(await line(reader.page), first);
  await reader.page.locator('[data-key="none board larch-145 3600000000"]').click();
  await changed(reader.page, first);
  await settled(reader.page);
  const refitted = await line(reader.page);
  await reader.page.reload();
  await settled(reader.page);
  assert.equal(await line(reader.page), refitted, "what was changed here stays, though the file is as it came");
  assert.equal(await reader.page.evaluate(() => globalThis.had), undefined);

  const onward = await handedOn(reader.page, "onward.html");
  assert.deepEqual([reader.errors, reader.asked], [[], []]);
  await reader.context.close();
  const [one, two] = [path, onward].map((path) => readFileSync(path, "utf8"));
  const bare = (page) => page.replace(/(id="handed">)[^<]*/, "$1").replace(/=""|\s+/g, "");
  assert.ok(bare(two) === bare(one), "it is the same page but for the plan");
  const third = await opened(pathToFileURL(onward).href);
  await settled(third.page);
  assert.equal(await line(third.page), refitted);
  assert.deepEqual([third.errors, third.asked], [[], []]);
  await third.context.close();
});

test("a file that was handed on broken says so and opens as an empty bench", async () => {
  const page = readFileSync(join(APP, "single.html"), "utf8");
  for (const [data, says] of [["{", /JSON/i], ['{"scantling":2}', /edition/], ['{"scantling":1,"plan":"x.plan.toml","files":{}}', /missing/]]) {
    const path = join(folder, "broken.html");
    writeFileSync(path, page.replace(/(id="handed">)null/, (_, begin) => begin + data));
    const { context, page: app } = await opened(pathToFileURL(path).href);
    assert.match(await app.locator("#notices").innerText(), says);
    await app.waitForSelector(".sentence .word");
    await context.close();
  }
});
