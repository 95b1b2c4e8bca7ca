/** The app begins here: it finds the home, sets up the places, and opens the plan that was used last. */
import { desk, on, open, settleIn } from "./desk.js";
import { notice, the } from "./dom.js";
import { openHanded } from "./handing.js";
import { offline } from "./offline.js";
import { places } from "./places.js";
import { progress } from "./progress.js";
import { saw } from "./saw.js";
import { start } from "./start.js";
import { table } from "./table.js";
import { top } from "./top.js";
import { walk } from "./walk.js";
import { why } from "./why.js";
import { yard } from "./yard.js";
import { gate } from "./gate.js";

await settleIn();
for (const set of [top, progress, walk, places, start, table, yard, saw, gate, why]) set();
on("plan", () => document.body.classList.toggle("planned", desk.plan !== null));
const handed = await openHanded().catch((error) => void notice(error.message));
const first = handed ?? (await desk.home.first());
const there = location.hash.slice(1);
if (first && first !== desk.plan?.id) await open(first);
if (there && document.getElementById(there)?.classList.contains("place")) the(there).scrollIntoView();
document.body.dataset.ready = "true";
offline(desk.home.kind);
