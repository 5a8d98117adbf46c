/** Ticks of what is sewn: shown at once, kept by the server, gone again where it can't keep them. */

import { act, tell } from "../frame/store.js";
import { standing } from "../plan/wish.js";

/**
 * @param {{geometry: () => any}} room in which the quilt hangs
 * @returns {{tick: (block: any) => Promise<void>, put: () => void}}
 */
export function ticking(room) {
  /** By place, what was ticked and has no answer yet. */
  const waiting = new Map();
  const each = (does) => {
    for (const hangs of [standing.plan?.wall, room.geometry()]) hangs?.blocks.forEach(does);
  };
  const set = (place, done) => {
    each((block) => { if (block.place === place) block.done = done; });
    tell("plan");
  };
  const tick = async (block) => {
    if (!block?.squares.length) return;
    const { place, squares } = block;
    const on = !block.done;
    waiting.set(place, on);
    const ended = act([{ kind: "hang", wall: standing.plan.wall.key, done: place, on, squares }], `${place}: ${on ? "sewn" : "not sewn after all"}.`);
    set(place, on);
    const done = await ended;
    if (waiting.get(place) === on) waiting.delete(place);
    if (!done) set(place, !on);
  };
  /** Put what waits onto what the server told meanwhile. */
  const put = () => each((block) => { if (waiting.has(block.place)) block.done = waiting.get(block.place); });
  return { tick, put };
}
