/** Sets put aside for a project. */

import { button, el, field, fill } from "../frame/dom.js";
import { thumb } from "../pair/tile.js";
import { act, called, limits, state } from "../frame/store.js";

/** @returns {{box: HTMLElement, draw: (plan: any) => void}} */
export function reserving() {
  const list = el("ul.pick-sets", { "aria-label": "Sets to put aside" });
  const name = el("input", { ...limits("reserve", "project"), required: true, list: "project-names", autocomplete: "off" });
  const names = el("datalist", { id: "project-names" });
  const keep = button("Put aside", put, { class: "primary", disabled: true });
  const all = button("Choose all", () => {
    const boxes = [...list.querySelectorAll("input")];
    const some = boxes.some((one) => !one.checked);
    for (const one of boxes) one.checked = some;
    count();
  });
  const chosen = new Set();
  let plan = null;
  const box = el("section.card", { "aria-labelledby": "reserve" }, el("h2", { id: "reserve", text: "Put sets aside for a project" }),
    el("p.hint", { text: "What is put aside serves nothing else until you give it back." }),
    list, names, el("form.row", { submit: (event) => { event.preventDefault(); put(); } }, field("Project", name), all, keep));
  list.addEventListener("change", count);
  name.addEventListener("input", count);

  function sets() {
    return [...list.querySelectorAll("input:checked")].map((one) => one.value.split(" ").map(Number));
  }
  function count() {
    chosen.clear();
    for (const one of sets()) chosen.add(one.join(" "));
    keep.textContent = chosen.size ? `Put ${chosen.size} set${chosen.size === 1 ? "" : "s"} aside` : "Put aside";
    keep.disabled = !chosen.size || !name.value.trim();
    all.textContent = chosen.size && chosen.size === list.children.length ? "Choose none" : "Choose all";
  }
  async function put() {
    if (keep.disabled) return;
    const project = name.value.trim();
    const many = sets();
    const pattern = plan.rows && plan.wall ? plan.title : "";
    if (await act([{ kind: "reserve", project, sets: many, pattern }], `${many.length} sets are put aside for ${project}.`)) chosen.clear();
  }
  function draw(found) {
    plan = found;
    box.hidden = !found?.sets.length;
    if (!found) return;
    fill(names, state.view.projects.map((one) => el("option", { value: one.name })));
    fill(list, found.sets.map((one) => row(one, chosen)));
    count();
  }
  return { box, draw };
}

function row(one, chosen) {
  const value = one.squares.join(" ");
  const key = `aside-${value}`;
  return el("li", {}, el("label", {},
    el("input", { type: "checkbox", value, checked: chosen.has(value), data: { key } }),
    ...one.squares.slice(0, 4).map((id) => thumb(id, 35)),
    el("span", {}, `Set ${one.number}`, el("small", { text: one.squares.map(called).join(", ") + (one.counts ? "" : " – not counted: too far apart") }))));
}
