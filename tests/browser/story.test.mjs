// The weekend on a phone, by touch and keys: from the sentence to a notch, the yard sheet, a narrow board, and a card for the saw; then
// the things on the way by themselves: the shop that has another size, the build turned and taken apart, bad files, inches.
import { test, before, after } from "node:test";
import assert from "node:assert/strict";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { serve } from "./app-server.mjs";

const { CHROMIUM, SCREENSHOTS, WASM } = process.env;
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };
const LAPTOP = { viewport: { width: 1366, height: 768 } };
let browser;
let server;

before(async () => {
  assert.ok(WASM, "WASM names no core: build crates/wasm for wasm32-unknown-unknown");
  server = await serve({ wasm: WASM });
  browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-dev-shm-usage", "--disable-background-networking", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"] });
  if (SCREENSHOTS) mkdirSync(SCREENSHOTS, { recursive: true });
});
after(async () => {
  await browser?.close();
  await server?.close();
});

/** A fresh browser with the app open. */
async function opened(with_ = PHONE) {
  const context = await browser.newContext({ reducedMotion: "reduce", locale: "en-GB", ...with_ });
  const page = await context.newPage();
  const errors = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => message.type() === "error" && errors.push(message.text()));
  await page.goto(server.url);
  await page.waitForSelector("body[data-ready]");
  await page.waitForSelector("#start .pictures svg");
  const shot = async (name) => SCREENSHOTS && (await page.screenshot({ path: join(SCREENSHOTS, `story-${name}.png`) }));
  return { context, page, errors, shot, close: () => context.close() };
}

const settled = (page) => page.waitForFunction(() => document.querySelector("#head .proven") && document.querySelector("#head")?.getAttribute("aria-busy") === "false");
const line = (page) => page.locator("#head .line").innerText();
/** Waits until the line that says it all is another than before. */
const other = async (page, before) => {
  await page.waitForFunction((before) => document.querySelector("#head .proven") && document.querySelector("#head .line").textContent !== before, before);
  await settled(page);
};

/** Draws the mark of a rod with a finger, by a share of its length. */
async function finger(page, rod, from, to) {
  await rod.evaluate((element) => element.scrollIntoView({ block: "center" }));
  const box = await rod.boundingBox();
  const touch = await page.context().newCDPSession(page);
  const at = (share) => [{ x: box.x + 14 + (box.width - 28) * share, y: box.y + box.height * 0.6 }];
  await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: at(from) });
  for (let step = 1; step <= 8; step += 1) {
    await touch.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: at(from + ((to - from) * step) / 8) });
    await page.waitForTimeout(20);
  }
  await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
}

