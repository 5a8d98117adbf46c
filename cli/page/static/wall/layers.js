/** What may lie over the drawn quilt: names, numbers, arrows and ticks, white with a black rim so that they show on any cloth. */

import { centreOf, inQuilt, reach, shownBlocks } from "./quilt.js";

const LEGIBLE = 11;
const SMALLEST_BLOCK = 30;
const SMALLEST_PIECE = 34;

/** By name what each layer is called. */
export const LAYERS = [
  ["places", "Places"], ["labels", "Labels"], ["sets", "Set numbers"], ["press", "Pressing"], ["sewn", "Sewn"], ["ways", "Print direction"],
];

/**
 * @param {HTMLCanvasElement} canvas @param {any} geometry @param {{scale: number, x: number, y: number}} view
 * @param {Set<string>} on names of layers @param {(id: number) => string} called
 */
export function drawLayers(canvas, geometry, view, on, called) {
  const pen = start(canvas);
  pen.font = fontOf(canvas, 12);
  const blocks = shownBlocks(geometry, view, canvas);
  if (on.has("press")) for (const one of geometry.press) press(pen, view, one, canvas);
  for (const block of blocks) {
    const high = reach(geometry, block) * view.scale * Math.SQRT2;
    const at = (u, v) => onScreen(view, inQuilt(block, u, v));
    if (on.has("ways")) ways(pen, geometry, view, block, at);
    const taken = [];
    if (on.has("labels")) eachSquare(geometry, block, (id, [x, y, area]) => {
      if (Math.sqrt(area) * view.scale >= SMALLEST_PIECE) taken.push(word(pen, called(id), ...at(x, y), Math.min(15, Math.sqrt(area) * view.scale * 0.2)));
    });
    if (high < SMALLEST_BLOCK) continue;
    const size = Math.min(20, Math.max(LEGIBLE, high * 0.15));
    const corner = nearCorner(geometry, block);
    const middle = onScreen(view, block.at);
    if (on.has("sets")) for (const one of block.groups.filter(({ number }) => number)) {
      const [x, y] = middleOf(geometry, block, new Set(one.squares));
      word(pen, String(one.number), ...at(x, y), size * (on.has("labels") ? 0.9 : 1.1));
    }
    if (on.has("places")) word(pen, block.place, ...freeCorner(pen, block.place, middle, corner * view.scale, size, taken), size);
    if (on.has("sewn") && block.done) tick(pen, middle[0] + corner * view.scale, middle[1] + corner * view.scale, size);
  }
  pen.restore();
}

/** A rim round a block or some of its faces: what is picked up, aimed at, or has changed. @param {"picked"|"target"|"focus"|"changed"} how */
export function drawRim(canvas, geometry, view, block, squares, how) {
  const pen = start(canvas);
  const path = new Path2D();
  geometry.kinds[block.kind].forEach((face, n) => {
    if (squares && !squares.has(block.f[n])) return;
    for (let k = 0; k < face.p.length; k += 2) {
      const [x, y] = onScreen(view, inQuilt(block, face.p[k], face.p[k + 1]));
      if (k) path.lineTo(x, y);
      else path.moveTo(x, y);
    }
    path.closePath();
  });
  const wide = how === "focus" ? 3 : 5;
  pen.setLineDash(how === "target" ? [8, 5] : how === "changed" ? [2, 4] : []);
  const rim = squares ? path : outline(geometry, block, view);
  double(pen, () => pen.stroke(rim), wide);
  pen.restore();
}

/** Differences between neighbours, each between the middles of two blocks. @param {{places: string[], says: string}[]} told */
export function drawDifferences(canvas, geometry, view, told) {
  const pen = start(canvas);
  pen.font = fontOf(canvas, 13);
  const at = new Map(geometry.blocks.map((block) => [block.place, block.at]));
  for (const { places, says } of told) {
    const [one, other] = places.map((place) => onScreen(view, at.get(place)));
    word(pen, says, (one[0] + other[0]) / 2, (one[1] + other[1]) / 2, 14);
  }
  pen.restore();
}

/** How far sets stand out from a cloth, each at its set; those that hardly do have a rim. @param {{place: string, squares: number[], says: string, lost: boolean}[]} steps */
export function drawSteps(canvas, geometry, view, steps) {
  if (!steps.length) return;
  const pen = start(canvas);
  pen.font = fontOf(canvas, 13);
  const at = new Map(geometry.blocks.map((block) => [block.place, block]));
  for (const { place, squares, lost } of steps) if (lost) drawRim(canvas, geometry, view, at.get(place), new Set(squares), "changed");
  for (const { place, squares, says } of steps) {
    const block = at.get(place);
    if (reach(geometry, block) * view.scale * Math.SQRT2 < SMALLEST_BLOCK) continue;
    word(pen, says, ...onScreen(view, inQuilt(block, ...middleOf(geometry, block, new Set(squares)))), 14);
  }
  pen.restore();
}

function start(canvas) {
  const pen = canvas.getContext("2d");
  const ratio = devicePixelRatio || 1;
  pen.save();
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  Object.assign(pen, { textAlign: "center", textBaseline: "middle", lineJoin: "round", lineCap: "round" });
  return pen;
}

function fontOf(canvas, size) {
  return `600 ${size}px ${getComputedStyle(canvas).fontFamily}`;
}

