/** The sets, each with its cloth. */

import { el, fill } from "../frame/dom.js";
import { crop } from "./crops.js";
import { called, hear, knows, loadSets } from "./knows.js";

/** @param {HTMLElement} main */
export function sets(main) {
  const draw = () => {
    const found = knows.sets;
    if (!found) return fill(main, el("p.none", { role: "status", text: "Looking which squares go together …" }));
    fill(main, el("h2", { text: `${found.sets.length} sets` }),
      el("ol.set-list", {}, ...found.sets.map((one) => el("li", {},
        el("div.set-cloth.cloth-ground", {}, ...one.squares.map((id) => crop(id))),
        el("strong", { text: `Set ${one.number}` }),
        el("span", { text: `${one.squares.map(called).join(" and ")}: ${one.words}` }),
        el("span.hint", { text: [one.locked ? "locked" : "", one.same_fabric ? "one fabric" : ""].filter(Boolean).join(", ") })))),
      el("p.caution", { text: knows.start.caution }));
    return undefined;
  };
  const deaf = hear((what) => {
    if (what === "sets") draw();
    if (what === "bundle") loadSets();
  });
  draw();
  if (knows.bundle) loadSets();
  return deaf;
}
