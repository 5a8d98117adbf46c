/** The board by key: from square to square, chosen, picked up and put down. */

import { typing } from "../frame/dom.js";
import { neighbour } from "../frame/neighbour.js";

/**
 * @param {HTMLElement} box the board
 * @param {object} given
 * @param {() => HTMLElement[]} given.tiles as they lie
 * @param {(id: number, more: boolean) => void} given.to another square has the focus; `more` to choose up to it
 * @param {(id: number) => void} given.enter @param {(id: number) => void} given.space
 * @param {() => void} given.escape @param {() => void} given.all
 * @param {Object<string, (id: number) => void>} given.letters
 * @returns {{refresh: () => void, end: () => void}}
 */
export function boardKeys(box, given) {
  const of = (node) => (node instanceof Element ? node.closest(".tile") : null);
  const idOf = (node) => Number(node.dataset.square);
  let stop = null;
  let walking = false;

  /** Let the tab key reach one of all, the last that was at hand. */
  function rove(node) {
    if (stop === node) return;
    if (stop) stop.tabIndex = -1;
    stop = node;
    if (stop) stop.tabIndex = 0;
  }
  const keydown = (event) => {
    const node = of(event.target);
    if (!node || event.altKey) return;
    const id = idOf(node);
    const command = event.ctrlKey || event.metaKey;
    if (event.key.startsWith("Arrow") && !command) {
      const next = neighbour(node, event.key, given.tiles());
      walking = true;
      next?.focus();
      walking = false;
      if (next) given.to(idOf(next), event.shiftKey);
    } else if (event.key === "Enter") given.enter(id);
    else if (event.key === " ") given.space(id);
    else if (command && event.key.toLowerCase() === "a") given.all();
    else if (!command && given.letters[event.key.toLowerCase()]) given.letters[event.key.toLowerCase()](id);
    else return;
    event.preventDefault();
  };
  const escape = (event) => {
    if (event.key === "Escape" && !typing(event) && !document.querySelector("dialog[open]")) given.escape();
  };
  const focusin = (event) => {
    const node = of(event.target);
    if (!node) return;
    rove(node);
    if (!walking && node.matches(":focus-visible")) given.to(idOf(node), false);
  };
  box.addEventListener("keydown", keydown);
  box.addEventListener("focusin", focusin);
  addEventListener("keydown", escape);
  return {
    /** After all is drawn anew, one can be reached by tab. */
    refresh: () => {
      if (stop?.isConnected) return;
      stop = null;
      rove(given.tiles()[0] ?? null);
    },
    end: () => removeEventListener("keydown", escape),
  };
}
