/** What is sewn in which order, row by row, with ticks that stay. */

import { el } from "../frame/dom.js";
import { called } from "../frame/store.js";

/**
 * @param {any} wall @param {(block: any) => void} tick
 * @returns {HTMLElement[]}
 */
export function sewing(wall, tick) {
  const rows = new Map();
  for (const block of wall.blocks) rows.set(block.row, [...(rows.get(block.row) ?? []), block]);
  const sewn = wall.blocks.filter((one) => one.done).length;
  const full = wall.blocks.filter((one) => one.squares.length).length;
  return [
    el("h2", { text: `Sewing: ${sewn} of ${full} done` }),
    ...[...rows].map(([row, blocks]) => el("section", { "aria-labelledby": `row-${row}` },
      el("h3", { id: `row-${row}`, text: `Row ${blocks[0].place.replace(/\d+$/, "")}` }),
      el("ol.sewing", {}, ...blocks.map((block) => line(block, tick)), ...pressing(blocks)))),
  ];
}

function pressing(blocks) {
  return blocks.filter((one) => one.press_row).map((one) => el("li.turn", { text: `Then press ${one.press_row}` }));
}

function line(block, tick) {
  const id = `sewn-${block.place}`;
  const told = [
    block.darker ? `darker ${called(block.darker)} ${block.darker_goes}` : "",
    block.lighter ? `lighter ${called(block.lighter)} ${block.lighter_goes}` : "",
    ...block.besides.map(({ square, goes }) => `${called(square)} ${goes}`),
    block.turn ? `turned: ${block.turned}` : "",
    block.press_inside ? `press inside: ${block.press_inside}` : "",
    block.press_to_next ? `press towards the next: ${block.press_to_next}` : "",
    block.note,
  ].filter(Boolean).join("; ");
  const sets = block.sets.length ? `set ${block.sets.join(", ")}` : "no set";
  const box = block.squares.length
    ? el("input", { type: "checkbox", id, checked: block.done, data: { key: id }, change: () => tick(block) }) : null;
  return el("li.check", {}, box,
    el("label", { for: box ? id : null }, el("strong", { text: `${block.place}, ${sets}` }), el("small", { text: told })));
}
