/** Keeps the screen awake while it is wanted, where the browser can. */

/** @type {any} */
let lock = null;
let wanted = false;

/** Whether this browser can. */
export const can = () => "wakeLock" in navigator;

/** @param {boolean} on */
export async function awake(on) {
  wanted = on;
  if (!on) {
    await lock?.release();
    lock = null;
  } else if (can() && !lock) {
    lock = await /** @type {any} */ (navigator).wakeLock.request("screen").catch(() => null);
    lock?.addEventListener("release", () => (lock = null));
  }
}

document.addEventListener("visibilitychange", () => wanted && document.visibilityState === "visible" && awake(true));
