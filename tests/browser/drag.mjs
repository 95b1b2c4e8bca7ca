// How fast the drawing follows the finger: on each example build the mark of a rod is drawn along it and back, one step of the pointer
// to a frame. For each step it is measured in the page from the input handler to the end of the render callback in which the drawing
// stands changed; a step whose drawing came later than the next frame is a dropped frame. And how long the first drawing takes from a
// cold start on loopback. Prints one line of JSON for each example.
//
// WASM=… CHROMIUM=… node tests/browser/drag.mjs [--once]
import { chromium } from "playwright-core";
import { builds, serve } from "./app-server.mjs";

const { CHROMIUM, WASM } = process.env;
const STEPS = process.argv.includes("--once") ? 10 : 120;
const FRAME = 1000 / 60;
if (!WASM) throw new Error("WASM names no core: build crates/wasm for wasm32-unknown-unknown");

const share = (all, part) => [...all].sort((a, b) => a - b)[Math.min(all.length - 1, Math.floor(all.length * part))];
const round = (value) => Math.round(value * 10) / 10;

/** Draws the mark along its rod in the page, a step in each frame, and measures each. */
async function drawn(steps) {
  const rod = document.querySelector(".rod");
  const pictures = document.querySelector("#own-table .pictures");
  if (!rod) return null;
  rod.scrollIntoView({ block: "center" });
  const box = rod.getBoundingClientRect();
  const frame = () => new Promise((done) => requestAnimationFrame(done));
  const at = (share, type) => new PointerEvent(type, { pointerId: 1, isPrimary: true, button: 0, buttons: 1, bubbles: true, clientX: box.left + 14 + (box.width - 28) * share, clientY: box.top + 60 });
  rod.setPointerCapture = () => {};
  rod.dispatchEvent(at(0.5, "pointerdown"));
  const times = [];
  let late = 0;
  for (let step = 1; step <= steps; step += 1) {
    await frame();
    const before = performance.now();
    const changed = new Promise((done) => {
      const look = new MutationObserver(() => (look.disconnect(), done(true)));
      look.observe(pictures, { childList: true, subtree: true });
      setTimeout(() => (look.disconnect(), done(false)), 1000);
    });
    const share = 0.5 + 0.45 * Math.sin((step / steps) * 2 * Math.PI);
    rod.dispatchEvent(at(share, "pointermove"));
    if (!(await changed)) { late += 1; continue; }
    // To the end of the render callback that has the new drawing: what was put in is laid out in it.
    pictures.getBoundingClientRect();
    const lasted = performance.now() - before;
    times.push(lasted);
    if (lasted > 1000 / 60) late += 1;
  }
  rod.dispatchEvent(new PointerEvent("pointercancel", { pointerId: 1, bubbles: true }));
  return { times, late };
}

const browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-dev-shm-usage", "--disable-background-networking"] });
const server = await serve({ wasm: WASM });
try {
  for (const { name, title } of builds()) {
    const context = await browser.newContext({ viewport: { width: 1366, height: 768 }, reducedMotion: "reduce", locale: "en-GB", serviceWorkers: "block" });
    const page = await context.newPage();
    const begun = Date.now();
    await page.goto(server.url);
    await page.waitForSelector("#start .pictures svg");
    const first = Date.now() - begun;
    await page.getByRole("button", { name: `Mine is different: ${title}` }).click();
    await page.waitForFunction(() => document.querySelector("#head .proven") && document.querySelector("#head").getAttribute("aria-busy") === "false", null, { timeout: 120_000 });
    await page.waitForTimeout(500);
    const measured = await page.evaluate(drawn, STEPS);
    const { times = [], late = 0 } = measured ?? {};
    console.log(JSON.stringify({ build: name, steps: STEPS, median_ms: round(share(times, 0.5)), p95_ms: round(share(times, 0.95)), most_ms: round(Math.max(...times)), late_frames: late, frame_ms: round(FRAME), first_drawing_ms: first }));
    await context.close();
  }
} finally {
  await browser.close();
  await server.close();
}
