// The pictures of the README: the app as a maker meets it, on a phone and on a laptop, in grey. Writes docs/pictures/*.png.
//
// APP=… CHROMIUM=… node tests/browser/pictures.mjs
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { serve } from "./app-server.mjs";

const { APP, CHROMIUM } = process.env;
if (!APP) throw new Error("APP names no folder: build it by `cargo xtask app FOLDER`");
const folder = new URL("../../docs/pictures/", import.meta.url).pathname;
mkdirSync(folder, { recursive: true });

const browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-dev-shm-usage"] });
const server = await serve();
const settled = (page) => page.waitForFunction(() => document.querySelector("#head .proven") && document.querySelector("#head").getAttribute("aria-busy") === "false", null, { timeout: 120_000 });

async function opened(viewport) {
  const page = await browser.newPage({ viewport, reducedMotion: "reduce", locale: "en-GB" });
  await page.goto(server.url);
  await page.waitForSelector("#start .pictures svg");
  await page.getByLabel("Light").selectOption("day");
  return page;
}

/** A picture of what is in view, from the head of something on. */
async function picture(page, name, selector) {
  if (selector) await page.evaluate((selector) => document.querySelector(selector).scrollIntoView(), selector);
  await page.waitForTimeout(800);
  await page.screenshot({ path: join(folder, `${name}.png`) });
}

const phone = await opened({ width: 390, height: 844 });
await picture(phone, "sentence");
await phone.getByRole("button", { name: "Mine is different: Kitchen trough in a ring of setts" }).click();
await settled(phone);
await picture(phone, "rod", "#rods");
await picture(phone, "turned", "#build-up");
await picture(phone, "shop", "#shop");
await phone.locator("#one-card .tally input").first().check();
await picture(phone, "saw", "#cards");
const laptop = await opened({ width: 1366, height: 768 });
await laptop.getByRole("button", { name: "Mine is different: Kitchen trough in a ring of setts" }).click();
await settled(laptop);
await picture(laptop, "table", "#rods");
await browser.close();
await server.close();
