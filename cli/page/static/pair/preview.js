/** What two squares' changing places would do, shown before it is done. */

import { button, debounced, el, fill } from "../frame/dom.js";
import { exchange, foreseen, forget } from "./exchange.js";
import { thumb } from "./tile.js";
import { act, called, say } from "../frame/store.js";

const PAUSE = 70;
const MOST_SHOWN = 8;

/**
 * @param {object} given
 * @param {(id: number) => any} given.setOf
 * @param {(broken: any[]) => void} given.mark show on the board which sets would be no more
 * @returns {{box: HTMLElement, show: Function, weigh: Function, hinting: Function, drop: Function, hide: Function, shown: () => boolean}}
 */
export function preview(given) {
  const told = el("div.foreseen");
  const box = el("section.preview", { "aria-live": "polite", "aria-label": "What it would change", hidden: true });
  let shown = "";

  const ask = debounced(async (key, deeds) => {
    if (key !== shown) return;
    try {
      const found = await foreseen(deeds);
      if (key !== shown) return;
      fill(told, foretold(found));
      given.mark(found.breaks);
    } catch (error) {
      if (error.name !== "AbortError" && error.status !== 404 && key === shown) fill(told, el("p.hint", { text: error.message }));
    }
  }, PAUSE);

  /** Show nothing any more. */
  function hide() {
    shown = "";
    box.hidden = true;
    forget();
    given.mark([]);
  }
  function open(key, heading, deeds, refused, ...more) {
    shown = key;
    box.classList.remove("beside");
    box.hidden = false;
    forget();
    given.mark([]);
    fill(told, el("p.hint", { text: refused ?? "Looking what it would change …" }));
    fill(box, el("h2", { text: heading }), ...more.slice(0, 1), told, ...more.slice(1));
    if (deeds) ask(key, deeds);
  }
  /** Show it for one square over another; nothing for 0. `settled` shows buttons that do it or let it be; `beside` keeps off the panel. */
  function show(a, b, settled = false, beside = false) {
    const key = a && b ? `${a} ${b}` : "";
    if (key === shown && !settled) return;
    if (!key) {
      hide();
      return;
    }
    const { deeds, refused } = exchange(a, b, given.setOf);
    open(key, `${called(a)} and ${called(b)}`, deeds, refused, el("div.two", {}, thumb(a, 120), thumb(b, 120)),
      settled && deeds ? answers("Change places", () => drop(a, b), "Leave them") : null);
    box.classList.toggle("beside", beside && !settled);
    if (settled) box.querySelector("button")?.focus({ preventScroll: true });
  }
  /** Listeners of a button of the panel, that tell what it would do while it is rested on. @param {string} heading @param {() => object[]} deeds */
  function hinting(heading, deeds) {
    const tell = (event) => {
      if (event.pointerType === "touch" || !event.target.matches(":hover, :focus-visible")) return;
      const now = deeds();
      open(JSON.stringify(now), heading, now, undefined);
      box.classList.add("beside");
    };
    const leave = () => { if (box.classList.contains("beside")) hide(); };
    return { pointerenter: tell, focus: tell, pointerleave: leave, blur: leave };
  }
  /** Show what deeds would do before they are done. @param {string} heading @param {() => object[]} deeds @param {string} words @param {string} said */
  function weigh(heading, deeds, words, said, more = null) {
    const now = deeds();
    open(JSON.stringify(now), heading, now, undefined, more, answers(words, () => act(deeds(), said), "Leave them"));
    box.querySelector("button.primary")?.focus({ preventScroll: true });
  }
  function answers(words, does, other) {
    return el("div.row", {},
      button(words, () => { hide(); does(); }, { class: "primary", data: { key: "preview-do" } }), button(other, hide));
  }
  /** Do it. */
  function drop(a, b) {
    const { deeds, said, refused } = exchange(a, b, given.setOf);
    if (deeds) return act(deeds, said);
    say(refused);
    return Promise.resolve(false);
  }
  return { box, show, weigh, hinting, drop, hide, shown: () => Boolean(shown) };
}

/** What would change: the sets that would be no more, and those that would come. */
export function foretold(told) {
  if (!told.breaks.length && !told.new.length) return [el("p", { text: told.words.join(" ") || "It would change no set." })];
  return [
    ...told.words.map((text) => el("p.quiet", { text })),
    ...some("Now", told.breaks), ...some("Then", told.new),
    told.left_alone.length ? el("p", { text: `In no set then: ${told.left_alone.map(({ square }) => called(square)).join(", ")}.` }) : null,
    told.worse ? el("p.flag", { text: told.after.counting < told.before.counting ? "Fewer sets would count." : "They would be less alike than they are now." }) : null,
  ];
}

function some(heading, sets) {
  if (!sets.length) return [];
  return [el("h3", { text: heading }), el("ul.coming", {}, ...sets.slice(0, MOST_SHOWN).map((set) => el("li", {},
    el("span.thumbs", {}, ...set.squares.map((id) => thumb(id, 40))),
    el("span", {}, el("strong", { text: `Set ${set.number}` }), ` ${set.words} (${set.difference.toFixed(1)})`,
      set.counts ? null : el("span.flag", { text: "too far apart to count" }))))),
  sets.length > MOST_SHOWN ? el("p.hint", { text: `and ${sets.length - MOST_SHOWN} more` }) : null];
}
