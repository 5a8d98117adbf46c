/** The first minute: what to do, how squares are laid out, and a sample to try. */

import { button, el, svg } from "../frame/dom.js";
import { post } from "../frame/api.js";
import { complain } from "../frame/store.js";
import { follow } from "./uploads.js";
import { table } from "../table/owner.js";

const GREYS = ["#555", "#888", "#666", "#aaa", "#777", "#999"];
const STEPS = [
  "Lay the squares flat on a plain ground, in rows, with a finger's width between them.",
  "Photograph them whole and from above, in even daylight; several photos are fine.",
  "Look over what was found, then see what goes with what, whether it is enough, and where each set hangs.",
];

/** @param {HTMLElement} chooser @param {HTMLElement} jobs */
export function welcome(chooser, jobs) {
  return el("section.welcome", { "aria-labelledby": "welcome" },
    layingOut(),
    el("div", {},
      el("h2", { id: "welcome", text: "Photograph your squares" }),
      el("ol", {}, ...STEPS.map((text) => el("li", { text }))),
      el("div.row", {}, chooser, button("From a phone", fromPhone), button("Try the sample", () => sample(jobs).catch(complain))),
      el("p.hint", { text: "Photos may be dropped here too. They stay on this computer." })));
}

/** Let a phone come to the table, from which it sends what its camera takes. */
async function fromPhone() {
  await table(document.getElementById("dialog")).catch(complain);
}

/** Open the bundle of the sample photo, which is read first where it isn't kept yet. */
async function sample(jobs) {
  const told = await post("/api/sample");
  const done = told.job ? await follow(told.job, jobs) : told;
  if (done?.bundle) location.hash = `#bundle/${done.bundle}/photo`;
}

/** Squares in rows, seen from above by a phone. */
function layingOut() {
  const squares = [];
  for (let row = 0; row < 3; row += 1) {
    for (let column = 0; column < 4; column += 1) {
      squares.push(svg("rect", { x: 34 + column * 58, y: 34 + row * 58, width: 46, height: 46, fill: GREYS[(row * 4 + column * 5) % 6], transform: `rotate(${(row - column) % 3} ${57 + column * 58} ${57 + row * 58})` }));
    }
  }
  return svg("svg", { viewBox: "0 0 300 240", class: "laying-out", role: "img", "aria-label": "Squares in rows on a plain ground, a phone held flat above them" },
    svg("rect", { x: 10, y: 12, width: 280, height: 216, rx: 4, fill: "#cfcfcf" }), ...squares,
    svg("rect", { x: 22, y: 22, width: 256, height: 190, rx: 12, fill: "none", stroke: "#111", "stroke-width": 5 }),
    svg("circle", { cx: 268, cy: 117, r: 5, fill: "#111" }));
}
