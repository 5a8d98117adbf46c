/** What is put aside already, how far it is sewn, and how to give it back. */

import { button, el, fill } from "../frame/dom.js";
import { act, called, state } from "../frame/store.js";

/** @returns {{box: HTMLElement, draw: () => void}} */
export function projects() {
  const list = el("div");
  const box = el("section", { "aria-labelledby": "projects" }, el("h2", { id: "projects", text: "Projects" }), list);
  const opened = new Set();
  const draw = () => {
    const { projects: known } = state.view;
    box.hidden = !known.length;
    fill(list, known.map((one) => project(one, opened)));
  };
  draw();
  return { box, draw };
}

function project(one, opened) {
  const sewn = one.sets.filter((each) => each.stage === "sewn").length;
  const words = `${one.name}: ${one.sets.length} set${one.sets.length === 1 ? "" : "s"}, ${sewn} sewn`;
  return el("details.card", {
    open: opened.has(one.name),
    toggle: (event) => { if (event.target.open) opened.add(one.name); else opened.delete(one.name); },
  }, el("summary", { text: words, data: { key: `project ${one.name}` } }),
  one.pattern ? el("p.hint", { text: one.pattern }) : null,
  el("ul.plain-list", {}, ...one.sets.map((each) => part(one.name, each))),
  button("Give all of it back", () => act([{ kind: "returned", project: one.name, squares: one.sets.flatMap((each) => each.squares) }],
    `${one.name} is given back.`)));
}

function part(name, each) {
  const { squares } = each;
  const sewn = each.stage === "sewn";
  const words = squares.map(called).join(", ");
  const key = `${name} ${squares.join(" ")}`;
  return el("li.row", {}, el("span.check", {},
    el("input", { type: "checkbox", id: `sewn ${key}`, checked: sewn, data: { key: `sewn ${key}` },
      change: () => act([{ kind: "stage", project: name, squares, stage: sewn ? "reserved" : "sewn" }],
        `${words}: ${sewn ? "not sewn after all" : "sewn"}.`) }),
    el("label", { for: `sewn ${key}`, text: `${words} sewn` })),
  button("Give back", () => act([{ kind: "returned", project: name, squares }], `${words}: given back.`), { "aria-label": `Give ${words} back` }));
}
