/** Outlines and labels of a photo's squares. */

import { svg } from "../frame/dom.js";
import { square, state } from "../frame/store.js";

/** From which doubt on a square is to be looked at again. */
export const DOUBTFUL = 0.25;

/**
 * @param {SVGElement} room @param {number} photo
 * @returns {{draw: Function, choose: (id: number) => void, outlineOf: (id: number) => SVGElement|undefined}}
 */
export function marks(room, photo) {
  const shown = new Map();
  const first = svg("polygon", { class: "first" });
  let chosen = 0;

  const add = (id) => {
    const parts = { outline: svg("polygon", { "data-square": id }), label: svg("text", { class: "label" }) };
    shown.set(id, parts);
    room.append(parts.outline, parts.label);
  };
  const draw = () => {
    const gone = new Set(shown.keys());
    for (const one of state.view.squares) {
      if (one.photo !== photo) continue;
      gone.delete(one.id);
      if (!shown.has(one.id)) add(one.id);
      dress(shown.get(one.id), one, chosen);
    }
    for (const id of gone) {
      shown.get(id).outline.remove();
      shown.get(id).label.remove();
      shown.delete(id);
    }
  };
  /** Bring one to the fore, with the outline that the photo said where a person moved it. */
  const choose = (id) => {
    const changed = [chosen, id].filter((one) => shown.has(one));
    chosen = id;
    for (const one of changed) dress(shown.get(one), square(one), chosen);
    const parts = shown.get(id);
    if (parts) room.append(parts.outline, parts.label);
    const one = square(id);
    const moved = parts && one.seen && String(one.seen.corners) !== String(one.corners);
    if (moved) first.setAttribute("points", pointsOf(one.seen.corners));
    if (moved) room.append(first);
    else first.remove();
  };
  return { draw, choose, outlineOf: (id) => shown.get(id)?.outline };
}

function dress({ outline, label }, one, chosen) {
  const doubtful = one.doubt >= DOUBTFUL;
  const classes = { outline: true, doubtful, used: Boolean(one.state), chosen: one.id === chosen };
  outline.setAttribute("points", pointsOf(one.corners));
  outline.setAttribute("class", Object.keys(classes).filter((name) => classes[name]).join(" "));
  const [[x0, y0], [x1, y1]] = one.corners;
  const middle = [0, 1].map((way) => one.corners.reduce((sum, point) => sum + point[way], 0) / 4);
  label.setAttribute("x", middle[0]);
  label.setAttribute("y", middle[1]);
  label.style.setProperty("--side", String(Math.hypot(x1 - x0, y1 - y0)));
  label.textContent = doubtful ? `${one.label} ?` : one.label;
}

/** Corners as SVG has them. @param {number[][]} corners */
export function pointsOf(corners) {
  return corners.map((point) => point.join(",")).join(" ");
}
