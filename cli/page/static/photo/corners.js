/** The four corners of the chosen square, to be dragged or moved by key, with a magnifier. */

import { el } from "../frame/dom.js";
import { magnifier } from "./magnifier.js";
import { act, called, square } from "../frame/store.js";

const NAMES = ["top left", "top right", "bottom right", "bottom left"];

/**
 * Handles over a stage.
 * @param {import("./stage.js").Stage} at
 * @param {{outline: (id: number, points: number[][]) => void, lies: (id: number) => number[][], measuring: (id: number, points: number[][], done?: boolean) => void}} given
 */
export function corners(at, given) {
  const loupe = magnifier(at.box, at.picture);
  const handles = NAMES.map((name, place) => el("button.handle", { type: "button", hidden: true, data: { place } }));
  at.box.append(...handles);
  let id = 0;
  /** @type {number[][]} */
  let points = [];
  let changed = false;

  const put = () => {
    points.forEach(([x, y], place) => {
      const [left, top] = at.toBox(x, y);
      handles[place].style.transform = `translate(${left}px, ${top}px)`;
    });
  };
  const outline = () => {
    given.outline(id, points);
    put();
  };
  const look = (place) => loupe.look(points, place, ...at.toBox(...points[place]));
  const shift = (place, x, y) => {
    const wide = Number(at.picture.getAttribute("width"));
    const high = Number(at.picture.getAttribute("height"));
    points[place] = [Math.min(wide, Math.max(0, x)), Math.min(high, Math.max(0, y))];
    changed = true;
    outline();
    look(place);
  };
  const keep = async () => {
    loupe.hide();
    if (!changed) return;
    changed = false;
    const mine = id;
    const moved = points.map((point) => [...point]);
    given.measuring(mine, moved);
    await act([{ kind: "corners", square: mine, corners: moved }], `The outline of ${called(mine)} is put right.`);
    given.measuring(mine, moved, true);
  };

  handles.forEach((handle, place) => {
    handle.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      event.stopPropagation();
      handle.focus();
      handle.setPointerCapture(event.pointerId);
      look(place);
    });
    handle.addEventListener("pointermove", (event) => {
      if (handle.hasPointerCapture(event.pointerId)) shift(place, ...at.toPhoto(event.clientX, event.clientY));
    });
    handle.addEventListener("pointerup", keep);
    handle.addEventListener("pointercancel", keep);
    handle.addEventListener("blur", keep);
    handle.addEventListener("keydown", (event) => {
      const far = event.shiftKey ? 10 : 1;
      const ways = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, -far], ArrowDown: [0, far] };
      const [x, y] = points[place];
      if (event.key in ways) shift(place, x + ways[event.key][0], y + ways[event.key][1]);
      else if (event.key === "Enter") keep();
      else if (event.key === "Escape") {
        changed = false;
        loupe.hide();
        choose(id);
        at.box.focus();
      } else return;
      event.preventDefault();
      event.stopPropagation();
    });
  });
  at.onMove(put);

  /** Show the handles of a square; of none for 0. */
  function choose(number) {
    if (changed && number === id) return;
    id = number;
    const one = square(id);
    points = one ? given.lies(id).map((point) => [...point]) : [];
    changed = false;
    loupe.hide();
    handles.forEach((handle, place) => {
      handle.hidden = !one;
      if (one) handle.setAttribute("aria-label", `Corner of ${one.label}, ${NAMES[place]}; arrow keys move it`);
    });
    if (one) {
      outline();
      loupe.ready(points);
    }
  }
  return { choose };
}
