/** The tables of a plan. */

import { el } from "../frame/dom.js";
import { thumb } from "../pair/tile.js";

const SHOWN = 24;

/** What is needed, on hand, short and left over. @param {any[]} lines */
export function tally(lines) {
  return table("Needed and on hand", ["Piece", "Needed", "On hand", "Short", "Left over", "To know"], lines.map((one) =>
    el("tr", { class: one.short ? "short" : null },
      el("th", { scope: "row" }, `${one.need}: ${[one.piece, one.size].filter(Boolean).join(", ")}`, few(one.squares)),
      amount(one.needed), amount(one.bought ? "–" : one.on_hand), amount(one.short || "–"), amount(one.left_over || "–"),
      el("td", { text: one.bought && !one.note ? "to be bought" : one.note }))), [1, 2, 3, 4]);
}

function few(squares) {
  const shown = squares.slice(0, SHOWN);
  return el("span.few", {}, ...shown.map((id) => thumb(id, 32, true)), squares.length > shown.length ? el("span.hint", { text: `and ${squares.length - shown.length} more squares` }) : null);
}

/** What is cut from what; null for nothing. @param {any[]} rows */
export function cutting(rows) {
  if (!rows.length) return null;
  return table("Cutting", ["Cloth", "Piece", "How many", "Cut size", "How"], rows.map((one) => el("tr", {},
    el("th", { scope: "row", text: one.cloth }), el("td", { text: one.piece }), amount(one.count), el("td", { text: one.size }),
    el("td", { text: [one.how, one.trim ? `trim: ${one.trim}` : "", one.note].filter(Boolean).join("; ") }))), [2]);
}

/** What is bought; null for nothing. @param {any[]} rows */
export function buying(rows) {
  if (!rows.length) return null;
  return table("Buying", ["Cloth", "How much", "Of it to spare"], rows.map((one) => el("tr", {},
    el("th", { scope: "row", text: one.cloth }), el("td", {}, one.words, ...one.instead.map((text) => el("p.hint", { text: `or ${text}` }))), amount(one.spare))), [2]);
}

function table(caption, heads, rows, numbers) {
  return el("div.scroll", { tabindex: 0, role: "region", "aria-label": caption }, el("table", {}, el("caption", { text: caption }),
    el("thead", {}, el("tr", {}, ...heads.map((text, place) => el("th", { scope: "col", text, class: numbers.includes(place) ? "amount" : null })))),
    el("tbody", {}, ...rows)));
}

function amount(text) {
  return el("td.amount", { text: String(text) });
}
