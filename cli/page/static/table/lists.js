/** What is needed, what to cut and to buy, and what is sewn in which order. */

import { el, fill } from "../frame/dom.js";
import { hear, knows } from "./knows.js";
import { isSewn, tick } from "./ticks.js";

/** @param {HTMLElement} main */
export function lists(main) {
  const draw = () => {
    const { plan } = knows;
    if (!plan || plan.problem) return fill(main, el("p.none", { role: "status", text: plan?.problem ?? "Counting …" }));
    fill(main, el("h2", { text: plan.title }), plan.wall ? sewing(plan.wall) : null,
      table("What is needed", ["", "needed", "on hand", "short"], plan.tally.map((one) => [`${one.need} ${one.size}`.trim(), one.needed, one.bought ? "" : one.on_hand, one.bought ? "" : one.short])),
      table("What to cut", ["cloth", "piece", "how many", "size"], plan.cut.map((one) => [one.cloth, one.piece, one.count, one.size])),
      table("What to buy", ["cloth", "how much"], plan.buy.map((one) => [one.cloth, one.words])),
      el("details", {}, el("summary", { text: "More on this plan" }), ...plan.lines.map((text) => el("p", { text }))),
      el("ul.caution", {}, ...plan.caution.map((text) => el("li", { text }))));
    return undefined;
  };
  const deaf = hear((what) => { if (what === "plan" || what === "ticks") draw(); });
  draw();
  return deaf;
}

function table(title, heads, rows) {
  if (!rows.length) return null;
  return el("div.scroll", { tabindex: 0, role: "group", "aria-label": title }, el("table", {}, el("caption", { text: title }),
    el("thead", {}, el("tr", {}, ...heads.map((text) => (text ? el("th", { scope: "col", text }) : el("td"))))),
    el("tbody", {}, ...rows.map(([first, ...rest]) => el("tr", {}, el("th", { scope: "row", text: first }), ...rest.map((text) => el("td", { text: String(text) })))))));
}

function sewing(wall) {
  return el("section", { "aria-label": "What is sewn" }, el("h3", { text: "Sewing, in this order" }), el("ol.sewing", {},
    ...[...wall.blocks].sort((one, other) => one.sew - other.sew).map((block) => {
      const id = `sewn-${block.place}`;
      const box = block.squares.length
        ? el("input", { type: "checkbox", id, checked: isSewn(block), data: { key: id }, change: () => tick(block, !isSewn(block)) }) : null;
      return el("li.check", {}, box, el("label", { for: box ? id : null, text: `${block.place}, ${block.sets.length ? `set ${block.sets.join(" and ")}` : block.bought ? "bought cloth" : "no set yet"}` }));
    })));
}
