/** A set on a card, and one square with its crop. */

import { button, el, palette } from "../frame/dom.js";
import { called, crop, square, told } from "../frame/store.js";

/** A square that can be picked up. @param {number} id */
export function piece(id) {
  const one = square(id);
  if (!one) return el("span");
  return el("button.piece", {
    type: "button", data: { square: id, key: `piece-${id}` }, "aria-pressed": "false",
    "aria-label": told(id), "aria-describedby": "carry-hint",
  }, el("img", { src: crop(id), alt: "", width: 112, height: 112, loading: "lazy", decoding: "async", draggable: "false" }),
  palette(one, true), el("span.piece-label", { text: called(id) }), el("span.piece-value", { text: one.value_words }));
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

/**
 * @param {any} one the set
 * @param {{lock: Function, apart: Function, others: (room: HTMLElement) => Promise<void>, opened: Set<string>}} does
 */
export function setCard(one, does) {
  const name = `set-${one.number}`;
  const loose = one.counts === false;
  const room = el("div.others");
  const step = ` (${one.difference.toFixed(1)}), ${one.value_step.toFixed(0)} of 100 from dark to light`;
  const known = [
    one.family, one.same_fabric ? "same fabric" : one.same_fabric === null ? "perhaps one fabric" : "", one.locked ? "locked" : "", loose ? "too far apart to count" : "",
    ...one.flags.filter((flag) => flag !== "locked" && !(loose && flag === "far apart")),
  ].filter(Boolean);
  const classes = `${one.locked ? ".locked" : ""}${loose ? ".loose" : ""}`;
  return el(`article.set${classes}`, { role: "listitem", "aria-labelledby": name },
    el("h3", { id: name, text: `Set ${one.number}` }),
    el("div.set-squares", {}, ...one.squares.map(piece)),
    el("p.difference", {}, el("strong", { text: one.words }), el("span", { text: step })),
    el("p.hint", { text: known.join(" · ") }),
    el("div.row", { role: "group", "aria-label": `Set ${one.number}` },
      button(one.locked ? "Unlock" : "Lock", does.lock,
        { data: { does: "lock", key: `lock-${name}` }, "aria-pressed": String(one.locked) }),
      button("Take apart", does.apart, { data: { does: "apart", key: `apart-${name}` } }),
      othersButton(one, room, does)),
    room);
}

/** Opens and closes the room for others; it stays open when the card is drawn anew. */
function othersButton(one, room, does) {
  const squares = one.squares.join(" ");
  const shown = does.opened.has(squares);
  room.hidden = !shown;
  if (shown) does.others(room);
  const made = button("Others", () => {
    room.hidden = !room.hidden;
    made.setAttribute("aria-expanded", String(!room.hidden));
    if (room.hidden) {
      does.opened.delete(squares);
      return;
    }
    does.opened.add(squares);
    does.others(room).then(() => room.querySelector("button")?.focus());
  }, {
    data: { does: "others", key: `others-set-${one.number}` }, "aria-expanded": String(shown),
    "aria-label": `Show others for set ${one.number}`,
  });
  return made;
}
