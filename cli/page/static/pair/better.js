/** Sets stay until better ones are asked for: what choosing anew would give is shown first. */

import { el } from "../frame/dom.js";
import { state } from "../frame/store.js";

/**
 * Show what choosing anew would change, of all sets or of those of some squares.
 * @param {{weigh: Function}} ahead @param {number[]} squares none for all
 */
export function chooseAnew(ahead, squares) {
  if (squares.length) {
    ahead.weigh("Choose these sets anew", () => [{ kind: "choose anew", squares }], "Choose anew", "These sets are chosen anew.");
    return;
  }
  const box = el("input", { type: "checkbox", id: "from-one" });
  const deeds = () => [{ kind: "choose anew", ...(box.checked ? { from_one: true } : {}) }];
  ahead.weigh("Choose all sets anew", deeds, "Choose anew", "All sets are chosen anew.",
    el("div.check", {}, box, el("label", { for: "from-one", text: "Number them from 1 again" })));
}

/** Whether sets stay and can be chosen anew. */
export function canChooseAnew() {
  return "choose anew" in state.start.limits;
}