test("from the sentence to the saw on a phone", async () => {
  const { page, errors, shot, close } = await opened();
  // The sentence: a word is tapped, another is chosen, a length is typed.
  const corners = page.locator('[data-key^="word-"]').filter({ hasText: "inside posts" });
  await corners.tap();
  await page.locator(".choices:not([hidden]) button").last().tap();
  await page.waitForFunction(() => ![...document.querySelectorAll(".sentence button.word")].some((word) => word.textContent.includes("inside posts")));
  await page.locator(".sentence input.word").first().fill("1500");
  await page.locator(".sentence input.word").first().blur();
  await page.waitForFunction(() => document.querySelector("#start .pictures").textContent.includes("1500"));
  await shot("1-sentence");
  await page.locator('[data-key="begin"]').tap();
  await settled(page);
  assert.match(await page.locator("h1").innerText(), /planter/i);
  // Prices are blank, and block nothing.
  assert.match(await line(page), /^1500 × 400 × 4\d\d/);
  // The rod is drawn with a finger to another size: the drawing follows, and the plan when it is let go.
  const before = await line(page);
  const rod = page.locator('.rod[aria-label="box length"]');
  await finger(page, rod, 0.5, 0.25);
  await other(page, before);
  assert.notEqual(await rod.getAttribute("aria-valuenow"), "1500");
  await shot("2-notch");
  // And with keys, back to a notch.
  const drawn = await line(page);
  await rod.focus();
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Enter");
  if ((await rod.getAttribute("aria-valuenow")) !== (await page.evaluate(() => document.querySelector(".rod").getAttribute("aria-valuenow")))) await other(page, drawn);
  await settled(page);
  // The yard: every line can be ticked though none has a price; the sheet is one page.
  await page.locator("#walk a[href='#yard']").tap();
  const lines = await page.locator("#shop .to-buy").count();
  assert.ok(lines > 4, `${lines} lines`);
  assert.ok((await page.locator("#yard-sheet").innerText()).includes("to buy"));
  await page.locator("#shop .to-buy input[type=checkbox]").first().tap();
  assert.match(await page.locator("#shop-left").innerText(), new RegExp(`^${lines - 1} of ${lines} lines`));
  await shot("3-shop");
  // One price is said in the shop.
  const price = page.locator("#shop [data-key^='price board']").first();
  await price.fill("12,50");
  await price.blur();
  await page.waitForFunction(() => /\d\.\d\d EUR/.test(document.querySelector("#shop").textContent));
  await settled(page);
  // At home ten boards side by side read narrow: it is seen what changes before it is written.
  const bought = await line(page);
  await page.locator("#reading").selectOption("width");
  await page.locator("#read-over").fill("10");
  await page.locator("#read-reads").fill("1430");
  await page.getByRole("button", { name: "See what it changes" }).tap();
  const write = page.locator('[data-key="write"]');
  await write.waitFor();
  assert.match(await page.locator("#bring table").innerText(), /was/);
  await shot("4-narrow");
  await write.tap();
  await other(page, bought);
  // A card: the stop in big letters, a part ticked, and what went wrong with one.
  await page.locator("#walk a[href='#saw']").tap();
  assert.match(await page.locator("#one-card .stop").innerText(), /Stop at\s+\d+/);
  await page.locator("#one-card .tally input").first().tap();
  assert.ok(await page.locator(".keys").isVisible());
  await shot("5-card");
  await page.getByRole("button", { name: "−1", exact: true }).tap();
  for (let count = 0; count < 20; count += 1) await page.getByRole("button", { name: "−1", exact: true }).tap();
  await page.getByRole("button", { name: "this went wrong" }).tap();
  await page.locator('#saw [data-key="write"]').waitFor({ timeout: 60_000 });
  assert.match(await page.locator("#saw .answer").innerText(), /ways? out|Nothing else changes|What it changes/);
  await shot("6-wrong");
  await page.locator('#saw [data-key="write"]').tap();
  await settled(page);
  assert.match(await page.locator("#saw .answer").innerText(), /Written/);
  await shot("7-ways-out");
  // Undo is at hand wherever one stands.
  await page.locator('[data-key="walk-undo"]').tap();
  await page.waitForFunction(() => !document.querySelector('[data-key="redo"]').disabled);
  // The gate hands everything on.
  await settled(page);
  await page.locator("#walk a[href='#gate']").tap();
  const download = page.waitForEvent("download");
  await page.locator('[data-key="page"]').tap();
  assert.match((await download).suggestedFilename(), /\.html$/);
  assert.deepEqual(errors, []);
  await close();
});

test("the shop has none, only some, or another size: each time there is a new plan on the spot", async () => {
  const { page, errors, close } = await opened(LAPTOP);
  await page.getByRole("button", { name: "Mine is different: Kitchen trough in a ring of setts" }).click();
  await settled(page);
  const first = await line(page);
  const yard = async () => (await page.locator("#text-file option").allInnerTexts()).length && page.evaluate(() => JSON.parse(localStorage.getItem(Object.keys(localStorage).find((key) => key.startsWith("scantling.plan.")))).files["kitchen-trough.yard.toml"]);
  await page.locator('[data-key="other board larch-145 3600000000"]').click();
  await page.locator("[data-key=other-length]").fill("4800");
  await page.locator("#shop .other input").nth(1).fill("26");
  await page.getByRole("button", { name: "Plan with that" }).click();
  await other(page, first);
  assert.match(await yard(), /length = 4800, price = 26\.00/);
  assert.match(await page.locator("#shop").innerText(), /4800 long/);
  assert.match(await page.locator("#shop").innerText(), /3600 the yard has none/);
  await page.getByRole("button", { name: "Undo", exact: true }).first().click();
  await page.waitForFunction((first) => document.querySelector("#head .line").textContent === first, first);
  await settled(page);
  // Of units there are too few: what collides is said, with ways out, or it comes out with fewer.
  await page.locator('[data-key^="count unit"]').fill("30");
  await page.locator('[data-key^="only unit"]').click();
  await page.waitForFunction((first) => document.querySelector("#refused:not([hidden])") || document.querySelector("#head .line")?.textContent !== first, first);
  await page.waitForFunction(() => document.querySelector("#head").getAttribute("aria-busy") === "false");
  assert.match(await yard(), /stock = 30/);
  await page.getByRole("button", { name: "Undo", exact: true }).first().click();
  await page.waitForFunction((first) => document.querySelector("#head .line")?.textContent === first, first);
  // Ticks stay over all this, and over a reload.
  await page.locator("#shop .to-buy input[type=checkbox]").first().check();
  await page.reload();
  await settled(page);
  assert.equal(await page.locator("#shop .to-buy input[type=checkbox]").first().isChecked(), true);
  assert.deepEqual(errors, []);
  await close();
});

