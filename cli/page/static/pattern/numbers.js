/** The made-over numbers: what is cut, to what it is trimmed, how many come from each square. */

import { el } from "../frame/dom.js";
import { toneOf } from "./tones.js";

/** @param {any} numbers */
export function numbersTable(numbers) {
  const cuts = table("Cut", ["Piece", "Cut", "In a block", "In all", "From each square"], numbers.pieces.map((one) => [
    named(one), one.cut, one.per_block.length ? one.per_block.join(", ") : "–", one.count, one.each ? `${one.each}, so ${one.squares} squares` : "bought",
  ]));
  const trims = table("Trim", ["Unit", "In a block", "Made", "Trim to", "Finished"], numbers.units.map((one) => [
    one.mark ? `${one.mark}: ${one.unit}` : one.unit, one.per_block, one.at_a_time > 1 ? `${one.at_a_time} at a time` : "one by one", one.trimmed ? one.trim : `${one.trim}, as sewn`, one.finished,
  ]));
  return el("div.numbers", {}, el("p", { text: numbers.words }), cuts, trims,
    el("details", {}, el("summary", { text: "Strips, edges, borders" }), table("Lengths", ["What", "Size"], numbers.lengths.map((one) => [one.name, one.size]))));
}

function named(one) {
  return el("span.named", {}, el("span.swatch", { style: { background: toneOf(one.role, one.cloth || one.name) } }), one.name);
}

function table(caption, heads, rows) {
  return el("div.scroll", { tabindex: 0, role: "region", "aria-label": caption }, el("table", {}, el("caption", { text: caption }),
    el("thead", {}, el("tr", {}, ...heads.map((text) => el("th", { scope: "col", text })))),
    el("tbody", {}, ...rows.map(([first, ...rest]) => el("tr", {}, el("th", { scope: "row" }, first), ...rest.map((one) => el("td", { text: String(one) })))))));
}
