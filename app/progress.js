/** What is reckoned: after half a second a line says so and can end it; what is old stands in grey. */
import { cancel, desk, on } from "./desk.js";
import { button, renew, the } from "./dom.js";

export function progress() {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let soon;
  on("busy", () => {
    for (const element of [the("head"), the("places")]) element.setAttribute("aria-busy", String(desk.busy));
    clearTimeout(soon);
    const line = the("progress");
    line.hidden = true;
    if (desk.busy) soon = setTimeout(() => {
      renew(line, "Reckoning anew; what stands in grey is from before. ", button("Stop", cancel));
      line.hidden = false;
    }, 500);
  });
}
