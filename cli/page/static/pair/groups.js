/** What lies where on the board: sets by family and value, then what is in no set, by the reason. */

import { square, state } from "../frame/store.js";

/**
 * @typedef {object} Item squares that touch
 * @property {number[]} squares @property {any} [set] the set that they are; none where they are none
 * @typedef {object} Group @property {string} name @property {Item[]} items @property {number} count of squares
 */

/** @param {any} found the sets as told @param {(id: number) => boolean} shown @returns {Group[]} */
export function groupsOf(found, shown) {
  const kept = ({ squares }) => squares.some(shown);
  const groups = [...families(found.sets), ...left(found)];
  return groups.map(({ name, items }) => ({ name, items: items.filter(kept) })).filter(({ items }) => items.length)
    .map((one) => ({ ...one, count: one.items.reduce((sum, { squares }) => sum + squares.length, 0) }));
}

function families(sets) {
  const places = new Map(state.view.families.map(({ name }, place) => [name, place]));
  const named = new Map();
  for (const one of sets) {
    const [first] = one.family.split("/").map((word) => word.trim());
    const name = places.has(first) ? first : one.family;
    named.set(name, [...(named.get(name) ?? []), { squares: one.squares, set: one, light: lightness(one.squares) }]);
  }
  const place = ([name]) => places.get(name) ?? places.size;
  return [...named].sort((a, b) => place(a) - place(b))
    .map(([name, items]) => ({ name, items: items.sort((a, b) => a.light - b.light || a.set.number - b.set.number) }));
}

/** Squares in no set, and those that no set may use. */
function left(found) {
  const inSets = new Set(found.sets.flatMap(({ squares }) => squares));
  const why = new Map(found.unused.map(({ square: id, why: reason }) => [id, reason]));
  const named = new Map();
  const put = (reason, squares) => named.set(reason, [...(named.get(reason) ?? []), { squares }]);
  const together = new Set();
  for (const { sets } of state.view.projects) {
    for (const { squares } of sets) {
      const mine = squares.filter((id) => square(id)?.project && !inSets.has(id));
      if (!mine.length) continue;
      put(square(mine[0]).state, mine);
      mine.forEach((id) => together.add(id));
    }
  }
  for (const one of [...state.view.squares].sort((a, b) => lightOf(a) - lightOf(b))) {
    if (!inSets.has(one.id) && !together.has(one.id)) put(why.get(one.id) ?? one.state, [one.id]);
  }
  return [...named].map(([reason, items]) => ({ name: `In no set: ${reason || "left over"}`, items }));
}

function lightness(squares) {
  return squares.reduce((sum, id) => sum + lightOf(square(id)), 0) / squares.length;
}

function lightOf(one) {
  return one?.lab?.[0] ?? 0;
}
