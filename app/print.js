/** Printing one part of the page alone. */

/** @param {"yard-sheet" | "cards" | "labels"} what */
export function print(what) {
  document.body.dataset.print = what;
  const opened = [...document.querySelectorAll("#labels details:not([open])")];
  for (const box of opened) /** @type {HTMLDetailsElement} */ (box).open = true;
  addEventListener("afterprint", () => {
    delete document.body.dataset.print;
    for (const box of opened) /** @type {HTMLDetailsElement} */ (box).open = false;
  }, { once: true });
  globalThis.print();
}
