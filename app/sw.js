// Keeps all files of one version at the first visit and answers from them: the app works without a network.
// `files.json` names the version and the files. A newer version is fetched whole in the background and used from the next opening on.
"use strict";

const keeper = /** @type {any} */ (globalThis);
const PREFIX = "scantling ";

/** Fetches the list past every cache. @returns {Promise<{ version: string, files: string[] }>} */
async function listed() {
  const answer = await fetch("files.json", { cache: "no-store" });
  if (!answer.ok) throw new Error(`files.json: ${answer.status}`);
  return answer.json();
}

/** Fetches all files of the newest version, unless they are kept already. */
async function keep() {
  const { version, files } = await listed();
  const name = PREFIX + version;
  if (await caches.has(name)) return;
  const cache = await caches.open(`${name} begun`);
  await cache.addAll(["./", ...files].map((file) => new Request(file, { cache: "reload" })));
  // Only a whole version is ever answered from.
  const whole = await caches.open(name);
  for (const request of await cache.keys()) await whole.put(request, /** @type {Response} */ (await cache.match(request)));
  await caches.delete(`${name} begun`);
}

/** The names of the whole versions, the newest last. */
const versions = async () => (await caches.keys()).filter((name) => name.startsWith(PREFIX) && !name.endsWith(" begun"));

/** Puts all versions but the newest away. */
async function tidy() {
  const old = (await versions()).slice(0, -1);
  await Promise.all(old.map((name) => caches.delete(name)));
}

/** @param {Request} request */
async function answer(request) {
  if (request.mode === "navigate") await tidy();
  const newest = (await versions()).at(-1);
  const kept = newest && (await (await caches.open(newest)).match(request, { ignoreSearch: true }));
  return kept ?? fetch(request);
}

keeper.addEventListener("install", (/** @type {any} */ event) => event.waitUntil(keep().then(() => keeper.skipWaiting())));
keeper.addEventListener("activate", (/** @type {any} */ event) => event.waitUntil(keeper.clients.claim()));
keeper.addEventListener("fetch", (/** @type {any} */ event) => {
  const { request } = event;
  if (request.method !== "GET" || new URL(request.url).origin !== location.origin || request.url.endsWith("files.json")) return;
  event.respondWith(answer(request));
  if (request.mode === "navigate") event.waitUntil(keep().catch(() => {}));
});
