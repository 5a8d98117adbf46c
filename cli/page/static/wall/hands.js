/** What can be taken hold of on the wall: blocks, the sets in them or single squares; each a place for hands, keys and words. */

import { el } from "../frame/dom.js";
import { middleOf } from "./layers.js";
import { blockAt, centreOf, inQuilt, reach } from "./quilt.js";

/** Pixels of the layer of hands to an inch, before it is zoomed. */
export const FINER = 10;

/**
 * @typedef {object} Hand
 * @property {any} block @property {string} place
 * @property {number} [square] one of the squares that are meant; none for the whole block
 * @property {Set<number>|null} squares all of them; null for the whole block
 * @property {HTMLElement} node
 */

/**
 * @param {any} geometry @param {"blocks"|"sets"|"squares"} mode
 * @param {(place: string, group: any|null) => string} words
 * @returns {Hand[]}
 */
export function handsOf(geometry, mode, words) {
  const hands = geometry.blocks.flatMap((block) => {
    if (mode === "blocks") return [{ block, group: null }];
    if (mode === "sets") return block.groups.map((group) => ({ block, group }));
    return block.groups.flatMap(({ squares }) => squares.map((id) => ({ block, group: { number: 0, squares: [id] } })));
  });
  return hands.map(({ block, group }, n) => ({
    block, place: block.place, square: group?.squares[0], squares: group ? new Set(group.squares) : null,
    node: nodeOf(geometry, block, group, n, words(block.place, group)),
  }));
}

/** What lies at a point of the quilt. @param {any} geometry @param {Hand[]} hands @returns {Hand|null} */
export function handAt(geometry, hands, x, y) {
  const found = blockAt(geometry, x, y);
  if (!found) return null;
  const own = hands.filter(({ block }) => block === found.block);
  const id = found.block.f[found.face];
  return own.find(({ squares }) => !squares || squares.has(id)) ?? (own.length === 1 ? own[0] : null);
}

function nodeOf(geometry, block, group, n, text) {
  const squares = group && new Set(group.squares);
  const faces = geometry.kinds[block.kind].filter((_, k) => squares?.has(block.f[k]));
  const side = (group ? 0.6 * Math.sqrt(faces.reduce((sum, face) => sum + centreOf(face)[2], 0)) : reach(geometry, block) * Math.SQRT2) * FINER;
  const [x, y] = inQuilt(block, ...(group ? middleOf(geometry, block, squares) : [0, 0])).map((one) => one * FINER);
  return el("button.block", {
    type: "button", data: { square: n, place: block.place, key: `block-${block.place}${group ? ` ${group.squares[0]}` : ""}` },
    "aria-pressed": "false", "aria-label": text, "aria-describedby": "carry-hint",
    style: { left: `${x - side / 2}px`, top: `${y - side / 2}px`, width: `${side}px`, height: `${side}px`, rotate: block.t % 90 ? "45deg" : "" },
  });
}