test("the build is turned by finger, mouse and keys, and taken apart in the order in which it goes up", async () => {
  const { page, errors, shot, close } = await opened();
  await page.getByRole("button", { name: "Mine is different: Kitchen trough in a ring of setts" }).tap();
  await settled(page);
  const from = page.locator("#turned-from");
  const is = (words) => page.waitForFunction((words) => document.querySelector("#turned-from").textContent === words, words);
  await is("from the front right, 30° above");
  const picture = page.locator("figure.buildup");
  const svg = () => picture.innerHTML();
  const first = await svg();
  await picture.focus();
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  await is("from the right, 30° above");
  assert.notEqual(await svg(), first);
  for (let count = 0; count < 9; count += 1) await page.keyboard.press("ArrowUp");
  await page.waitForFunction(() => document.querySelector("#turned-from").textContent.startsWith("straight from above"));
  await page.keyboard.press("Home");
  await is("from the front right, 30° above");
  assert.equal(await svg(), first, "the same side is the same picture");
  await finger(page, picture, 0.3, 0.8);
  await page.waitForFunction(() => !document.querySelector("#turned-from").textContent.includes("front right"));
  await page.locator('[data-key="turn-back"]').tap();
  await is("from the front right, 30° above");
  // Apart: each step has less in it, and the caption says which.
  const strokes = async () => ((await svg()).match(/M/g) ?? []).length;
  const whole = await strokes();
  const steps = Number(await page.locator("#buildup-step").getAttribute("max"));
  assert.ok(steps > 2);
  await page.locator("#buildup-step").fill("1");
  await page.waitForFunction((steps) => document.querySelector("#turned-step").textContent.startsWith(`1 of ${steps}.`), steps);
  await page.waitForFunction((whole) => (document.querySelector("figure.buildup").innerHTML.match(/M/g) ?? []).length < whole, whole);
  await picture.focus();
  await page.keyboard.press("+");
  await page.waitForFunction((steps) => document.querySelector("#turned-step").textContent.startsWith(`2 of ${steps}.`), steps);
  await shot("turned");
  // In three dimensions, on demand: nothing of it was fetched before.
  const asked = await page.evaluate(() => performance.getEntriesByType("resource").filter(({ name }) => name.endsWith("/solid.js")).length);
  assert.equal(asked, 0);
  await page.locator('[data-key="solid"]').tap();
  const canvas = page.locator("canvas.solid");
  await canvas.waitFor();
  await page.waitForTimeout(300);
  /** What is drawn: how many of the points of the canvas, read right after a frame, are covered. */
  const covered = () => canvas.evaluate(async (element) => {
    const image = new Image();
    await new Promise((done) => requestAnimationFrame(done));
    element.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowLeft" }));
    await new Promise((done) => requestAnimationFrame(() => ((image.src = element.toDataURL()), done())));
    await image.decode();
    const flat = Object.assign(document.createElement("canvas"), { width: image.width, height: image.height });
    const pen = flat.getContext("2d");
    pen.drawImage(image, 0, 0);
    const { data } = pen.getImageData(0, 0, flat.width, flat.height);
    let count = 0;
    for (let at = 3; at < data.length; at += 4) if (data[at] > 128) count += 1;
    return count / (flat.width * flat.height);
  });
  const two = await covered();
  assert.ok(two > 0.005, `${two}`);
  await page.locator("#buildup-step").fill(String(steps));
  await page.waitForTimeout(300);
  const all = await covered();
  assert.ok(all > two, `${all} of the whole, ${two} of two steps`);
  await shot("solid");
  await page.locator('[data-key="solid-away"]').tap();
  assert.equal(await canvas.count(), 0);
  assert.deepEqual(errors, []);
  await close();
});

