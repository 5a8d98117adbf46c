/** What can be printed and taken along. */

import { el, fill } from "../frame/dom.js";
import { hear, state } from "../frame/store.js";
import { loadPlan, query, standing } from "../plan/wish.js";

const FILES = [
  ["everything.zip", "Everything", "All of the files below in one."],
  ["report.html", "The report", "Sets, count, cutting, buying and wall, to read in a browser and to print."],
  ["cards.pdf", "Cards", "A card for each set with true crops, to print and cut, for the shop and the sewing table."],
  ["booklet.pdf", "Booklet", "The pattern at your sizes, step by step in drawings, to sew from."],
  ["wall.jpg", "The wall as a picture", "The quilt with its cloth, to hang beside the machine."],
  ["cutting-plan.jpg", "Cutting plans", "How each cloth is cut up, drawn to scale, for the cutting table."],
  ["swatches.csv", "Squares", "Every square with its place, colour and fabric, as a table."],
  ["sets.csv", "Sets", "Which squares go together, as a table."],
  ["tally.csv", "Count", "Needed, on hand, short and left over, as a table."],
  ["cutting.csv", "Cutting", "What is cut from what, as a table."],
  ["buying.csv", "Buying", "What to buy, as a table."],
  ["wall.csv", "Wall", "Each block with its place, turn and pressing, as a table."],
];
const OF_WALL = new Set(["wall.jpg", "wall.csv"]);

/** @param {HTMLElement} main */
export function take(main) {
  const list = el("ul.files", { "aria-label": "Files" });
  const told = el("p", { role: "status" });
  fill(main, el("h2", { text: "Print and take along" }), told, list, el("p.caution", { text: state.start.caution }));
  const has = (name) => {
    const plan = standing.plan;
    if (!plan) return !standing.busy && !standing.problem && name === "swatches.csv";
    if (OF_WALL.has(name)) return Boolean(plan.wall);
    if (name === "cutting.csv" || name === "booklet.pdf") return plan.cut.length > 0;
    if (name === "cutting-plan.jpg") return Boolean(plan.cut_up);
    if (name === "buying.csv") return plan.buy.length > 0;
    return true;
  };
  const draw = () => {
    const plan = standing.plan;
    told.textContent = plan ? `For: ${plan.title}. Another pattern is chosen under Plan.` : standing.problem || "Counting …";
    fill(list, FILES.filter(([name]) => has(name)).map(([name, title, words]) => el("li", {},
      el("div", {}, el("strong", { text: title }), el("p", { text: words })),
      el("a.button", { href: address(name), download: "", "aria-label": `Take ${title}`, data: { key: name }, text: "Take along" }))));
  };
  const deaf = hear((what) => {
    if (what === "plan") draw();
    if (what === "view" && state.view) loadPlan();
  });
  draw();
  loadPlan();
  return deaf;
}

function address(name) {
  return `/api/bundle/${state.view.id}/files/${name}${query()}`;
}
