// The app as people meet it: on a phone and on a laptop, by day, at night and in the sun; by keyboard alone; without a network; with
// texts of strangers; and when answers come late. `APP` is the folder that `cargo xtask app` has built.
import { test, before, after } from "node:test";
import assert from "node:assert/strict";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { brotliCompressSync, constants } from "node:zlib";
import { chromium } from "playwright-core";
import { builds, files, serve } from "./app-server.mjs";

const { APP, CHROMIUM, SCREENSHOTS } = process.env;
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const PLACES = ["start", "table", "yard", "saw", "bench", "gate"];
const SIZES = [["phone", { width: 390, height: 844 }], ["laptop", { width: 1366, height: 768 }]];
const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
let browser;
let server;

before(async () => {
  assert.ok(APP, "APP names no folder: build it by `cargo xtask app FOLDER`");
  server = await serve();
  browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-dev-shm-usage", "--disable-background-networking", "--disable-component-update"] });
  if (SCREENSHOTS) mkdirSync(SCREENSHOTS, { recursive: true });
});
after(async () => {
  await browser?.close();
  await server?.close();
});

/** A fresh browser with the app open. `errors` gathers what goes wrong, `asked` what is asked of other hosts. */
async function opened({ url = server.url, ...with_ } = {}) {
  const context = await browser.newContext({ viewport: SIZES[1][1], reducedMotion: "reduce", locale: "en-GB", ...with_ });
  const page = await context.newPage();
  const errors = [];
  const asked = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => message.type() === "error" && errors.push(message.text()));
  page.on("request", (request) => !request.url().startsWith(url) && !/^(data|blob):/.test(request.url()) && asked.push(request.url()));
  await page.goto(url);
  await page.waitForSelector("body[data-ready]");
  return { context, page, errors, asked, close: () => context.close() };
}

/** Takes an example build and waits until it is settled. */
async function take(page, title) {
  await page.getByRole("button", { name: `Mine is different: ${title}` }).click();
  await settled(page);
}

const settled = (page) => page.waitForFunction(() => document.querySelector("#head .proven") && document.querySelector("#head")?.getAttribute("aria-busy") === "false");

const line = (page) => page.locator("#head .line").innerText();

test("the strip names the builds as they are", () => {
  assert.deepEqual(JSON.parse(files()["examples/list.json"].toString()), builds());
});

test("the font is that of the drawings", () => {
  assert.ok(files()["scantling.ttf"].equals(readFileSync(new URL("../../crates/drawing/font/scantling.ttf", import.meta.url))));
});

test("all that is kept for use without a network is small, and is what is listed", () => {
  const all = files();
  const { version, files: listed } = JSON.parse(all["files.json"].toString());
  assert.match(version, /^\d+\.\d+\.\d+-[0-9a-f]{16}$/);
  assert.ok(all["sw.js"].toString().startsWith(`// ${version}\n`), "a new version has a new keeper");
  assert.deepEqual([...listed, "files.json", "single.html"].sort(), Object.keys(all).sort());
  const packed = (paths) => paths.reduce((sum, path) => sum + brotliCompressSync(all[path], { params: { [constants.BROTLI_PARAM_QUALITY]: 6 } }).length, 0);
  assert.ok(packed(listed.filter((path) => path !== "scantling.wasm")) < 100_000, "the app without the core");
  assert.ok(packed(listed) < 2_000_000, "everything");
});

for (const [device, viewport] of SIZES) {
  for (const light of ["day", "night", "sun"]) {
    test(`every place on a ${device}, light: ${light}`, async () => {
      // axe is put in past the policy of the page; all else is under it, in the other tests.
      const { page, errors, asked, close } = await opened({ viewport, bypassCSP: true, hasTouch: device === "phone" });
      await page.getByLabel("Light").selectOption(light);
      await take(page, "Kitchen trough in a ring of setts");
      const unfold = () => page.evaluate(() => document.querySelectorAll(".own details, .top details").forEach((details) => (details.open = true)));
      await unfold();
      await page.waitForSelector(".form .field", { state: "attached" });
      await unfold();
      await page.locator("#one-card .tally input").first().check();
      const sideways = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      assert.equal(sideways, 0, "the app scrolls sideways");
      await page.evaluate(axe);
      const found = await page.evaluate((runOnly) => globalThis.axe.run({ runOnly }), TAGS);
      assert.deepEqual(found.violations.map((violation) => `${violation.id}: ${violation.nodes[0].html}`), []);
      const twice = await page.evaluate(() => [...document.querySelectorAll("[id]")].map((element) => element.id).filter((id, at, all) => all.indexOf(id) !== at));
      assert.deepEqual(twice, [], "an id stands twice");
      const dead = await page.evaluate(() => [...document.querySelectorAll("a[href^='#']:not(.n)")].map((link) => link.getAttribute("href")).filter((href) => !document.getElementById(href.slice(1))));
      assert.deepEqual(dead, []);
      for (const place of PLACES) {
        assert.ok(await page.locator(`#${place}`).isVisible(), place);
        if (!SCREENSHOTS) continue;
        await page.evaluate((place) => document.getElementById(place).scrollIntoView(), place);
        await page.screenshot({ path: join(SCREENSHOTS, `app-${place}-${device}-${light}.png`) });
      }
      assert.deepEqual(errors, []);
      assert.deepEqual(asked, []);
      await close();
    });
  }
}

