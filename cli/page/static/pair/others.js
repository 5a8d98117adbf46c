/** Other partners for a set's squares. */

import { el, fill, palette } from "../frame/dom.js";
import { get } from "../frame/api.js";
import { called, complain, crop, square, state, told } from "../frame/store.js";

/** What was found last, so that a card that is drawn anew shows it at once. */
const known = { key: "", found: [] };

/**
 * Show them in a room; choosing one changes places with it.
 * @param {HTMLElement} room @param {any} set @param {(from: number, to: number) => any} change
 */
export async function others(room, set, change) {
  const address = `/api/bundle/${state.view.id}/others?set=${set.squares.join(",")}`;
  const key = `${address} ${state.view.version}`;
  if (known.key !== key) {
    fill(room, el("p.waiting", { text: "Looking …" }));
    try {
      Object.assign(known, { found: await get(address), key });
    } catch (error) {
      fill(room);
      complain(error);
      return;
    }
  }
  fill(room, known.found.map((one) => partners(one, set, change)));
}

function partners(one, set, change) {
  const [leaves] = set.squares.filter((id) => id !== one.for);
  const words = `To go with ${called(one.for)}, in place of ${called(leaves)}`;
  return el("section", { "aria-label": words }, el("h4", { text: words }),
    one.others.length ? el("ul.choices", {}, ...one.others.map((other) => choice(other, leaves, change)))
      : el("p.none", { text: "There are no others." }));
}

function choice(other, leaves, change) {
  const where = other.in_set ? `now in set ${other.in_set}` : "in no set";
  const near = `${other.words} (${other.difference.toFixed(1)}), ${where}`;
  return el("li", {}, el("button.choice", {
    type: "button", data: { key: `other-${leaves}-${other.square}` }, click: () => change(leaves, other.square),
    "aria-label": `${told(other.square)}, ${near}`,
  }, el("img.crop", { src: crop(other.square), alt: "", width: 64, height: 64, loading: "lazy" }),
  el("span", { text: called(other.square) }), el("span.hint", { text: near }), palette(square(other.square), true)));
}
