/** The front and the view from above, as the core last drew them. */
import { h, renew } from "./dom.js";
import { drawing } from "./trust.js";

/** On a phone drawings stand on narrow paper, so that their figures can be read. */
export const narrow = () => matchMedia("(max-width: 44rem)").matches;

/** @param {HTMLElement} into @param {string} own a name for this place @param {{ front?: string, above?: string } | null | undefined} drawn */
export function pictures(into, own, drawn) {
  /** @param {string | undefined} svg @param {string} which */
  const figure = (svg, which) => svg && h("figure", { class: which }, drawing(svg, `${own}-${which}`));
  renew(into, figure(drawn?.front, "front"), figure(drawn?.above, "above"));
}
