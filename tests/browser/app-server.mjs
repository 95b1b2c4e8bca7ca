// A small static server for the app: the folder that `cargo xtask app` has built, named by `APP`. What is served instead of a file can
// be given, by its path.
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

/** All files of the app by their paths. */
export function files() {
  const app = process.env.APP;
  if (!app) throw new Error("APP names no folder: build it by `cargo xtask app FOLDER`");
  const own = readdirSync(app, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
  return Object.fromEntries(own.map((path) => [path.slice(join(app, "/").length), readFileSync(path)]));
}

/** Serves the app on a free port. @param {{ instead?: Record<string, string | Buffer> }} [with_] */
export async function serve({ instead = {} } = {}) {
  const all = { ...files(), ...instead };
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
