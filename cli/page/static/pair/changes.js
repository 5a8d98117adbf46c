/** What there is on the board, and what the last change made of it, with the way back. */

import { button, el, fill } from "../frame/dom.js";
import { back, loadSets, state, stopSets } from "../frame/store.js";

/** @param {{find: (numbers: number[]) => void, all: () => void}} given */
export function changes({ find, all }) {
  const box = el("div.changes", { role: "status" });
  let words = "";
  let some = false;
  let found = 0;
  let changed = new Set();

  const draw = () => {
    const fresh = [...changed];
    fill(box, state.sets?.changed?.words && !some ? null : el("span.counted", { text: words }), some && found ? button("Choose all", all, { class: "plain", data: { key: "choose-all" } }) : null,
      state.sets?.changed?.words ? el("span.changed-words", { text: state.sets.changed.words }) : null,
      fresh.length ? button("Show", () => find(fresh), { class: "plain", data: { key: "changes-show" } }) : null,
      state.sets?.changed?.words && state.view.undo ? button("Take it back", () => back("undo"), { class: "plain", data: { key: "changes-back" } }) : null);
  };
  return {
    box,
    waiting: () => fill(box, el("span", { text: "Choosing the sets …" })),
    /** It takes long. @param {string} what is being done */
    working: (what) => fill(box, el("span", { text: what && what !== "choosing the sets" ? `Choosing the sets: ${what} …` : "Choosing the sets …" }),
      button("Stop", stopSets, { class: "plain", data: { key: "sets-stop" } })),
    stopped: () => fill(box, el("span", { text: "Stopped: the sets are not chosen." }),
      button("Choose them", loadSets, { class: "plain", data: { key: "sets-stop" } })),
    /** The numbers of sets that are new since the change before. */
    take: (told) => {
      changed = new Set(told.changed?.new ?? []);
      return changed;
    },
    count: (shown, active) => {
      const { squares } = state.view;
      some = active;
      found = shown;
      words = some ? `${shown} of ${squares.length} squares` : state.sets.summary[0] ?? "";
      draw();
    },
  };
}
