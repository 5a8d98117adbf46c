/** Two squares that change places: what is to be done for it, and what it would change. */

import { post } from "../frame/api.js";
import { called, square, state } from "../frame/store.js";

/**
 * What is to be done that two squares change places: both in sets, or one of them in none.
 * @param {number} a @param {number} b @param {(id: number) => any} setOf
 * @returns {{deeds?: object[], said?: string, refused?: string}}
 */
export function exchange(a, b, setOf) {
  const [one, two] = [setOf(a), setOf(b)];
  const taken = [[a, one], [b, two]].find(([id, set]) => !set && square(id).state);
  if (taken) return { refused: `${called(taken[0])} is ${square(taken[0]).state}.` };
  if (one && two && one.number === two.number) return { refused: "They are in one set already." };
  if (one && two) {
    return { deeds: [{ kind: "swap", first: one.squares, second: two.squares, a, b }], said: `${called(a)} and ${called(b)} changed places.` };
  }
  if (one || two) {
    const [set, out, put] = one ? [one, a, b] : [two, b, a];
    return { deeds: [{ kind: "lock", sets: [set.squares.map((id) => (id === out ? put : id))] }], said: `${called(put)} took the place of ${called(out)}.` };
  }
  if (state.view.rules.set_size !== 2) {
    return { refused: "Sets of more than two squares begin with a set: put a square in place of one of its own." };
  }
  return { deeds: [{ kind: "lock", sets: [[a, b]] }], said: `${called(a)} and ${called(b)} are a set.` };
}

let asking = null;

/** Ask what deeds would change; one that is asked later ends it. @param {object[]} deeds @returns {Promise<any>} */
export async function foreseen(deeds) {
  asking?.abort();
  asking = new AbortController();
  const { view } = state;
  return post(`/api/bundle/${view.id}/preview`, { version: view.version, deeds }, { signal: asking.signal });
}

/** What is asked matters no more. */
export function forget() {
  asking?.abort();
}
