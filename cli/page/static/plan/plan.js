/** Whether the bundle is enough for a pattern, what to cut and to buy, and for which project. */

import { el, fill } from "../frame/dom.js";
import { patternForm } from "../pattern/pattern.js";
import { projects } from "./projects.js";
import { reserving } from "./reserving.js";
import { thumb } from "../pair/tile.js";
import { hear, state } from "../frame/store.js";
import { loadPlan, query, standing } from "./wish.js";

const SHOWN = 24;

/** @param {HTMLElement} main */
export function plan(main) {
  const results = el("section.results", { "aria-label": "Count and plan" });
  const told = el("p.verdict", { role: "status" });
  const shelf = projects();
  const reserve = reserving();
  fill(main, el("div.plan", {}, patternForm(),
    el("div.plan-work", {}, el("div", {}, told, results), el("aside", { "aria-label": "What for" }, shelf.box, reserve.box))));

  const draw = () => {
    const found = standing.plan;
    results.setAttribute("aria-busy", String(standing.busy));
    if (!found) {
      told.textContent = standing.problem || "Counting …";
      told.className = standing.problem ? "verdict short" : "verdict";
      fill(results);
      reserve.draw(null);
      return;
    }
    const [first, ...lines] = found.lines;
    told.textContent = first ?? found.title;
    told.className = `verdict ${found.enough ? "enough" : "short"}`;
    fill(results, lines.length ? el("ul.plain-list", {}, ...lines.map((text) => el("li", { text }))) : null,
      tally(found.tally), cutting(found.cut), buying(found.buy), drawn(found),
      el("section", { "aria-label": "Mind" }, ...found.caution.map((text) => el("p.caution", { text }))));
    reserve.draw(found);
  };
  const deaf = hear((what) => {
    if (what === "plan") draw();
    if (what === "view" && state.view) {
      shelf.draw();
      loadPlan();
    }
  });
  draw();
  loadPlan();
  return deaf;
}

function tally(lines) {
  return table("Needed and on hand", ["Piece", "Needed", "On hand", "Short", "Left over", "To know"], lines.map((one) =>
    el("tr", { class: one.short ? "short" : null },
      el("th", { scope: "row" }, `${one.need}: ${[one.piece, one.size].filter(Boolean).join(", ")}`, few(one.squares)),
      amount(one.needed), amount(one.bought ? "–" : one.on_hand), amount(one.short || "–"), amount(one.left_over || "–"),
      el("td", { text: one.bought && !one.note ? "to be bought" : one.note }))), [1, 2, 3, 4]);
}

function few(squares) {
  const shown = squares.slice(0, SHOWN);
  return el("span.few", {}, ...shown.map((id) => thumb(id, 32, true)), squares.length > shown.length ? el("span.hint", { text: `and ${squares.length - shown.length} more` }) : null);
}

function cutting(rows) {
  if (!rows.length) return null;
  return table("Cutting", ["Cloth", "Piece", "How many", "Cut size", "How"], rows.map((one) => el("tr", {},
    el("th", { scope: "row", text: one.cloth }), el("td", { text: one.piece }), amount(one.count), el("td", { text: one.size }),
    el("td", { text: [one.how, one.trim ? `trim: ${one.trim}` : "", one.note].filter(Boolean).join("; ") }))), [2]);
}

function buying(rows) {
  if (!rows.length) return null;
  return table("Buying", ["Cloth", "How much", "Of it to spare"], rows.map((one) => el("tr", {},
    el("th", { scope: "row", text: one.cloth }), el("td", {}, one.words, ...one.instead.map((text) => el("p.hint", { text: `or ${text}` }))), amount(one.spare))), [2]);
}

function drawn(found) {
  if (!found.cut_up) return null;
  return el("figure.plans-drawn", {}, el("figcaption", { text: "How each cloth is cut up, to scale" }),
    el("img", { src: `/api/bundle/${state.view.id}/cutting-plan.jpg${query()}`, alt: found.cut_up, class: "cutting-plan", loading: "lazy", decoding: "async" }));
}

function table(caption, heads, rows, numbers) {
  return el("div.scroll", { tabindex: 0, role: "region", "aria-label": caption }, el("table", {}, el("caption", { text: caption }),
    el("thead", {}, el("tr", {}, ...heads.map((text, place) => el("th", { scope: "col", text, class: numbers.includes(place) ? "amount" : null })))),
    el("tbody", {}, ...rows)));
}

function amount(text) {
  return el("td.amount", { text: String(text) });
}
