/** A set on a card, and one square with its crop. */

import { button, el } from "./dom.js";
import { called, crop, square } from "./store.js";

/** A square that can be picked up. @param {number} id */
export function piece(id) {
  const one = square(id);
  if (!one) return el("span");
  return el("button.piece", {
    type: "button", data: { square: id, key: `piece-${id}` }, "aria-pressed": "false",
    "aria-label": `${called(id)}, ${one.colour_name}, ${one.value}`, "aria-describedby": "carry-hint",
  }, el("img", { src: crop(id), alt: "", width: 112, height: 112, loading: "lazy", decoding: "async", draggable: "false" }),
  el("span.piece-label", { text: called(id) }), el("span.piece-value", { text: one.value }));
}

/**
 * @param {any} one the set
 * @param {{lock: Function, apart: Function, others: (room: HTMLElement) => Promise<void>, opened: Set<string>}} does
 */
export function setCard(one, does) {
  const name = `set-${one.number}`;
  const squares = one.squares.join(" ");
  const room = el("div.others", { hidden: !does.opened.has(squares) });
  const more = button("Others", () => {
    room.hidden = !room.hidden;
    more.setAttribute("aria-expanded", String(!room.hidden));
    if (room.hidden) does.opened.delete(squares);
    else {
      does.opened.add(squares);
      does.others(room).then(() => room.querySelector("button")?.focus());
    }
  }, { data: { does: "others", key: `others-${name}` }, "aria-expanded": String(!room.hidden), "aria-label": `Show others for set ${one.number}` });
  if (!room.hidden) does.others(room);
  const flags = one.counts === false ? ["too far apart to count", ...one.flags.filter((flag) => flag !== "far apart")] : one.flags;
  return el(`article.set${one.locked ? ".locked" : ""}${one.counts === false ? ".loose" : ""}`, { role: "listitem", "aria-labelledby": name },
    el("h3", { id: name, text: `Set ${one.number}` }),
    el("div.set-squares", {}, ...one.squares.map(piece)),
    el("p.difference", {}, el("strong", { text: one.words }), el("span", { text: ` (${one.difference.toFixed(1)}), ${one.value_step.toFixed(0)} of 100 from dark to light` })),
    el("p.hint", { text: [one.family, one.same_fabric ? "same fabric" : "", one.locked ? "locked" : "", ...flags.filter((flag) => flag !== "locked")].filter(Boolean).join(" · ") }),
    el("div.row", { role: "group", "aria-label": `Set ${one.number}` },
      button(one.locked ? "Unlock" : "Lock", does.lock, { data: { does: "lock", key: `lock-${name}` }, "aria-pressed": String(one.locked) }),
      button("Take apart", does.apart, { data: { does: "apart", key: `apart-${name}` } }), more), room);
}
