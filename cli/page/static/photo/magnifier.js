/** The photo's own pixels round a corner, enlarged. */

import { debounced, el } from "../frame/dom.js";

const SIZE = 168;
const NEAR = 5;
const AWAY = 30;
const PAUSE = 150;

/**
 * @param {HTMLElement} box that the photo is shown in @param {HTMLImageElement} picture
 * @returns {{ready: (points: number[][]) => void, look: Function, hide: () => void}}
 */
export function magnifier(box, picture) {
  const canvas = el("canvas.loupe", { width: SIZE, height: SIZE, "aria-hidden": "true", hidden: true });
  const pen = canvas.getContext("2d");
  let file = null;
  let part = null;
  let wanted = 0;
  box.append(canvas);

  /** Decode the photo round a square beside the page's own work, so that a drag needn't wait. */
  const ready = debounced(async (points) => {
    const mine = (wanted += 1);
    const [left, top, wide, high] = round(points, picture);
    try {
      file ??= fetch(picture.src).then((answer) => answer.blob());
      const bitmap = await createImageBitmap(await file, left, top, wide, high);
      if (mine === wanted && box.isConnected) part = { bitmap, left, top, wide, high };
    } catch {
      file = null; // the picture itself is drawn then
    }
  }, PAUSE);

  /** Show what is at a corner; `left` and `top` are where that is in the box. */
  const look = (points, place, left, top) => {
    const beside = left > box.clientWidth / 2 ? -SIZE - AWAY : AWAY;
    const up = Math.max(0, Math.min(box.clientHeight - SIZE, top - SIZE / 2));
    canvas.style.transform = `translate(${left + beside}px, ${up}px)`;
    const [x, y] = points[place];
    const half = SIZE / NEAR / 2;
    pen.imageSmoothingEnabled = false;
    pen.fillStyle = "#777";
    pen.fillRect(0, 0, SIZE, SIZE);
    if (part && x - half >= part.left && y - half >= part.top && x + half <= part.left + part.wide && y + half <= part.top + part.high) {
      pen.drawImage(part.bitmap, x - half - part.left, y - half - part.top, 2 * half, 2 * half, 0, 0, SIZE, SIZE);
    } else pen.drawImage(picture, x - half, y - half, 2 * half, 2 * half, 0, 0, SIZE, SIZE);
    sides(pen, points, place);
    canvas.hidden = false;
  };
  return { ready, look, hide: () => { canvas.hidden = true; } };
}

/** The part of the photo round a square, its own size wider on each side. */
function round(points, picture) {
  const [xs, ys] = [points.map((p) => p[0]), points.map((p) => p[1])];
  const more = Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)) / 2;
  const left = Math.max(0, Math.floor(Math.min(...xs) - more));
  const top = Math.max(0, Math.floor(Math.min(...ys) - more));
  const right = Math.min(Number(picture.getAttribute("width")), Math.ceil(Math.max(...xs) + more));
  const low = Math.min(Number(picture.getAttribute("height")), Math.ceil(Math.max(...ys) + more));
  return [left, top, Math.max(1, right - left), Math.max(1, low - top)];
}

/** Draw the square's two sides that meet at a corner, white on black. */
function sides(pen, points, place) {
  const [x, y] = points[place];
  const from = (point) => [(point[0] - x) * NEAR + SIZE / 2, (point[1] - y) * NEAR + SIZE / 2];
  for (const [width, colour] of [[4, "#000"], [2, "#fff"]]) {
    pen.lineWidth = width;
    pen.strokeStyle = colour;
    pen.beginPath();
    pen.moveTo(...from(points[(place + 3) % 4]));
    pen.lineTo(SIZE / 2, SIZE / 2);
    pen.lineTo(...from(points[(place + 1) % 4]));
    pen.stroke();
  }
}
