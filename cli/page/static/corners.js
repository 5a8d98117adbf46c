/** The four corners of the chosen square, to be dragged or moved by key, with a magnifier. */

import { el, svg } from "./dom.js";
import { act, called, square } from "./store.js";

const NAMES = ["top left", "top right", "bottom right", "bottom left"];
const LOUPE = 168;
const NEAR = 5;

/**
 * Handles over a stage.
 * @param {import("./stage.js").Stage} at
 * @param {(id: number) => SVGElement|undefined} outlineOf
 */
export function corners(at, outlineOf) {
  const loupe = el("canvas.loupe", { width: LOUPE, height: LOUPE, "aria-hidden": "true", hidden: true });
  const handles = NAMES.map((name, place) => el("button.handle", { type: "button", hidden: true, data: { place } }));
  at.box.append(loupe, ...handles);
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
    outlineOf(id)?.setAttribute("points", points.map((p) => p.join(",")).join(" "));
    put();
  };
  const look = (place) => {
    const [x, y] = points[place];
    const [left, top] = at.toBox(x, y);
    const away = left > at.box.clientWidth / 2 ? -LOUPE - 30 : 30;
    loupe.style.transform = `translate(${left + away}px, ${Math.max(0, Math.min(at.box.clientHeight - LOUPE, top - LOUPE / 2))}px)`;
    draw(loupe, at.picture, points, place);
    loupe.hidden = false;
  };
  const shift = (place, x, y) => {
    const wide = Number(at.picture.getAttribute("width"));
    const high = Number(at.picture.getAttribute("height"));
    points[place] = [Math.min(wide, Math.max(0, x)), Math.min(high, Math.max(0, y))];
    changed = true;
    outline();
    look(place);
  };
  const keep = async () => {
    loupe.hidden = true;
    if (!changed) return;
    changed = false;
    await act([{ kind: "corners", square: id, corners: points }], `The outline of ${called(id)} is put right.`);
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
        loupe.hidden = true;
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
    points = one ? one.corners.map((point) => [...point]) : [];
    changed = false;
    loupe.hidden = true;
    handles.forEach((handle, place) => {
      handle.hidden = !one;
      if (one) handle.setAttribute("aria-label", `Corner of ${one.label}, ${NAMES[place]}; arrow keys move it`);
    });
    if (one) outline();
  }
  return { choose };
}

/** Draw the photo round a corner, enlarged, with the square's two sides. */
function draw(canvas, picture, points, place) {
  const pen = canvas.getContext("2d");
  const [x, y] = points[place];
  const wide = LOUPE / NEAR;
  pen.imageSmoothingEnabled = false;
  pen.fillStyle = "#777";
  pen.fillRect(0, 0, LOUPE, LOUPE);
  pen.drawImage(picture, x - wide / 2, y - wide / 2, wide, wide, 0, 0, LOUPE, LOUPE);
  const from = (point) => [(point[0] - x) * NEAR + LOUPE / 2, (point[1] - y) * NEAR + LOUPE / 2];
  for (const [width, colour] of [[4, "#000"], [2, "#fff"]]) {
    pen.lineWidth = width;
    pen.strokeStyle = colour;
    pen.beginPath();
    pen.moveTo(...from(points[(place + 3) % 4]));
    pen.lineTo(LOUPE / 2, LOUPE / 2);
    pen.lineTo(...from(points[(place + 1) % 4]));
    pen.stroke();
  }
}

/** An outline over the photo. */
export function outlineShape(one) {
  return svg("polygon", { points: one.corners.map((p) => p.join(",")).join(" ") });
}
