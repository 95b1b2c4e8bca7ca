/** The app without a network: a keeper of the browser keeps all files. A folder that is served needs none, nor does one file. */
import { whole } from "./parts.js";
import { script } from "./trust.js";

/** @param {"browser" | "folder"} home */
export async function offline(home) {
  if (home === "folder" || whole || !("serviceWorker" in navigator)) return;
  const list = await fetch("files.json", { method: "HEAD" }).catch(() => null);
  // Without the list of files (a bare copy of the folder) there is nothing to keep.
  if (list && !list.ok) return;
  await navigator.serviceWorker.register(script("sw.js")).catch(() => null);
}
