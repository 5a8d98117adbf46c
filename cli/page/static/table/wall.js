/** The whole wall, to see what hangs where. */

import { el, fill } from "../frame/dom.js";
import { wallMap } from "./blocks.js";
import { hear, knows } from "./knows.js";

/** @param {HTMLElement} main */
export function wall(main) {
  const draw = () => {
    const hangs = knows.plan?.wall;
    if (!hangs) return fill(main, el("p.none", { role: "status", text: knows.plan ? knows.plan.problem ?? "Nothing hangs on the wall yet." : "Hanging the sets …" }));
    fill(main, el("h2", { text: knows.plan.title }), el("p.hint", { text: hangs.size }),
      el("div.whole.cloth-ground", {}, wallMap(hangs, null, `The wall: ${hangs.rows} rows of ${hangs.columns}`)));
    return undefined;
  };
  const deaf = hear((what) => { if (what === "plan" || what === "ticks") draw(); });
  draw();
  return deaf;
}
