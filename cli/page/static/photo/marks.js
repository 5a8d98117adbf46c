/** Outlines and labels of a photo's squares, in black and white, as cloth has every other colour. */

import { svg } from "../frame/dom.js";
import { square, state } from "../frame/store.js";

/** From which doubt on a square is to be looked at again. */
export const DOUBTFUL = 0.25;
/** How far along its sides the corner of a reserved square is cut off, and how much smaller one that is set aside is drawn. */
const CUT = 0.4;
const ASIDE = 0.22;

/** What becomes of a square. @returns {"free"|"reserved"|"used"|"aside"} */
export function standing(one) {
  if (!one.state) return "free";
  if (one.stage === "sewn" || one.marks.includes("cut")) return "used";
  return one.project ? "reserved" : "aside";
}

/** Whether a square is still to be looked at. */
export function doubtful(one) {
  return one.asked ?? one.doubt >= DOUBTFUL;
}

/**
 * @param {SVGElement} room @param {number} photo
 * @returns {{draw: Function, choose: (id: number) => void, outline: (id: number, points: number[][]) => void}}
 */
export function marks(room, photo) {
  const shown = new Map();
  const first = svg("polygon", { class: "first" });
  const under = svg("polygon", { class: "first under" });
  /** Where squares lie that are being measured anew. */
  const moved = new Map();
  let chosen = 0;

  const add = (id) => {
    const parts = {
      under: svg("polygon", { class: "under" }), inner: svg("polyline", { class: "inner under" }), within: svg("polyline", { class: "inner" }),
      outline: svg("polygon", { "data-square": id }), label: svg("text", { class: "label" }),
    };
    shown.set(id, parts);
    room.append(...Object.values(parts));
  };
  const draw = () => {
    const gone = new Set(shown.keys());
    for (const one of state.view.squares) {
      if (one.photo !== photo) continue;
      gone.delete(one.id);
      if (!shown.has(one.id)) add(one.id);
      dress(shown.get(one.id), one, chosen, moved.get(one.id));
    }
    for (const id of gone) {
      for (const part of Object.values(shown.get(id))) part.remove();
      shown.delete(id);
    }
  };
  /** Bring one to the fore, with the outline that the photo said where a person moved it. */
  const choose = (id) => {
    const changed = [chosen, id].filter((one) => shown.has(one));
    chosen = id;
    for (const one of changed) dress(shown.get(one), square(one), chosen, moved.get(one));
    const parts = shown.get(id);
    if (parts) room.append(...Object.values(parts));
    const one = square(id);
    const elsewhere = parts && one.seen && String(one.seen.corners) !== String(one.corners);
    for (const each of [under, first]) {
      if (elsewhere) each.setAttribute("points", pointsOf(one.seen.corners));
      if (elsewhere) room.append(each);
      else each.remove();
    }
  };
  /** Draw a square where its corners are moved to, before they are kept. */
  const outline = (id, points) => {
    const parts = shown.get(id);
    if (parts) place(parts, points, square(id));
  };
  /** Draw a square where it was moved to until it is measured. @param {number[][]} points @param {boolean} [done] */
  const measuring = (id, points, done = false) => {
    if (!done) moved.set(id, points);
    else if (moved.get(id) === points) moved.delete(id);
    if (shown.has(id) && square(id)) dress(shown.get(id), square(id), chosen, moved.get(id));
  };
  return { draw, choose, outline, measuring, lies: (id) => moved.get(id) ?? square(id)?.corners, measured: (id) => !moved.has(id) };
}

function dress(parts, one, chosen, moved) {
  const classes = { outline: true, [standing(one)]: true, doubtful: doubtful(one), chosen: one.id === chosen, measuring: Boolean(moved) };
  const said = Object.keys(classes).filter((name) => classes[name]).join(" ");
  parts.outline.setAttribute("class", said);
  parts.under.setAttribute("class", `${said} under`.replace("outline ", ""));
  place(parts, moved ?? one.corners, one);
  parts.label.textContent = moved ? "measuring …" : doubtful(one) ? `${one.label} ?` : one.label;
}

function place({ outline, under, inner, within, label }, corners, one) {
  for (const each of [outline, under]) each.setAttribute("points", pointsOf(corners));
  const lines = pointsOf(form(standing(one), corners));
  for (const each of [inner, within]) each.setAttribute("points", lines);
  const [[x0, y0], [x1, y1]] = corners;
  const [x, y] = middle(corners);
  label.setAttribute("x", x);
  label.setAttribute("y", y);
  label.style.setProperty("--side", String(Math.hypot(x1 - x0, y1 - y0)));
}

/** The line within a square that says what becomes of it; none in a free one. */
function form(what, corners) {
  const [a, b, c] = corners;
  if (what === "reserved") return [between(b, a, CUT), between(b, c, CUT)];
  if (what === "used") return [a, c];
  if (what === "free") return [];
  const at = middle(corners);
  const small = corners.map((corner) => between(corner, at, 2 * ASIDE));
  return [...small, small[0]];
}

function between([x0, y0], [x1, y1], part) {
  return [x0 + part * (x1 - x0), y0 + part * (y1 - y0)];
}

function middle(corners) {
  return [0, 1].map((way) => corners.reduce((sum, point) => sum + point[way], 0) / corners.length);
}

/** Corners as SVG has them. @param {number[][]} corners */
export function pointsOf(corners) {
  return corners.map((point) => point.join(",")).join(" ");
}