for (const [light, device] of [["day", PHONE], ["night", LAPTOP]]) {
  test(`what opens on the way has no fault for a reader of screens either, light: ${light}`, async () => {
    const { page, close } = await opened({ ...device, bypassCSP: true });
    await page.getByLabel("Light").selectOption(light);
    await page.evaluate(axe);
    const clean = async (what) => {
      const found = await page.evaluate(() => globalThis.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
      assert.deepEqual(found.violations.map((violation) => `${what}: ${violation.id}: ${violation.nodes[0].html}`), []);
    };
    await page.locator(".sentence button.word").first().click();
    await clean("a word's choices");
    await page.keyboard.press("Escape");
    await page.locator('[data-key="begin"]').click();
    await settled(page);
    await page.locator('[data-key^="other board"]').first().click();
    await page.locator('[data-key="solid"]').click();
    await page.locator("canvas.solid").waitFor();
    await page.locator("#read-reads").fill("1430");
    await page.getByRole("button", { name: "See what it changes" }).click();
    await page.locator('[data-key="write"]').waitFor();
    await clean("another size, a reading, three dimensions");
    await page.locator("a.n").first().click();
    await clean("a why");
    await page.keyboard.press("Escape");
    await page.locator("#plan-text summary").click();
    const text = await page.locator("#text").inputValue();
    await page.locator("#text").fill(text.replace(/^length = .*$/m, "length = 3"));
    await page.waitForSelector("#text-problems li");
    await clean("a plan that cannot be");
    await close();
  });
}

test("files that are no plan are told of, and change nothing", async () => {
  const { page, errors, close } = await opened(LAPTOP);
  await page.locator(".menu summary").click();
  const bad = async (name, text, words) => {
    await page.locator("#files").setInputFiles({ name, mimeType: "application/octet-stream", buffer: Buffer.from(text) });
    await page.waitForFunction((words) => new RegExp(words).test(document.querySelector("#notices").textContent), words);
    await page.evaluate(() => document.querySelectorAll("#notices .notice").forEach((notice) => notice.remove()));
    assert.equal(await page.locator("h1").innerText(), "Scantling");
  };
  await bad("x.json", "{", "not JSON");
  await bad("x.json", `{"scantling": 2}`, "edition");
  await bad("x.json", `{"scantling": 1, "plan": "a", "files": {"b": ""}}`, "missing");
  await bad("x.json", `{"scantling": 1, "plan": "__proto__", "files": {"a": "x"}}`, "missing");
  await bad("photo.png", "\u0000\u0001", "None of these files");
  // One that calls itself a plan and is none opens, and says what is wrong where.
  await page.locator("#files").setInputFiles({ name: "x.plan.toml", mimeType: "text/plain", buffer: Buffer.from("format = 1\ntitle = \"x\"\n[piece.a\n") });
  await page.waitForSelector("#refused:not([hidden])");
  assert.match(await page.locator("#refused").innerText(), /x\.plan\.toml, line 3/);
  // The example after it is whole again.
  await page.getByRole("button", { name: "Mine is different: Kitchen trough in a ring of setts" }).click();
  await settled(page);
  // Both plans are there, side by side.
  assert.equal(await page.getByLabel("Plan", { exact: true }).locator("option").count(), 2);
  assert.deepEqual(errors, []);
  await close();
});

test("in inches the sentence, the rod and the card speak inches", async () => {
  const { page, errors, shot, close } = await opened({ ...PHONE, locale: "en-US" });
  assert.match(await page.locator("#start .pictures").innerText(), /1\/2" = 1'-0"/);
  await page.locator('[data-key="begin"]').tap();
  await settled(page);
  assert.match(await line(page), /"/);
  const rod = page.locator(".rod").first();
  assert.match(await rod.getAttribute("aria-valuetext"), /\d"/);
  await page.locator("#walk a[href='#saw']").tap();
  assert.match(await page.locator("#one-card .stop").innerText(), /"/);
  await page.locator("#one-card .tally input").first().tap();
  await page.getByRole("button", { name: "fraction" }).tap();
  await page.getByRole("button", { name: "−1/16" }).tap();
  assert.match(await page.locator(".keys .reads").inputValue(), /15\/16"|\d"/);
  await shot("inches");
  assert.deepEqual(errors, []);
  await close();
});
