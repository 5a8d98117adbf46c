/** What was done to a kept pattern, and the way back. */

import { button, el, fill } from "../frame/dom.js";
import * as api from "../frame/api.js";
import { complain } from "../frame/store.js";
import { draft } from "./draft.js";

/** @param {HTMLDialogElement} dialog @param {() => void} again opens the pattern as it then is */
export async function showPast(dialog, again) {
  const close = button("Close", () => dialog.close());
  const draw = (kept) => {
    const step = (what, words) => button(words, async () => {
      try {
        draw(await api.post(`/api/patterns/${kept.id}/${what}`, { version: kept.version }));
        dialog.addEventListener("close", again, { once: true });
      } catch (error) {
        complain(error);
      }
    }, { disabled: !kept[what] });
    fill(dialog, el("div.dialog-head", {}, el("h2", { id: "past-title", text: `What was done to ${kept.name}` }), close),
      el("ol", {}, ...kept.history.map((one) => el("li", { text: one.undone ? `${one.says} (taken back)` : one.says }))),
      el("div.row", {}, step("undo", "Undo the last"), step("redo", "Redo")));
  };
  try {
    draw(await api.get(`/api/patterns/${draft.id}`));
    dialog.showModal();
  } catch (error) {
    complain(error);
  }
}
