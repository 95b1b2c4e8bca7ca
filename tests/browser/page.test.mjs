// The page as people meet it: on a phone, on a laptop, on paper; with a keyboard and a screen reader; without a network.
import { test, before, after } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { tmpdir } from "node:os";
import { chromium } from "playwright-core";

const { SCANTLING, CHROMIUM, SCREENSHOTS } = process.env;
const builds = new URL("../../builds/", import.meta.url).pathname;
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const folder = mkdtempSync(join(tmpdir(), "scantling-"));
const names = readdirSync(builds, { withFileTypes: true }).filter((entry) => entry.isDirectory()).map((entry) => entry.name);
let browser;

before(async () => {
  browser = await chromium.launch({
    executablePath: CHROMIUM,
    args: ["--no-sandbox", "--disable-dev-shm-usage", "--disable-background-networking", "--disable-component-update"],
  });
});
after(() => browser.close());

// A build that asks much of a card: long names, feet and inches, shaped tops, many parts of many boards, sheets.
const heavy = join(folder, "heavy");
mkdirSync(heavy);
const board = (name, thickness, width) =>
  `[board.${name}]\nlabel = "${name} from the yard behind the station, sawn and then planed all round, ${width} by ${thickness}"\nthickness = "${thickness} in"\nwidth = "${width} in"\nmaterial = "larch"\nlengths = [{ length = "77 5/16 in", price = 7 }, { length = "10 ft", price = 11 }, { length = "12 ft", price = 12.5, stock = 9 }]\n`;
const box = (name, length, width, stock) => `[piece.${name}]\nis = "walls"\nlength = { exactly = "${length} in" }\nwidth = { exactly = "${width} in" }\nheight = { exactly = "22 in" }\n${stock}\n`;
writeFileSync(join(heavy, "yard.toml"), `format = 1\ncurrency = "USD"\n${board("plank", "3/4", "5 1/2")}${board("picket", "5/8", "3 1/2")}[sheet.ply]\nlabel = "exterior plywood"\nthickness = "3/4 in"\nmaterial = "birch-plywood"\nsizes = [{ length = "8 ft", width = "4 ft" }]\n`);
writeFileSync(join(heavy, "shed.toml"), 'format = 1\n[saw]\nkerf = "1/8 in"\ntrim = "3/4 in"\n');
writeFileSync(join(heavy, "heavy.plan.toml"), `format = 1\ntitle = "Heavy"\nunits = "ft-in"\nyard = "yard.toml"\nshed = "shed.toml"\n${box("one", "60 7/16", "23 5/16", 'board = "plank"')}${box("two", "48 9/16", "19 3/16", 'board = "plank"')}${box("three", "31 7/16", "60 7/16", 'sheet = "ply"')}[piece.skin]\nis = "cladding"\non = "one"\nboard = "picket"\nboards = "upright"\ngap = { want = "3/8 in", from = "1/8 in", to = "1 in" }\ntop = "pointed"\nrise = "1 in"\nflat = "1/2 in"\n`);
const plans = [...names.map((name) => [name, join(builds, name, `${name}.plan.toml`)]), ["heavy", join(heavy, "heavy.plan.toml")]];

