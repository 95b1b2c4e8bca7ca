// The page as people meet it: on a phone, on a laptop, on paper; with a keyboard and a screen reader; without a network.
import { test, before, after } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync } from "node:fs";
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

for (const name of names) {
  const file = join(folder, `${name}.html`);
  execFileSync(SCANTLING, ["page", join(builds, name, `${name}.plan.toml`), "-o", file], { stdio: "pipe" });

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
}
