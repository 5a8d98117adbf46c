/** Moving what hangs: told by the server before it is put down, done as it said, and taken back by one press. */

import { post } from "../frame/api.js";
import { button, el, fill } from "../frame/dom.js";
import { act, back, say, state } from "../frame/store.js";
import { body } from "../plan/wish.js";

/** What can be moved, as it is asked for. */
export const MODES = [["blocks", "Blocks"], ["sets", "Sets"], ["squares", "Squares"]];

/**
 * @param {any} room @param {(n: number) => any} handOf what is moved, by its number
 */
export function moving(room, handOf) {
  const told = el("div.wall-told", { role: "status" });
  let asked = "";
  let asking = null;
  let answer = null;
  let meant = [];

  const show = (lines, ...more) => fill(told, el("p", { text: lines.join(" ") }), ...more);
  const forget = () => {
    asked = "";
    asking?.abort();
    answer = null;
    room.tell([], []);
  };
  /** Ask what a move would do. */
  const ask = (move) => {
    const key = JSON.stringify(move);
    if (key === asked) return answer;
    asking?.abort();
    asking = new AbortController();
    asked = key;
    const { view } = state;
    answer = post(`/api/bundle/${view.id}/wall-trial`, { ...body(), move }, { signal: asking.signal }).then((found) => {
      if (asked === key) {
        room.tell(found.beside, found.blocks);
        show(found.lines.length ? found.lines : ["Neighbours differ as much as before."]);
      }
      return found;
    }, (error) => {
      if (error.name === "AbortError") return null;
      if (asked === key) {
        room.tell([], []);
        show([error.message]);
      }
      return null;
    });
    return answer;
  };
  const moveOf = (mode, from, to) => {
    const [one, other] = [handOf(from), handOf(to)];
    return { what: mode, from: one.place, to: other.place, square: one.square, other: other.square };
  };
  const make = async (move) => {
    const found = await ask(move);
    if (!found) {
      say(told.textContent);
      return;
    }
    // What was tried stays in sight until the server has done it.
    room.tell([], found.blocks);
    asked = "";
    meant = found.changed;
    if (await act(found.deeds, found.said)) return;
    meant = [];
    forget();
  };
  return {
    told,
    aim: (mode, from, to) => {
      if (to === null) {
        forget();
        fill(told);
      } else ask(moveOf(mode, from, to));
    },
    drop: (mode, from, to) => make(moveOf(mode, from, to)),
    turn: (place) => make({ what: "turn", from: place }),
    /** Say where other things hang than before, and offer to take it back. @param {string[]} places */
    changed: (places) => {
      if (!places.length) return;
      const elsewhere = places.filter((place) => !meant.includes(place));
      const words = !meant.length ? `Something else hangs at ${few(places)} now.`
        : elsewhere.length ? `${few(meant)} moved; something else hangs at ${few(elsewhere)} too.`
          : `${few(places)} moved; elsewhere all hangs as it did.`;
      meant = [];
      const { undo } = state.view;
      show([words], undo ? button("Take it back", () => back("undo"), { class: "plain", title: undo, data: { key: "take-back" } }) : null);
    },
  };
}

function few(places) {
  return places.length > 8 ? `${places.slice(0, 7).join(", ")} and ${places.length - 7} more places` : places.join(", ");
}
