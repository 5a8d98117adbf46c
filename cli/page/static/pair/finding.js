/** Which squares are shown: what is typed, and the words that are switched on. */

import { debounced, el } from "../frame/dom.js";
import { icon } from "../frame/icons.js";
import { get } from "../frame/api.js";
import { doubtful, standing } from "../photo/marks.js";
import { state } from "../frame/store.js";

const PAUSE = 150;
/** Of each chip what it is called, which kind of thing it says, and whether it holds of a square. */
const CHIPS = [
  ["doubtful", "sure", (one) => doubtful(one)],
  ["free", "use", (one) => standing(one) === "free"],
  ["reserved", "use", (one) => standing(one) === "reserved"],
  ["used", "use", (one) => standing(one) === "used"],
  ["locked", "set", (one, set) => Boolean(set?.locked)],
  ["in no set", "set", (one, set) => !set],
  ["dark", "value", (one) => one.value === "dark"],
  ["medium", "value", (one) => one.value === "medium"],
  ["light", "value", (one) => one.value === "light"],
  ["plain", "print", (one) => one.print === "plain"],
  ["print", "print", (one) => one.print !== "plain"],
];

/**
 * @param {{changed: () => void, setOf: (id: number) => any}} given
 * @returns {{field: HTMLElement, chips: HTMLElement, shows: (one: any) => boolean, active: () => boolean, keep: () => object, focus: () => void}}
 */
export function finding({ changed, setOf }, last = {}) {
  const on = new Set(last.on ?? []);
  let found = { words: "", colours: new Set(), rest: [] };
  const input = el("input", {
    type: "search", id: "board-find", placeholder: "R2C3, teal, pink print", "aria-label": "Find squares by label, colour, value or print",
    autocomplete: "off", spellcheck: "false", value: last.words ?? "", "aria-keyshortcuts": "/",
  });
  const chips = el("div.chips.find-chips", { role: "group", "aria-label": "Show only" }, ...CHIPS.map(([name, kind]) => {
    const press = () => {
      if (on.has(name)) on.delete(name);
      else on.add(name);
      chip.setAttribute("aria-pressed", String(on.has(name)));
      changed();
    };
    const chip = el("button.chip", { type: "button", text: name, click: press, "aria-pressed": String(on.has(name)), data: { kind, key: `chip-${name}` } });
    return chip;
  }));
  const ask = debounced(async () => {
    const words = input.value.trim();
    if (!words || found.words === words) return;
    try {
      const told = await get(`/api/bundle/${state.view.id}/find?words=${encodeURIComponent(words)}`);
      if (input.value.trim() !== words) return;
      found = { words, colours: new Set(told.squares), rest: told.rest };
      if (told.colour) changed();
    } catch {
      /* what the page knows itself is searched */
    }
  }, PAUSE);
  input.addEventListener("input", () => {
    ask();
    changed();
  });
  if (input.value) ask();
  const field = el("div.find-field", { role: "search" }, icon("search"), input);

  /** Whether a square fits what is typed and switched on: of several words of a kind, one. */
  const shows = (one, texts) => {
    for (const kind of new Set(CHIPS.filter(([name]) => on.has(name)).map(([, each]) => each))) {
      if (!CHIPS.some(([name, each, holds]) => each === kind && on.has(name) && holds(one, setOf(one.id)))) return false;
    }
    const words = input.value.trim().toLowerCase();
    if (!words) return true;
    if (within(words.split(/\s+/), texts)) return true;
    return found.words.toLowerCase() === words && found.colours.has(one.id) && within(found.rest, texts);
  };
  return {
    field,
    chips,
    shows: (one) => shows(one, words(one)),
    active: () => Boolean(on.size || input.value.trim()),
    keep: () => ({ on: [...on], words: input.value }),
    focus: () => input.focus(),
  };
}

function within(wanted, texts) {
  return wanted.every((word) => texts.some((text) => text.startsWith(word)));
}

/** All words by which a square is found, remembered while it stays as it is. */
function words(one) {
  if (!known.has(one)) known.set(one, wordsOf(one));
  return known.get(one);
}
const known = new WeakMap();

function wordsOf(one) {
  return [one.label, one.said, one.colour_name, one.shares, one.family, one.value, one.print, one.print === "plain" ? "" : "print",
    one.look.join(" "), `fabric ${one.fabric}`, one.state, one.flags.join(" ")].join(" ").toLowerCase().split(/[^a-z0-9]+/);
}
