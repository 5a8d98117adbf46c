/** One square on the board: its cloth, cut to a form that says whether it can be used. */

import { el, palette } from "../frame/dom.js";
import { crop, square, told } from "../frame/store.js";
import { doubtful, standing } from "../photo/marks.js";

/** In what form a square is shown, and what that means, in the order of the key to the board. */
export const FORMS = [
  ["free", "whole: free"], ["reserved", "corner cut off: reserved"], ["used", "half of it: cut or sewn"],
  ["aside", "small, in a frame: not to be used"], ["doubtful", "broken line: look again"],
];

/** What all squares are copied from: a thousand are made in the time in which one looks up. */
const MOULD = el("button.tile", { type: "button", tabindex: -1, "aria-pressed": "false", "aria-describedby": "board-hint" },
  el("span.cloth", {}, el("img", { alt: "", loading: "lazy", decoding: "async", draggable: "false" })), el("span.tile-label"));
/** What of each was shown last. */
const shown = new WeakMap();

/** A square of the board, which can be chosen and picked up, bare yet. @param {number} id */
export function tile(id) {
  const node = MOULD.cloneNode(true);
  node.dataset.square = String(id);
  node.dataset.key = `tile-${id}`;
  return node;
}

/** Show of a square what is known of it now. */
export function dressTile(node) {
  const id = Number(node.dataset.square);
  const one = square(id);
  if (!one || shown.get(node) === one) return;
  shown.set(node, one);
  const [cloth, label] = node.children;
  const address = crop(id);
  const picture = cloth.firstElementChild;
  if (picture.getAttribute("src") !== address) picture.setAttribute("src", address);
  node.dataset.form = standing(one);
  node.classList.toggle("doubtful", doubtful(one));
  node.setAttribute("aria-label", [told(id), one.state, doubtful(one) ? "look again" : ""].filter(Boolean).join(", "));
  if (label.textContent !== one.label) label.textContent = one.label;
}

/**
 * A square as small as a line of words allows.
 * @param {number} id @param {number} size @param {boolean} [alone] whether nothing beside it names it
 */
export function thumb(id, size, alone = false) {
  const one = square(id);
  return el("span.thumb", { title: told(id), ...(alone ? { role: "img", "aria-label": told(id) } : {}) },
    el("img.crop", { src: crop(id), alt: "", width: size, height: size, loading: "lazy", decoding: "async" }),
    one ? palette(one, true) : null);
}
