/** Pictures of buttons, drawn on a field of 24 by 24. */

import { el, svg } from "./dom.js";

const PATHS = {
  home: "M4 4h7v7H4zM13 4h7v7h-7zM4 13h7v7H4zM13 13h7v7h-7z",
  undo: "M9 5 4 10l5 5M4 10h10a6 6 0 0 1 0 12h-2",
  redo: "M15 5l5 5-5 5M20 10H10a6 6 0 0 0 0 12h2",
  grey: "M12 3a9 9 0 1 0 0 18zM12 3a9 9 0 0 1 0 18",
  help: "M8.5 9a3.5 3.5 0 1 1 5 3.2c-1 .5-1.5 1.2-1.5 2.3M12 18.5v.1",
  history: "M12 7v5l3 2M4 12a8 8 0 1 0 2.5-5.8L4 8.5M4 4v4.5h4.5",
  more: "M4.5 12h1M11.5 12h1M18.5 12h1",
  phone: "M8 3h8a1 1 0 0 1 1 1v16a1 1 0 0 1-1 1H8a1 1 0 0 1-1-1V4a1 1 0 0 1 1-1zM11 18h2",
  close: "M6 6l12 12M18 6 6 18",
  plus: "M12 5v14M5 12h14",
  minus: "M5 12h14",
  whole: "M4 9V4h5M20 9V4h-5M4 15v5h5M20 15v5h-5",
  draw: "M4 20l4-1L19 8l-3-3L5 16zM14 7l3 3",
  lock: "M6 11h12v9H6zM8.5 11V8a3.5 3.5 0 0 1 7 0v3",
  unlock: "M6 11h12v9H6zM8.5 11V8a3.5 3.5 0 0 1 6.8-1.2",
  apart: "M9 8H4v8h5M15 8h5v8h-5M12 4v3M12 11v2M12 17v3",
  others: "M4 6h9v9H4zM16 9h4v9h-9v-2",
  better: "M4 16l5-6 4 4 7-9M15 5h5v5",
  search: "M10.5 4a6.5 6.5 0 1 0 0 13 6.5 6.5 0 0 0 0-13zM15.5 15.5 20 20",
  photo: "M4 7h4l1.5-2h5L16 7h4v12H4zM12 10a3 3 0 1 0 0 6 3 3 0 0 0 0-6z",
  pair: "M3 7h9v9H3zM12 7h9v9h-9z",
  plan: "M5 4h14v16H5zM8 8h8M8 12h8M8 16h5",
  wall: "M4 4h16v16H4zM4 4l16 16M4 12h16M12 4v16",
  take: "M5 8h14l-1 12H6zM9 8V6a3 3 0 0 1 6 0v2",
  print: "M7 9V4h10v5M7 17H4V9h16v8h-3M7 14h10v6H7z",
  labels: "M4 5h9l7 7-8 8-8-8zM8.5 9.5h.1",
  turn: "M19 12a7 7 0 1 1-2.5-5.4L19 9M19 4v5h-5",
  mirror: "M12 4v16M9 8l-5 8h5zM15 8l5 8h-5z",
  back: "M15 5l-7 7 7 7",
  tick: "M5 13l4 4L19 7",
  up: "M5 15l7-7 7 7",
  rules: "M4 7h10M18 7h2M4 12h4M12 12h8M4 17h8M16 17h4M14 5v4M8 10v4M12 15v4",
  light: "M12 8a4 4 0 1 0 0 8 4 4 0 0 0 0-8zM12 3v2M12 19v2M3 12h2M19 12h2M5.6 5.6 7 7M17 17l1.4 1.4M18.4 5.6 17 7M7 17l-1.4 1.4",
  pattern: "M4 4h16v16H4zM4 12 12 4M12 20l8-8M4 12l8 8M12 4l8 8",
};

/** What there is a picture of. */
export const PICTURES = Object.keys(PATHS);

/** @param {keyof typeof PATHS} name @returns {SVGElement} */
export function icon(name) {
  return svg("svg", { viewBox: "0 0 24 24", class: "icon-picture", "aria-hidden": "true", focusable: "false" }, svg("path", { d: PATHS[name] }));
}

/**
 * A button that shows a picture and is called by words.
 * @param {keyof typeof PATHS} name @param {string} words @param {Function} does @param {object} [given]
 * @returns {HTMLButtonElement}
 */
export function iconButton(name, words, does, given = {}) {
  return /** @type {HTMLButtonElement} */ (el("button.icon", { type: "button", click: does, "aria-label": words, title: words, ...given }, icon(name)));
}

/**
 * A button whose word changes and whose size doesn't: it has the room of the longest.
 * @param {string[]} words @param {number} shown which of them shows @param {Function} does @param {object} [given]
 */
export function wordButton(words, shown, does, given = {}) {
  return el("button", { type: "button", click: does, "aria-label": words[shown], ...given },
    el("span.of-words", { "aria-hidden": "true" }, ...words.map((text, place) => el("span", { text, "data-rest": place !== shown }))));
}
