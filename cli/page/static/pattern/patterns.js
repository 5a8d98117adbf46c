/** The patterns there are, and what a pattern's own words say. */

import { el, fill } from "../frame/dom.js";
import { state } from "../frame/store.js";
import { words } from "./words.js";

/** @param {HTMLElement} main */
export function patterns(main) {
  fill(main, el("h2", { text: "Patterns" }),
    el("ul.pattern-list", { "aria-label": "Patterns" }, ...state.start.patterns.map((one) => el("li", {}, el("strong", { text: one.title }), el("span", { text: one.name })))),
    words());
}