function onScreen(view, [x, y]) {
  return [x * view.scale + view.x, y * view.scale + view.y];
}

/** Inches from a block's middle, right and down alike, to where a word near its corner stands. */
function nearCorner(geometry, block) {
  return reach(geometry, block) * (block.t % 90 ? 0.42 : 0.5);
}

/** Where near a block's corners a word covers none that stands there already: the upper left one if it can be. */
function freeCorner(pen, text, [x, y], corner, size, taken) {
  const corners = [[-1, -1], [-1, 1], [1, 1], [1, -1]].map(([right, down]) => [x + right * corner, y + down * corner]);
  const free = ([left, top]) => {
    const own = roomOf(pen, text, left, top, size);
    return !taken.some((one) => Math.abs(one.x - own.x) < (one.wide + own.wide) / 2 && Math.abs(one.y - own.y) < (one.high + own.high) / 2);
  };
  return corners.find(free) ?? corners[0];
}

/** The room that a word takes about its middle, once the pen has its size. */
function roomOf(pen, text, x, y, size) {
  pen.font = pen.font.replace(/[\d.]+px/, `${Math.max(LEGIBLE, size).toFixed(1)}px`);
  return { x, y, wide: pen.measureText(text).width, high: Math.max(LEGIBLE, size) };
}

/** @returns {{x: number, y: number, wide: number, high: number}} the room that it takes */
function word(pen, text, x, y, size) {
  const room = roomOf(pen, text, x, y, size);
  pen.lineWidth = Math.max(3, size / 4);
  pen.strokeStyle = "#000";
  pen.strokeText(text, x, y);
  pen.fillStyle = "#fff";
  pen.fillText(text, x, y);
  return room;
}

function double(pen, does, wide) {
  pen.strokeStyle = "#000";
  pen.lineWidth = wide + 2;
  does();
  pen.strokeStyle = "#fff";
  pen.lineWidth = Math.max(1, wide - 2);
  does();
}

function outline(geometry, block, view) {
  const kind = geometry.kinds[block.kind];
  const xs = kind.flatMap(({ p }) => p.filter((_, n) => n % 2 === 0));
  const ys = kind.flatMap(({ p }) => p.filter((_, n) => n % 2));
  const [left, right, top, low] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const path = new Path2D();
  for (const [n, [u, v]] of [[left, top], [right, top], [right, low], [left, low]].entries()) {
    const [x, y] = onScreen(view, inQuilt(block, u, v));
    if (n) path.lineTo(x, y);
    else path.moveTo(x, y);
  }
  path.closePath();
  return path;
}

/** Tell of each square of a block where its largest face is. */
function eachSquare(geometry, block, tell) {
  const largest = new Map();
  geometry.kinds[block.kind].forEach((face, n) => {
    const id = block.f[n];
    if (id <= 0) return;
    const [x, y, area] = centreOf(face);
    if (area > (largest.get(id)?.[2] ?? 0) * 1.001) largest.set(id, [x, y, area]);
  });
  for (const [id, where] of largest) tell(id, where);
}

/** The middle of all faces of some squares. */
export function middleOf(geometry, block, squares) {
  let [x, y, all] = [0, 0, 0];
  geometry.kinds[block.kind].forEach((face, n) => {
    if (!squares.has(block.f[n])) return;
    const [u, v, area] = centreOf(face);
    x += u * area;
    y += v * area;
    all += area;
  });
  return all ? [x / all, y / all] : [0, 0];
}

function ways(pen, geometry, view, block, at) {
  const one = new Set(block.ways);
  if (!one.size) return;
  geometry.kinds[block.kind].forEach((face, n) => {
    if (!one.has(block.f[n])) return;
    const [x, y, area] = centreOf(face);
    const long = 0.36 * Math.sqrt(area) * view.scale;
    if (long >= 9) arrow(pen, ...at(x, y), (block.turns?.[n] ?? face.t ?? 0) + block.t, long);
  });
}

function press(pen, view, [x, y, turn, long], canvas) {
  const size = Math.min(16, long * view.scale * 0.4);
  const [left, top] = onScreen(view, [x, y]);
  if (size < 5 || left < -20 || top < -20 || left > canvas.clientWidth + 20 || top > canvas.clientHeight + 20) return;
  arrow(pen, left, top, turn, size);
}

function arrow(pen, x, y, turn, long) {
  const [right, down] = [Math.sin((turn * Math.PI) / 180), -Math.cos((turn * Math.PI) / 180)];
  const [tipX, tipY] = [x + (right * long) / 2, y + (down * long) / 2];
  const wing = long * 0.4;
  double(pen, () => {
    pen.beginPath();
    pen.moveTo(x - (right * long) / 2, y - (down * long) / 2);
    pen.lineTo(tipX, tipY);
    pen.moveTo(tipX - (right + down * 0.7) * wing, tipY - (down - right * 0.7) * wing);
    pen.lineTo(tipX, tipY);
    pen.lineTo(tipX - (right - down * 0.7) * wing, tipY - (down + right * 0.7) * wing);
    pen.stroke();
  }, 3.5);
}

function tick(pen, x, y, size) {
  double(pen, () => {
    pen.beginPath();
    pen.moveTo(x - size * 0.45, y);
    pen.lineTo(x - size * 0.1, y + size * 0.4);
    pen.lineTo(x + size * 0.5, y - size * 0.45);
    pen.stroke();
  }, 5);
}
