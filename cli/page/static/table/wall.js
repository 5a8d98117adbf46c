/** The whole wall, to see what hangs where; a block that is pressed is shown large. */

import { el, fill } from "../frame/dom.js";
import { drawWall, picture, placeAt, shape } from "./blocks.js";
import { hear, knows } from "./knows.js";
import { keepPlace } from "./sew.js";

/** @param {HTMLElement} main @param {HTMLElement} _foot @param {(name: string) => void} go */
export function wall(main, _foot, go) {
  let view = null;
  const see = (place) => {
    keepPlace(place);
    go("sew");
  };
  const shown = picture("whole-wall");
  const paint = () => { view = drawWall(shown, null, ["places"]); };
  shown.addEventListener("click", (event) => {
    const place = view && placeAt(shown, view, event);
    if (place) see(place);
  });
  const line = el("select", { "aria-label": "Block to see large", change: () => line.value && see(line.value) });
  const draw = () => {
    const hangs = knows.plan?.wall;
    if (!hangs) return fill(main, el("p.none", { role: "status", text: knows.plan ? knows.plan.problem ?? "Nothing hangs on the wall yet." : "Hanging the sets …" }));
    shown.setAttribute("aria-label", `The wall: ${hangs.blocks.length} blocks in ${hangs.rows} rows`);
    shown.style.aspectRatio = shape();
    fill(line, el("option", { value: "", text: "Choose a block" }), ...hangs.blocks.map((one) => el("option", { value: one.place, text: one.place })));
    if (!main.contains(shown)) {
      fill(main, el("h2", { text: knows.plan.title }), el("p.hint", { text: `${hangs.size}. Press a block to see it large.` }),
        el("div.whole.cloth-ground", {}, shown), line);
    }
    paint();
    return undefined;
  };
  const deaf = hear((what) => {
    if (what === "plan" || what === "ticks") draw();
    if (what === "cloth") paint();
  });
  addEventListener("resize", paint);
  draw();
  return () => {
    deaf();
    removeEventListener("resize", paint);
  };
}