test("at the saw nothing to tap is smaller than 15 mm, and the stop is 9 mm high", async () => {
  const { page, close } = await opened({ viewport: SIZES[0][1] });
  await take(page, "Kitchen trough in a ring of setts");
  await page.locator("#one-card .tally input").first().check();
  await page.getByRole("button", { name: "fraction" }).click();
  const least = await page.evaluate(() => Math.min(...[...document.querySelectorAll("#own-saw :is(button, .screen-only input, .screen-only label)")].filter((element) => element.offsetParent).map((element) => Math.min(element.offsetHeight, element.offsetWidth))));
  assert.ok(least >= Math.floor((15 / 25.4) * 96), `${least} px`);
  const stop = await page.evaluate(() => parseFloat(getComputedStyle(document.querySelector("#one-card .stop strong")).fontSize) * 0.7);
  assert.ok(stop >= (9 / 25.4) * 96);
  await close();
});

test("by keyboard alone: sentence, picture, a notch, the yard sheet, a card", async () => {
  const { page, errors, close } = await opened();
  /** Tabs on until the focus is on what is looked for. */
  const tabTo = async (selector) => {
    for (let count = 0; count < 400; count += 1) {
      await page.keyboard.press("Tab");
      if (await page.evaluate((selector) => document.activeElement?.matches(selector), selector)) return;
    }
    assert.fail(`the focus never comes to ${selector}`);
  };
  await page.waitForSelector(".sentence .word");
  await tabTo(".sentence button.word");
  await page.keyboard.press("Enter");
  await page.keyboard.press("Escape");
  assert.ok(await page.evaluate(() => document.activeElement?.matches("button.word")), "the focus comes back to the word");
  // Words are chosen until the sentence says enough: each time the first of its list.
  for (let count = 0; count < 12 && !(await page.locator('[data-key="begin"]').count()); count += 1) {
    const word = page.locator(".sentence button.word").nth(count);
    await word.focus();
    await page.keyboard.press("Enter");
    await page.keyboard.press("Enter");
    await page.waitForTimeout(100);
  }
  await page.waitForSelector(".pictures figure.front svg");
  await page.locator(".sentence .word").last().focus();
  await tabTo('[data-key="begin"]');
  await page.keyboard.press("Enter");
  await settled(page);
  await page.waitForSelector(".rod svg");
  await tabTo(".rod");
  const rods = page.locator(".rod");
  const before = await line(page);
  const rod = await page.evaluateHandle(() => document.activeElement);
  assert.equal(await rod.getAttribute("role"), "slider");
  const was = await rod.getAttribute("aria-valuetext");
  // There may be no notch on one side: then the way is the other, or one step of the tape.
  for (const key of ["ArrowRight", "ArrowLeft", "Shift+ArrowRight"]) {
    await page.keyboard.press(key);
    if ((await rod.getAttribute("aria-valuetext")) !== was) break;
  }
  assert.notEqual(await rod.getAttribute("aria-valuetext"), was);
  await page.keyboard.press("Enter");
  await page.waitForFunction((before) => document.querySelector("#head .proven") && document.querySelector("#head .line").textContent !== before, before);
  assert.ok((await rods.count()) > 0);
  assert.ok(await page.getByRole("button", { name: "Undo" }).first().isEnabled());
  await settled(page);
  await page.locator("#walk a[href='#yard']").focus();
  await page.keyboard.press("Enter");
  assert.ok(await page.locator("#yard-sheet").isVisible());
  await page.evaluate(() => (globalThis.print = () => (globalThis.printed = document.body.dataset.print)));
  await tabTo("#own-yard button.main");
  await page.keyboard.press("Enter");
  assert.equal(await page.evaluate(() => globalThis.printed), "yard-sheet");
  await page.locator("#walk a[href='#saw']").focus();
  await page.keyboard.press("Enter");
  await tabTo("#one-card .tally input");
  await page.keyboard.press("Space");
  assert.ok(await page.locator(".keys").isVisible());
  assert.deepEqual(errors, []);
  await close();
});

