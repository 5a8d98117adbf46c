/** What a plan's quilt leaves over and how far that would go: told after the plan, in room that is kept for it. */

import { post } from "../frame/api.js";
import { el, fill } from "../frame/dom.js";
import { state } from "../frame/store.js";
import { body } from "./wish.js";

const LATER = " 000 squares left over."; // about as long as what comes; a little room too much moves nothing
const LONGER = " 00 00 1/2";

/** @returns {{box: HTMLElement, draw: (plan: any) => void, end: () => void}} */
export function reach() {
  const told = el("ul.plain-list", { "aria-live": "polite" });
  const room = el("ul.plain-list.room", { "aria-hidden": "true" });
  const box = el("section.reach", { "aria-label": "How far the squares go" }, told, room);
  let shown = null;
  let before = "";
  let asking = null;

  async function ask() {
    asking = new AbortController();
    const { signal } = asking;
    let lines = [];
    try {
      ({ lines } = await post(`/api/bundle/${state.view.id}/reach`, body(), { signal }));
    } catch (error) {
      if (error.name === "AbortError" || error.status === 409) return; // what is planned then asks anew
      before = "";
      lines = [`How far the squares go isn't known: ${error.message}`];
    }
    if (signal.aborted) return;
    fill(told, items(lines));
    told.setAttribute("aria-busy", "false");
  }
  function draw(plan) {
    if (plan === shown) return;
    end();
    shown = plan;
    const lines = plan.before_reach;
    box.hidden = !lines.length;
    if (box.hidden) return;
    const larger = plan.enough ? lines[0].replace("The quilt", "Your bundle could fill") + LONGER : "";
    const now = JSON.stringify([lines, larger]);
    if (now !== before) {
      fill(room, items([lines[0], larger, larger, ...lines.slice(1)].filter(Boolean).map((text) => text + LATER)));
      fill(told, items([lines[0], larger && "Larger quilts are being counted …", ...lines.slice(1)].filter(Boolean)));
    }
    before = now;
    told.setAttribute("aria-busy", "true");
    ask();
  }
  function end() {
    asking?.abort();
    shown = null;
  }
  return { box, draw, end };
}

function items(lines) {
  return lines.map((text) => el("li", { text }));
}
