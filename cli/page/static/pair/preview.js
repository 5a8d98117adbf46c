/** What two squares' changing places would do, shown before it is done. */

import { button, debounced, el, fill } from "../frame/dom.js";
import { exchange, foreseen, forget } from "./exchange.js";
import { thumb } from "./tile.js";
import { act, called, say } from "../frame/store.js";

const PAUSE = 70;

/**
 * @param {object} given
 * @param {(id: number) => any} given.setOf
 * @param {(broken: any[]) => void} given.mark show on the board which sets would be no more
 * @returns {{box: HTMLElement, show: Function, settle: Function, drop: Function, shown: () => boolean}}
 */
export function preview(given) {
  const box = el("section.preview", { "aria-live": "polite", "aria-label": "What it would change", hidden: true });
  let shown = "";

  const ask = debounced(async (key, deeds) => {
    if (key !== shown) return;
    try {
      const told = await foreseen(deeds);
      if (key !== shown) return;
      fill(box.querySelector(".foreseen"), foretold(told));
      given.mark(told.breaks);
    } catch (error) {
      if (error.name !== "AbortError" && key === shown) fill(box.querySelector(".foreseen"), el("p.hint", { text: error.message }));
    }
  }, PAUSE);

  /** Show it for one square over another; nothing for 0. `settled` shows buttons that do it or let it be. */
  function show(a, b, settled = false) {
    const key = a && b ? `${a} ${b}` : "";
    if (key === shown && !settled) return;
    shown = key;
    box.hidden = !key;
    forget();
    given.mark([]);
    if (!key) return;
    const { deeds, refused } = exchange(a, b, given.setOf);
    fill(box, el("h2", { text: `${called(a)} and ${called(b)}` }),
      el("div.two", {}, thumb(a, 120), thumb(b, 120)),
      el("div.foreseen", {}, el("p.hint", { text: refused ?? "Looking what it would change …" })),
      settled && deeds ? el("div.row", {},
        button("Change places", () => { show(0, 0); drop(a, b); }, { class: "primary", data: { key: "preview-do" } }),
        button("Leave them", () => show(0, 0))) : null);
    if (deeds) ask(key, deeds);
    if (settled) box.querySelector("button")?.focus({ preventScroll: true });
  }
  /** Do it. */
  function drop(a, b) {
    const { deeds, said, refused } = exchange(a, b, given.setOf);
    if (deeds) return act(deeds, said);
    say(refused);
    return Promise.resolve(false);
  }
  return { box, show, drop, shown: () => Boolean(shown) };
}

/** What would change, in words and as the sets that would come. */
export function foretold(told) {
  return [
    ...told.words.map((text) => el("p", { text, class: told.worse ? "warned" : null })),
    told.new.length ? el("ul.coming", {}, ...told.new.map((set) => el("li", {},
      el("span.thumbs", {}, ...set.squares.map((id) => thumb(id, 40))),
      el("span", {}, el("strong", { text: `Set ${set.number}` }), ` ${set.words} (${set.difference.toFixed(1)})${set.counts ? "" : ", too far apart to count"}`)))) : null,
    told.left_alone.length ? el("p", { text: `In no set then: ${told.left_alone.map(({ square }) => called(square)).join(", ")}.` }) : null,
  ];
}
