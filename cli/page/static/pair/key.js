/** What the forms on the board mean, and what there is to know of all sets; shown while no square is at hand. */

import { el, fill } from "../frame/dom.js";
import { FORMS } from "./tile.js";
import { state } from "../frame/store.js";

/** @returns {{box: HTMLElement, draw: () => void}} */
export function key() {
  const told = el("div.key-told");
  const box = el("section.key", { "aria-label": "About the board" }, el("h2", { text: "All sets" }), told,
    el("h3", { text: "How to read the board" }),
    el("ul.forms", {}, ...FORMS.map(([form, words]) => el("li", {},
      el("span.tile.sample", { data: { form: form === "doubtful" ? "free" : form }, class: form === "doubtful" ? "tile sample doubtful" : "tile sample" }, el("span.cloth", {}, el("span.sample-cloth"))),
      el("span", { text: words }))),
    el("li", {}, el("span.sample-set.locked"), el("span", { text: "two lines round a set: locked" })),
    el("li", {}, el("span.sample-set.changed"), el("span", { text: "a bar beside a set: new since the last change" })),
    el("li", {}, el("b", { text: "12 ?" }), el("span", { text: "could change: a close call that the photo leaves open" }))),
    el("p.hint", { text: "Rest on a square to see it large. Drag one onto another to let them change places. Draw a frame round several, or press Shift, to choose them." }));
  const draw = () => fill(told, state.sets?.changed?.words ? el("p", {}, el("strong", { text: "Since the last change: " }), state.sets.changed.words) : null,
    (state.sets?.summary ?? []).map((text) => el("p", { text })));
  return { box, draw };
}
