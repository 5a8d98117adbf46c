/** Other partners for a set's squares, with what is to be heeded. */

import { el, fill, palette } from "../frame/dom.js";
import { get } from "../frame/api.js";
import { called, complain, crop, square, state, told } from "../frame/store.js";

/** What was found last, so that it shows at once when it is drawn anew. */
const known = { key: "", found: [] };

/**
 * Show them in a room; choosing one changes places with it.
 * @param {HTMLElement} room @param {any} set
 * @param {{foresee: (from: number, to: number, settled?: boolean) => void, drop: (from: number, to: number) => any}} given
 */
export async function others(room, set, given) {
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
  fill(room, known.found.map((one) => partners(one, set, given)));
}

function partners(one, set, given) {
  const [leaves] = set.squares.filter((id) => id !== one.for);
  const words = `To go with ${called(one.for)}, in place of ${called(leaves)}`;
  return el("section", { "aria-label": words }, el("h4", { text: words }),
    one.others.length ? el("ul.choices", {}, ...one.others.map((other) => choice(other, leaves, given)))
      : el("p.none", { text: "There are no others." }));
}

function choice(other, leaves, { foresee, drop }) {
  const where = other.in_set ? `now in set ${other.in_set}` : "in no set";
  const near = `${other.words} (${other.difference.toFixed(1)}), ${where}`;
  const warned = other.warning ?? "";
  const show = (event) => { if (event.pointerType !== "touch" && event.target.matches(":hover, :focus-visible")) foresee(leaves, other.square); };
  const take = (event) => {
    if (event.pointerType === "touch") {
      foresee(leaves, other.square, true);
      return;
    }
    foresee(0, 0);
    drop(leaves, other.square);
  };
  return el("li", {}, el("button.choice", {
    type: "button", data: { key: `other-${leaves}-${other.square}` }, click: take,
    focus: show, pointerenter: show, blur: () => foresee(0, 0), pointerleave: () => foresee(0, 0),
    "aria-label": `${told(other.square)}, ${near}${warned ? `, ${warned}` : ""}`,
  }, el("img.crop", { src: crop(other.square), alt: "", width: 64, height: 64, loading: "lazy" }),
  el("span", { text: called(other.square) }), el("span.hint", { text: near }),
  warned ? el("span.flag", { text: warned }) : null, palette(square(other.square), true)));
}