test("a rod is drawn with the finger: sizes and drawings follow, prices when it is let go, undo takes it back", async () => {
  const { page, close } = await opened();
  await take(page, "Kitchen trough in a ring of setts");
  const before = await line(page);
  const picture = () => page.locator("#own-table .pictures").innerHTML();
  const front = await picture();
  await page.locator(".rod").first().scrollIntoViewIfNeeded();
  const box = await page.locator(".rod").first().boundingBox();
  const at = (share) => box.x + 14 + (box.width - 28) * share;
  await page.mouse.move(at(0.53), box.y + 90);
  await page.mouse.down();
  for (let step = 1; step <= 8; step += 1) await page.mouse.move(at(0.53 - step * 0.045), box.y + 90);
  await page.waitForFunction((front) => document.querySelector("#own-table .pictures").innerHTML !== front, front);
  assert.equal(await line(page), before, "nothing is settled while it is held");
  await page.mouse.up();
  await page.waitForFunction((before) => document.querySelector("#head .line").textContent !== before, before);
  await settled(page);
  assert.notEqual(await line(page), before);
  await page.getByRole("button", { name: "Undo" }).first().click();
  await page.waitForFunction((before) => document.querySelector("#head .line").textContent === before, before);
  await close();
});

test("a plan and its steps are there again after the window was closed", async () => {
  const { page, close } = await opened();
  await take(page, "Kitchen trough in a ring of setts");
  const first = await line(page);
  await page.locator('[data-key="none board larch-145 3600000000"]').click();
  await page.waitForFunction((first) => document.querySelector("#head .line").textContent !== first, first);
  await settled(page);
  const second = await line(page);
  await page.reload();
  await settled(page);
  assert.equal(await line(page), second);
  await page.getByRole("button", { name: "Undo" }).first().click();
  await page.waitForFunction((first) => document.querySelector("#head .line").textContent === first, first);
  await close();
});

test("another window that changes the same plan is told of", async () => {
  const { context, page, close } = await opened();
  await take(page, "Kitchen trough in a ring of setts");
  const other = await context.newPage();
  await other.goto(server.url);
  await settled(other);
  await other.locator('[data-key="none board larch-145 3600000000"]').click();
  await page.getByRole("button", { name: "Take theirs" }).click();
  await settled(page);
  assert.match(await page.locator("#shop").innerText(), /the yard has none/);
  await close();
});

test("printed alone, each card is a page of A5 and the yard sheet one side of A4", async () => {
  const { page, close } = await opened();
  await take(page, "Kitchen trough in a ring of setts");
  const sheets = async (what) => {
    await page.evaluate((what) => (document.body.dataset.print = what), what);
    const pdf = await page.pdf({ preferCSSPageSize: true });
    // Points of 1/72 in, to half a millimetre.
    return [...pdf.toString("latin1").matchAll(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/g)].map(([, ...sides]) => sides.map((side) => Math.round((side / 72) * 25.4)).join(" × "));
  };
  const cards = await page.locator(".all-cards .card").count();
  assert.ok(cards > 1);
  assert.deepEqual(await sheets("cards"), Array(cards).fill("148 × 210"));
  assert.deepEqual(await sheets("yard-sheet"), ["210 × 297"]);
  await close();
});

test("any number leads to its why, and back", async () => {
  const { page, close } = await opened();
  await take(page, "Kitchen trough in a ring of setts");
  const panel = page.locator("dialog#why");
  await page.locator('#sizes a.n[href="#why-trough.length"]').click();
  assert.match(await panel.innerText(), /trough\.length/);
  await page.keyboard.press("Escape");
  await page.locator('#buy a.n[href="#why-buy.total"]').click();
  await panel.locator("a.n").first().click();
  await panel.getByRole("button", { name: "Back" }).click();
  assert.match(await panel.innerText(), /buy\.total/);
  assert.equal(await page.evaluate(() => location.hash.startsWith("#why")), false);
  await close();
});

