/** Start: the sentence with its picture, and the example builds as one strip of drawings. */
import { h } from "./dom.js";
import { strip } from "./examples.js";
import { own } from "./places.js";
import { sentence } from "./sentence.js";

export function start() {
  own("start").append(h("section", { "aria-labelledby": "h-sentence" }, h("h2", { id: "h-sentence" }, "What is it to be?"), sentence()), strip());
}
