/** What can be printed and taken along. */

import { button, el, fill } from "../frame/dom.js";
import { icon } from "../frame/icons.js";
import { hear, state } from "../frame/store.js";
import { SHEETS } from "./sheets.js";
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
  const told = el("p", { role: "status" });
  const rooms = { chips: el("div.chips", { role: "group", "aria-label": "What is printed" }), sheets: el("div.sheets"), list: el("ul.files", { "aria-label": "Files" }) };
  const print = button("Print", () => window.print(), { class: "primary", disabled: true });
  const off = new Set(JSON.parse(localStorage.getItem("not printed") ?? "[]"));
  print.prepend(icon("print"));
  fill(main, el("div.take", {},
    el("section", { "aria-labelledby": "printed" }, el("div.row.screen-only", {}, el("h2", { id: "printed", text: "Print" }), rooms.chips, print), told, rooms.sheets),
    el("section.screen-only", { "aria-labelledby": "taken" }, el("h2", { id: "taken", text: "Files to take along" }), rooms.list, el("p.caution", { text: state.start.caution }))));
  const turn = (name) => {
    if (!off.delete(name)) off.add(name);
    localStorage.setItem("not printed", JSON.stringify([...off]));
    draw();
  };
  const draw = () => {
    const plan = standing.plan;
    told.textContent = plan ? `${plan.title}, for ${state.view.name}.` : standing.problem || "Counting …";
    const sheets = plan ? SHEETS.filter(([, , has]) => has(plan)) : [];
    const on = sheets.filter(([name]) => !off.has(name));
    print.disabled = !on.length;
    fill(rooms.chips, sheets.map(([name, words]) => button(words, () => turn(name), { class: "chip", "aria-pressed": String(!off.has(name)), data: { key: `sheet-${name}` } })));
    fill(rooms.sheets, on.map(([name, words, , sheet]) => el("section.sheet", { "aria-label": words, data: { sheet: name } }, sheet(plan))));
    fill(rooms.list, FILES.filter(([name]) => isThere(name, plan)).map(fileLine));
  };
  const deaf = hear((what) => {
    if (what === "plan") draw();
    if (what === "view" && state.view) loadPlan();
  });
  draw();
  loadPlan();
  return deaf;
}

function isThere(name, plan) {
  if (!plan) return !standing.busy && !standing.problem && name === "swatches.csv";
  if (OF_WALL.has(name)) return Boolean(plan.wall);
  if (name === "cutting.csv" || name === "booklet.pdf") return plan.cut.length > 0;
  if (name === "cutting-plan.jpg") return Boolean(plan.cut_up);
  if (name === "buying.csv") return plan.buy.length > 0;
  return true;
}

function fileLine([name, title, words]) {
  return el("li", {},
    el("div", {}, el("strong", { text: title }), el("p", { text: words })),
    el("a.button", { href: address(name), download: "", "aria-label": `Take ${title}`, data: { key: name }, text: "Take along" }));
}

function address(name) {
  return `/api/bundle/${state.view.id}/files/${name}${query()}`;
}