test("without a network the app opens, and settles", async () => {
  const own = await serve();
  const { context, page, close } = await opened({ url: own.url });
  await take(page, "Kitchen trough in a ring of setts");
  const before = await line(page);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.reload();
  await settled(page);
  await own.close();
  await context.setOffline(true);
  await page.reload();
  await settled(page);
  assert.equal(await line(page), before);
  await page.locator('[data-key="none board larch-145 3600000000"]').click();
  await page.waitForFunction((before) => document.querySelector("#head .line").textContent !== before, before);
  await close();
});

test("texts of strangers are shown as text", async () => {
  const { page, errors, close } = await opened();
  const bad = `<img src=x onerror="globalThis.had=1"><script>globalThis.had=1</script>`;
  const [plan, yard, shed] = ["plan", "yard", "shed"].map((what) => readFileSync(new URL(`../../builds/kitchen-trough/kitchen-trough.${what}.toml`, import.meta.url), "utf8"));
  const bundle = { scantling: 1, plan: "x.plan.toml", files: { "x.plan.toml": plan.replace(/^title = .*$/m, `title = ${JSON.stringify(bad)}`), "kitchen-trough.yard.toml": yard.replace(/^label = "larch.*$/m, `label = ${JSON.stringify(bad)}`), "kitchen-trough.shed.toml": shed } };
  await page.locator(".menu summary").click();
  await page.locator("#files").setInputFiles({ name: "x.scantling.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(bundle)) });
  await settled(page);
  await page.evaluate(() => document.querySelectorAll(".own details").forEach((details) => (details.open = true)));
  assert.equal(await page.locator("h1").innerText(), bad);
  assert.match(await page.locator("#shop").innerText(), /<img src=x/);
  assert.equal(await page.locator("img, main script").count(), 0);
  assert.equal(await page.evaluate(() => globalThis.had), undefined);
  assert.deepEqual(errors, []);
  // Whatever slips in by a mistake of ours is not run: only what the core wrote may come in as HTML.
  assert.equal(await page.evaluate(() => { try { document.body.innerHTML = "<p>x</p>"; return "let in"; } catch { return "kept out"; } }), "kept out");
  await close();
});

test("a plan that cannot be says what collides, and a way out frees it", async () => {
  const { page, close } = await opened();
  await take(page, "Kitchen trough in a ring of setts");
  await page.locator("#plan-text summary").click();
  const text = await page.locator("#text").inputValue();
  await page.locator("#text").fill(text.replace(/^length = .*$/m, "length = { exactly = 1490 }").replace(/^joint = .*$/m, "joint = { exactly = 10 }"));
  await page.waitForSelector("#refused .way");
  await page.locator("#refused .way").first().click();
  await settled(page);
  assert.equal(await page.locator("#refused").isVisible(), false);
  await page.locator("#text").fill(text.replace(/^gap = 8$/m, "gab = 8"));
  await page.waitForSelector("#text-problems li");
  assert.match(await page.locator("#text-problems").innerText(), /line \d+/);
  assert.equal(await page.locator("#text").getAttribute("aria-invalid"), "true");
  await close();
});

test("a stale answer never overwrites a newer one, and what runs can be stopped", async () => {
  // The core's own worker, each settling held back: the first for longer than the second.
  const held = `const say = self.postMessage.bind(self); const numbers = new Map();
    self.addEventListener("message", ({ data }) => { if (data.request && data.request.ask === "settle") numbers.set(data.number, numbers.size); });
    self.postMessage = (data) => { const turn = numbers.get(data.number); setTimeout(() => say(data), turn === undefined ? 0 : turn === 0 ? 1500 : 100); };\n`;
  const worker = held + readFileSync(new URL("../../app/worker.js", import.meta.url), "utf8");
  const slow = await serve({ instead: { "worker.js": worker } });
  const { page, close } = await opened({ url: slow.url });
  await page.getByRole("button", { name: "Mine is different: Kitchen trough in a ring of setts" }).click();
  await page.waitForSelector("#text-file option", { state: "attached" });
  await page.waitForSelector("#progress:not([hidden])");
  await page.locator("#plan-text summary").click();
  const text = await page.locator("#text").inputValue();
  for (const title of ["Second", "Third"]) {
    await page.locator("#text").fill(text.replace(/^title = .*$/m, `title = "${title}"`));
    await page.locator("#text").blur();
  }
  const titles = new Set();
  for (let count = 0; count < 40; count += 1) {
    if (await page.locator("#head .proven").count()) titles.add(await page.locator("h1").innerText());
    await page.waitForTimeout(100);
  }
  assert.deepEqual([...titles], ["Third"]);
  await close();
  await slow.close();
});
