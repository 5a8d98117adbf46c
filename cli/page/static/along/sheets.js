/** The sheets that are printed from the page: the wall, the sewing list, the sets, cutting, buying. */

import { el } from "../frame/dom.js";
import { called, crop, square, state } from "../frame/store.js";
import { buying, cutting } from "../plan/tables.js";
import { query } from "../plan/wish.js";

/** Of each sheet: name, words, whether a plan has it, what draws it. */
export const SHEETS = [
  ["wall", "Wall", (plan) => Boolean(plan.wall), wallSheet],
  ["sewing", "Sewing list", (plan) => Boolean(plan.wall), sewingSheet],
  ["cards", "Cards of the sets", (plan) => plan.sets.length > 0, cardSheet],
  ["cutting", "What to cut", (plan) => plan.cut.length > 0, (plan) => cutting(plan.cut)],
  ["buying", "What to buy", (plan) => plan.buy.length > 0, (plan) => buying(plan.buy)],
];

function wallSheet(plan) {
  return el("figure", {}, el("figcaption", { text: `${plan.title}, ${plan.wall.size}` }),
    el("img.cloth", { src: `/api/bundle/${state.view.id}/wall.jpg${query()}`, alt: `The quilt with its cloth: ${plan.title}` }));
}

function sewingSheet(plan) {
  const blocks = plan.wall.blocks.filter((one) => one.squares.length);
  const lies = (block) => [goes(block.darker, block.darker_goes, "darker"), goes(block.lighter, block.lighter_goes, "lighter"), block.turn ? block.turned : "", block.note].filter(Boolean).join("; ");
  const press = (block) => [block.press_inside, block.press_to_next, block.press_row].filter(Boolean).join("; ");
  const columns = [
    ["Squares", (block) => el("span.few", {}, ...block.squares.map(named))],
    ["How it lies", lies], ["Press", press],
  ].filter(([, tells]) => blocks.some((block) => tells(block)));
  return el("table", {}, el("caption", { text: "Sewing, row by row" }),
    el("thead", {}, el("tr", {}, ...["", "Place", ...columns.map(([words]) => words)].map((text) => el("th", { scope: "col", text })))),
    el("tbody", {}, ...blocks.map((block) => el("tr", {},
      el("td.tick", { text: block.done ? "✓" : "" }),
      el("th", { scope: "row", text: `${block.place}${block.sets.length ? `, set ${block.sets.join(", ")}` : ""}` }),
      ...columns.map(([, tells]) => el("td", {}, tells(block)))))));
}

/** A square's cloth over its label. */
function named(id) {
  return el("span.named", {}, el("img.crop", { src: crop(id), alt: "", width: 48, height: 48 }), called(id));
}

function goes(id, where, which) {
  return id ? `${which} ${called(id)} ${where}` : "";
}

function cardSheet(plan) {
  return el("ul.set-cards", { "aria-label": "Cards of the sets" }, ...plan.sets.map((one) => el("li", {},
    el("h3", { text: `Set ${one.number}` }),
    el("span.few", {}, ...one.squares.map((id) => el("img.crop", { src: crop(id), alt: "", width: 96, height: 96 }))),
    el("p", { text: one.squares.map((id) => `${called(id)}, ${square(id)?.value ?? ""}`).join(" · ") }),
    el("p.hint", { text: one.words }))));
}
