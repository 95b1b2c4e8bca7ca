/** The text of the plan's files, to be written by hand, with what is wrong at its line. */
import { change, desk, on } from "./desk.js";
import { button, h, renew, the } from "./dom.js";

export function text() {
  const area = h("textarea", { id: "text", spellcheck: false, rows: 24, "aria-describedby": "text-problems", autocapitalize: "off", autocomplete: "off" });
  const pick = h("select", { id: "text-file", onchange: fill });
  const problems = h("ol", { class: "problems", id: "text-problems" });
  const box = h("details", { id: "plan-text" }, h("summary", {}, "The text of the plan, yard and shed"),
    h("p", {}, h("label", { for: "text-file" }, "File "), pick),
    h("label", { for: "text" }, "Text"), area, problems);
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let soon;
  const keep = () => {
    clearTimeout(soon);
    if (desk.plan && pick.value in desk.plan.files) change({ [pick.value]: area.value }, `write ${pick.value}`);
  };
  area.addEventListener("input", () => {
    clearTimeout(soon);
    soon = setTimeout(keep, 700);
  });
  area.addEventListener("change", keep);

  function fill() {
    const now = desk.plan?.files[pick.value] ?? "";
    if (area.value !== now) area.value = now;
    mark();
  }

  on("plan", () => {
    const files = Object.keys(desk.plan?.files ?? {}).filter((name) => name.endsWith(".toml"));
    const had = files.includes(pick.value) ? pick.value : desk.plan?.plan;
    renew(pick, files.map((name) => h("option", { value: name, selected: name === had }, name)));
    fill();
  });
  on("answer", mark);

  function mark() {
    const found = (desk.refused?.problems ?? []).filter((problem) => problem.file === pick.value);
    renew(problems, found.map((problem) => h("li", { value: problem.line }, button(`line ${problem.line}`, () => to(problem), { class: "where" }), " ", problem.message, problem.hint && ` ${problem.hint}`)));
    area.setAttribute("aria-invalid", String(found.length > 0));
  }

  /** @param {import("./core.js").Problem} problem */
  function to({ line = 1, column = 1, length = 0 }) {
    const at = area.value.split("\n").slice(0, line - 1).reduce((sum, text) => sum + text.length + 1, 0) + column - 1;
    area.focus();
    area.setSelectionRange(at, at + length);
    area.scrollTop = Math.max(0, (line - 5) * parseFloat(getComputedStyle(area).lineHeight));
  }

  addEventListener("line", (event) => {
    const problem = /** @type {CustomEvent} */ (event).detail;
    box.open = true;
    if ([...pick.options].some((option) => option.value === problem.file)) pick.value = problem.file;
    fill();
    the("plan-text").scrollIntoView();
    to(problem);
  });
  return box;
}
