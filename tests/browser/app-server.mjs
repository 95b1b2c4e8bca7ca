// A small static server for the app: the folder as it is, the builds as examples, the core from outside, and the list of all files for
// the keeper that keeps them. What is served instead of a file can be given, by its path.
import { createHash } from "node:crypto";
import { readFileSync, readdirSync } from "node:fs";
import { createServer } from "node:http";
import { extname, join, normalize } from "node:path";

const root = new URL("../../", import.meta.url).pathname;
const TYPES = { ".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".json": "application/json", ".svg": "image/svg+xml", ".wasm": "application/wasm", ".ttf": "font/ttf", ".toml": "text/plain", ".webmanifest": "application/manifest+json" };

/** The builds as `examples/list.json` has to name them. */
export function builds() {
  const folder = join(root, "builds");
  const names = readdirSync(folder, { withFileTypes: true }).filter((entry) => entry.isDirectory()).map((entry) => entry.name).sort();
  return names.map((name) => {
    const plan = `${name}.plan.toml`;
    const title = /^title = "(.*)"$/m.exec(readFileSync(join(folder, name, plan), "utf8"))[1];
    return { name, title, plan, files: readdirSync(join(folder, name)).filter((file) => file.endsWith(".toml")).sort() };
  });
}

/** All files of the app by their paths. @param {string | undefined} wasm where the core is */
export function files(wasm) {
  const app = join(root, "app");
  const own = readdirSync(app, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
  const all = Object.fromEntries(own.map((path) => [path.slice(app.length + 1), readFileSync(path)]));
  for (const { name, files } of builds()) for (const file of files) all[`examples/${name}/${file}`] = readFileSync(join(root, "builds", name, file));
  if (wasm) all["scantling.wasm"] = readFileSync(wasm);
  const hash = createHash("sha256");
  for (const path of Object.keys(all).sort()) hash.update(path).update(all[path]);
  all["files.json"] = Buffer.from(JSON.stringify({ version: hash.digest("hex").slice(0, 16), files: Object.keys(all).sort() }));
  return all;
}

/**
 * Serves the app on a free port.
 * @param {{ wasm?: string, instead?: Record<string, string | Buffer> }} [with_]
 */
export async function serve({ wasm, instead = {} } = {}) {
  const all = { ...files(wasm), ...instead };
  const server = createServer((request, response) => {
    const path = normalize(decodeURIComponent(new URL(request.url, "http://x").pathname)).slice(1) || "index.html";
    const found = all[path];
    if (found === undefined) return void response.writeHead(404).end();
    response.writeHead(200, { "content-type": TYPES[extname(path)] ?? "application/octet-stream", "cache-control": "no-store" }).end(found);
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  const close = () => (server.closeAllConnections(), new Promise((resolve) => server.close(resolve)));
  return { url: `http://127.0.0.1:${server.address().port}/`, close };
}
