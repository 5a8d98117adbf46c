/** Whether the bundle is enough for a pattern, what to cut and to buy, and for which project. */

import { button, el, fill, undisturbed } from "../frame/dom.js";
import { patternForm } from "../pattern/pattern.js";
import { projects } from "./projects.js";
import { reach } from "./reach.js";
import { reserving } from "./reserving.js";
import { hear, state } from "../frame/store.js";
import { buying, cutting, tally } from "./tables.js";
import { loadPlan, query, standing, stopPlan, wish } from "./wish.js";

/** @param {HTMLElement} main */
export function plan(main) {
  const results = el("section.results", { "aria-label": "Count and plan" });
  const told = el("p.verdict", { role: "status" });
  const stop = button("Stop", () => (standing.busy ? stopPlan() : loadPlan()), { class: "plain", hidden: true, data: { key: "plan-stop" } });
  const shelf = projects();
  const reserve = reserving();
  const far = reach();
  const form = el("div.plan-form", {}, patternForm());
  fill(main, el("div.plan", {}, form,
    el("div.plan-work", {}, el("div", {}, told, stop, results), el("aside", { "aria-label": "What for" }, shelf.box, reserve.box))));

  const draw = () => {
    const found = standing.plan;
    results.setAttribute("aria-busy", String(standing.busy));
    stop.hidden = standing.busy ? standing.late === null : !standing.problem.startsWith("Stopped");
    stop.textContent = standing.busy ? "Stop" : "Count them";
    if (!found) {
      told.textContent = standing.problem || doing("Counting");
      told.className = standing.problem ? "verdict short" : "verdict";
      far.end();
      fill(results);
      reserve.draw(null);
      return;
    }
    const [first, ...lines] = wish().pattern ? found.lines : [`${counting(found.sets)}.`, ...found.lines];
    told.textContent = standing.busy ? doing("Working it out") : first ?? found.title;
    told.className = `verdict ${wish().pattern && !standing.busy ? (found.enough ? "enough" : "short") : ""}`;
    fill(results, lines.length ? el("ul.plain-list", {}, ...lines.map((text) => el("li", { text }))) : null, far.box,
      tally(found.tally), leftOver(found), cutting(found.cut), buying(found.buy), drawn(found),
      el("section", { "aria-label": "Mind" }, ...found.caution.map((text) => el("p.caution", { text }))));
    reserve.draw(found);
    if (!standing.busy) far.draw(found);
  };
  const deaf = hear((what) => {
    if (what === "plan") draw();
    if (what === "wish") undisturbed(() => fill(form, patternForm()));
    if (what === "view" && state.view) {
      shelf.draw();
      loadPlan();
    }
  });
  draw();
  loadPlan();
  return () => {
    far.end();
    deaf();
  };
}

/** What is being done, where it takes long. */
function doing(words) {
  return standing.late ? `${words}: ${standing.late} …` : `${words} …`;
}

function counting(sets) {
  const counted = sets.filter((one) => one.counts).length;
  return counted === 1 ? "One set matches" : `${counted} sets match`;
}

/** Why fewer squares are left over in the table than in all; null where they are as many. */
function leftOver({ left_over: over, tally: lines }) {
  const could = lines.reduce((sum, one) => sum + (one.bought ? 0 : one.left_over), 0);
  if (could >= over.length) return null;
  const text = `${over.length} squares are left over in all: ${could} could serve, and ${over.length - could} can't, such as those of a locked set that is too far apart to count.`;
  return el("p.hint", { text });
}

function drawn(found) {
  if (!found.cut_up) return null;
  return el("figure.plans-drawn", {}, el("figcaption", { text: "How each cloth is cut up, to scale" }),
    el("img", { src: `/api/bundle/${state.view.id}/cutting-plan.jpg${query()}`, alt: found.cut_up, class: "cutting-plan", loading: "lazy", decoding: "async" }));
}