for (const [name, plan] of plans) {
  const file = join(folder, `${name}.html`);
  execFileSync(SCANTLING, ["page", plan, "-o", file], { stdio: "pipe" });

  for (const [device, viewport] of [["phone", { width: 390, height: 844 }], ["laptop", { width: 1366, height: 768 }]]) {
    test(`${name} on a ${device}`, async () => {
      const page = await browser.newPage({ viewport, reducedMotion: "reduce" });
      const asked = [];
      page.on("request", (request) => { if (!request.url().startsWith("file:") && !request.url().startsWith("data:")) asked.push(request.url()); });
      const errors = [];
      page.on("pageerror", (error) => errors.push(String(error)));
      page.on("console", (message) => { if (message.type() === "error") errors.push(message.text()); });
      await page.goto(`file://${file}`);
      assert.deepEqual(asked, [], "the page asks the network for something");
      assert.deepEqual(errors, []);
      assert.ok((await page.locator("h1").innerText()).length > 3);
      assert.ok((await page.locator("figure svg").count()) >= 5, "drawings are missing");
      const sideways = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      assert.equal(sideways, 0, "the page scrolls sideways");
      assert.ok(await page.evaluate(() => document.fonts.check("16px Scantling")), "the font is not there");
      await page.evaluate(axe);
      const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
      const found = await page.evaluate((runOnly) => globalThis.axe.run({ runOnly }), tags);
      assert.deepEqual(found.violations.map((violation) => `${violation.id}: ${violation.nodes[0].html}`), []);
      if (SCREENSHOTS) await page.screenshot({ path: join(SCREENSHOTS, `${name}-${device}.png`), fullPage: true });
      await page.close();
    });
  }

  test(`${name}: every number leads to its why`, async () => {
    const page = await browser.newPage();
    await page.goto(`file://${file}`);
    const dead = await page.evaluate(() => [...document.querySelectorAll("a[href^='#']")].map((a) => a.getAttribute("href")).filter((href) => !document.getElementById(href.slice(1))));
    assert.deepEqual(dead, []);
    assert.ok((await page.locator("a.n").count()) > 10);
    const ids = await page.evaluate(() => [...document.querySelectorAll("[id]")].map((element) => element.id));
    assert.equal(new Set(ids).size, ids.length, "an id stands twice");
    await page.close();
  });

  test(`${name} on paper`, async () => {
    const page = await browser.newPage();
    await page.goto(`file://${file}`);
    const pdf = await page.pdf({ format: "A4", path: SCREENSHOTS ? join(SCREENSHOTS, `${name}.pdf`) : undefined });
    assert.ok(pdf.length > 10_000);
    await page.close();
  });

  test(`${name}: each card at the saw is one page of A5`, async () => {
    const page = await browser.newPage();
    await page.goto(`file://${file}`);
    const cards = await page.locator(".card").count();
    assert.ok(cards > 0);
    const pdf = await page.pdf({ preferCSSPageSize: true, path: SCREENSHOTS ? join(SCREENSHOTS, `${name}-cards.pdf`) : undefined });
    // Points of 1/72 in, to half a millimetre.
    const sizes = [...pdf.toString("latin1").matchAll(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/g)].map(([, width, height]) => [width, height].map((side) => Math.round((side / 72) * 25.4)));
    const are = (width, height) => sizes.filter((size) => size[0] === width && size[1] === height).length;
    assert.equal(are(148, 210), cards, "pages of A5");
    assert.equal(are(148, 210) + are(210, 297), sizes.length, "pages that are neither A5 nor A4");
    assert.ok(are(210, 297) >= 2, "the rest of the page is on A4");
    await page.close();
  });

  test(`${name}: the yard sheet is one side of A4`, async () => {
    const page = await browser.newPage();
    await page.goto(`file://${file}`);
    await page.evaluate(() => document.querySelector("main").replaceChildren(document.querySelector(".yard-sheet")));
    const pdf = await page.pdf({ preferCSSPageSize: true, path: SCREENSHOTS ? join(SCREENSHOTS, `${name}-yard.pdf`) : undefined });
    const sizes = [...pdf.toString("latin1").matchAll(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/g)].map(([, width, height]) => [width, height].map((side) => Math.round((side / 72) * 25.4)));
    assert.deepEqual(sizes, [[210, 297]]);
    await page.close();
  });

  test(`${name}: every part has a label, forty on a side of A4`, async () => {
    const page = await browser.newPage();
    await page.goto(`file://${file}`);
    const labels = await page.locator(".labels li").count();
    assert.ok(labels > 0);
    await page.evaluate(() => {
      document.querySelector("main").replaceChildren(document.querySelector("#labels"));
      document.querySelector(".label-sheets").open = true;
    });
    const cut = await page.evaluate(() => [...document.querySelectorAll(".labels li")].filter((label) => label.scrollWidth > label.clientWidth + 1).map((label) => label.textContent));
    assert.deepEqual(cut, []);
    const pdf = await page.pdf({ preferCSSPageSize: true });
    const pages = [...pdf.toString("latin1").matchAll(/\/MediaBox/g)].length;
    assert.equal(pages, Math.ceil(labels / 40));
    await page.close();
  });

  test(`${name}: the page walks from table to gate`, async () => {
    const page = await browser.newPage();
    await page.goto(`file://${file}`);
    const walked = await page.evaluate(() => [...document.querySelectorAll("nav a, .place")].map((place) => place.id || place.hash.slice(1)));
    const places = ["table", "yard", "saw", "bench", "gate"];
    assert.deepEqual(walked, [...places, ...places]);
    const order = await page.evaluate(() => [...document.querySelectorAll(".place > section")].map((section) => section.id));
    const weekend = ["drawings", "sizes", "ways", "questions", "buy", "yard-sheet", "parts", "cutting", "cards", "labels", "marks", "steps", "why", "referee"];
    assert.deepEqual(order.filter((section) => weekend.includes(section)), weekend);
    await page.close();
  });

  test(`${name}: a card is whole on a phone and its stop is big`, async () => {
    const page = await browser.newPage({ viewport: { width: 390, height: 844 }, reducedMotion: "reduce" });
    await page.goto(`file://${file}`);
    const cut = await page.evaluate(() => {
      const beyond = (element) => {
        const box = element.getBoundingClientRect();
        const scrolls = !(element instanceof SVGElement) && element.scrollWidth > element.clientWidth + 1 && getComputedStyle(element).display !== "inline";
        return box.left < -0.5 || box.right > innerWidth + 0.5 || scrolls;
      };
      return [...document.querySelectorAll(".card, .card *")].filter(beyond).map((element) => element.outerHTML.slice(0, 120));
    });
    assert.deepEqual(cut, []);
    const least = await page.evaluate(() => Math.min(...[...document.querySelectorAll(".card .stop strong")].map((stop) => parseFloat(getComputedStyle(stop).fontSize))));
    // Capitals and figures of the lettering are 0.7 of its size high; 9 mm are 34 px of CSS.
    assert.ok(least * 0.7 >= 34, `the stop is ${least} px`);
    const ticks = await page.locator(".card input[type=checkbox]").count();
    assert.ok(ticks > 0);
    await page.close();
  });
}
