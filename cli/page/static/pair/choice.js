/** Which squares are chosen, and the one at hand. */

/** @param {(why: string) => void} changed called after each change */
export function choice(changed) {
  const chosen = new Set();
  let anchor = 0;
  let hand = 0;

  const now = (ids, at) => {
    const before = [...chosen].join();
    chosen.clear();
    for (const id of ids) chosen.add(id);
    hand = at;
    changed(before === [...chosen].join() ? "hand" : "chosen");
  };
  return {
    has: (id) => chosen.has(id),
    /** The chosen ones, in the order in which they were. */
    get ids() { return [...chosen]; },
    get hand() { return hand; },
    get many() { return chosen.size > 1; },
    /** Bring one to hand without choosing it. */
    hold: (id) => {
      if (id === hand) return;
      hand = id;
      changed("hand");
    },
    only: (id) => {
      anchor = id;
      now(id ? [id] : [], id);
    },
    toggle: (id) => {
      anchor = id;
      now(chosen.has(id) ? [...chosen].filter((one) => one !== id) : [...chosen, id], id);
    },
    /** From the one chosen last to this one, as they lie; `order` holds all that lie there. */
    upTo: (id, order) => {
      const [from, to] = [order.indexOf(anchor || hand || id), order.indexOf(id)];
      if (from < 0 || to < 0) return;
      now(order.slice(Math.min(from, to), Math.max(from, to) + 1), id);
    },
    all: (ids) => now(ids, hand),
    none: () => now([], hand),
    /** Forget those that are not there any more. */
    keep: (there) => {
      const gone = [...chosen].filter((id) => !there(id));
      for (const id of gone) chosen.delete(id);
      if (hand && !there(hand)) hand = 0;
    },
  };
}
