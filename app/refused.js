/** A plan that cannot be: what collides, where it stands, and the ways out. */
import { desk, edit, on } from "./desk.js";
import { button, h, renew } from "./dom.js";

export function refused() {
  const home = h("section", { id: "refused", "aria-labelledby": "h-refused", hidden: true });
  on("plan", () => (home.hidden = home.hidden || !desk.refused));
  on("answer", () => {
    const { refused, plan } = desk;
    home.hidden = !refused;
    if (!refused) return renew(home);
    const problems = (refused.problems ?? []).map((problem) =>
      h("li", {}, h("strong", {}, problem.message), problem.hint && ` ${problem.hint}`, problem.file && [" ", where(problem)]));
    const out = (refused.ways_out ?? []).map((way, at) => h("li", {}, button(way.words, () => edit(way.edits, way.words), { class: "way", "data-key": `out-${at}` })));
    renew(home,
      h("h2", { id: "h-refused" }, "It does not come out"),
      problems.length ? h("ul", {}, problems) : h("pre", {}, refused.text),
      out.length > 0 && [h("p", {}, "Any of these frees it:"), h("ol", { class: "ways" }, out)],
      problems.length > 0 && h("details", {}, h("summary", {}, "As the command would say it"), h("pre", { tabindex: 0 }, refused.text)),
      plan && plan.done.length > 0 && h("p", { class: "what" }, "Undo brings back what was before."));
  });
  return home;
}

/** A link to the line of the plan's text, or the words for a line elsewhere. @param {import("./core.js").Problem} problem */
function where(problem) {
  const words = problem.line ? `${problem.file}, line ${problem.line}` : problem.file ?? "";
  return button(words, () => dispatchEvent(new CustomEvent("line", { detail: problem })), { class: "where" });
}
