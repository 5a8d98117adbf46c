/** Everything that was said of the bundle; each can be taken back. */

import { button, el, fill } from "../frame/dom.js";
import { back, hear, state } from "../frame/store.js";

/** @param {HTMLElement} main */
export function history(main) {
  const list = el("ol.told", { reversed: true, "aria-label": "What you said, the latest first" });
  const none = el("p.none", { text: "Nothing has been changed yet. Whatever you put right stands here and can be taken back." });
  fill(main, el("h2", { text: "What was done" }), none, list);
  const draw = () => {
    const { history: told } = state.view;
    none.hidden = told.length > 0;
    fill(list, told.map(line));
  };
  draw();
  return hear((what) => { if (what === "view" && state.view) draw(); });
}

function line(one) {
  const key = `told-${one.number}`;
  const time = new Date(one.at);
  const at = Number.isNaN(time.getTime()) ? one.at : time.toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
  return el(`li${one.undone ? ".undone" : ""}`, {},
    el("div", {}, el("span.words", { text: one.words }),
      el("time", { datetime: one.at, text: `${at}${one.undone ? " · taken back" : ""}` })),
    button(one.undone ? "Do again" : "Take back", () => back(one.undone ? "redo" : "undo", one.number),
      { data: { key }, "aria-label": `${one.undone ? "Do again" : "Take back"}: ${one.words}` }));
}
