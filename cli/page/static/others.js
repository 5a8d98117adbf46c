/** Other partners for a set's squares. */

import { el, fill } from "./dom.js";
import { get } from "./api.js";
import { called, complain, crop, square, state } from "./store.js";

/**
 * Show them in a room; choosing one changes places with it.
 * @param {HTMLElement} room @param {any} set @param {(from: number, to: number) => any} change
 */
export async function others(room, set, change) {
  fill(room, el("p.waiting", { text: "Looking …" }));
  let found;
  try {
    found = await get(`/api/bundle/${state.view.id}/others?set=${set.squares.join(",")}`);
  } catch (error) {
    complain(error);
    return;
  }
  fill(room, found.map((one) => {
    const leaves = set.squares.filter((id) => id !== one.for);
    return el("section", { "aria-label": `To go with ${called(one.for)}` },
      el("h4", { text: `To go with ${called(one.for)}` }),
      one.others.length ? el("ul.choices", {}, ...one.others.map((other) => choice(other, leaves[0], change))) : el("p.none", { text: "There are no others." }));
  }));
  room.querySelector("button")?.focus();
}

function choice(other, leaves, change) {
  const where = other.in_set ? `now in set ${other.in_set}` : "in no set";
  return el("li", {}, el("button.choice", {
    type: "button", click: () => change(leaves, other.square),
    "aria-label": `${called(other.square)}, ${square(other.square).colour_name}, ${other.words}, ${other.difference.toFixed(1)}, ${where}`,
  }, el("img", { src: crop(other.square), alt: "", width: 64, height: 64, loading: "lazy" }),
  el("span", { text: called(other.square) }), el("span.hint", { text: `${other.words} (${other.difference.toFixed(1)}), ${where}` })));
}
