/** The list of squares, those to be looked at again first. */

import { el, fill, palette } from "../frame/dom.js";
import { doubtful } from "./marks.js";
import { state } from "../frame/store.js";

/** @param {(id: number) => void} choose what a click on a line does */
export function squareList(choose) {
  const list = el("ol.square-list", { "aria-label": "Squares, the doubtful ones first" });
  const heading = el("h2");
  /** The line of each square as it was shown last: a thousand are made anew only where they changed. */
  const lines = new WeakMap();
  let order = [];

  const draw = (chosen) => {
    const before = order;
    order = [...state.view.squares].sort((a, b) => rank(b) - rank(a));
    const many = order.filter(doubtful).length;
    const words = many ? `${order.length} squares, look again at ${many}` : `${order.length} squares`;
    if (heading.textContent !== words) heading.textContent = words;
    const same = before.length === order.length && order.every((one, place) => one.id === before[place].id);
    if (same) exchange(before);
    else fill(list, order.map((one) => (lineOf(one).isConnected ? lineOf(one).parentElement : el("li", {}, lineOf(one)))));
    mark(chosen);
  };
  /** Put new lines in place of those whose squares changed. */
  const exchange = (before) => {
    order.forEach((one, place) => {
      const had = list.children[place];
      if (one !== before[place]) fill(had, lineOf(one));
    });
  };
  const lineOf = (one) => {
    if (!lines.has(one)) lines.set(one, line(one, choose));
    return lines.get(one);
  };
  /** Mark the chosen one, and scroll the list, and nothing else, until it shows. */
  const mark = (chosen) => {
    for (const item of list.querySelectorAll("[aria-current]")) item.removeAttribute("aria-current");
    const item = list.querySelector(`[data-square="${chosen}"]`);
    if (!item) return;
    item.setAttribute("aria-current", "true");
    const { offsetTop: top, offsetHeight: high } = item.parentElement;
    if (top < list.scrollTop) list.scrollTop = top;
    else if (top + high > list.scrollTop + list.clientHeight) list.scrollTop = top + high - list.clientHeight;
  };
  /** The square so many lines further; the first where none is chosen. */
  const beside = (chosen, by) => {
    const place = order.findIndex((one) => one.id === chosen);
    return order[Math.min(order.length - 1, Math.max(0, place < 0 ? 0 : place + by))]?.id ?? 0;
  };
  return { box: el("div.squares", {}, heading, list), list, draw, mark, beside };
}

/** Doubtful ones by their doubt, the others as they lie. */
function rank(one) {
  return doubtful(one) ? one.doubt : 0;
}

function line(one, choose) {
  const words = [...one.flags, one.state, one.said || one.colour_name].filter(Boolean).join(" · ");
  return el("button", {
    type: "button", data: { square: one.id, key: `list-${one.id}` }, click: () => choose(one.id),
  }, palette(one, one.shares === one.colour_name), el("strong", { text: one.label }), el("span", { text: words }));
}
