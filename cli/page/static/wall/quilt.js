/** A quilt drawn from its faces: every piece of cloth in its place. What lies where, the server says. */

import { clothOf } from "./cloth.js";

const WANTING = "#808080";
const SEAM = "rgb(0 0 0 / 0.3)";
const FINE = 0.5;

/**
 * @typedef {object} Geometry what `/api/bundle/…/quilt` tells, in inches
 * @property {number} wide @property {number} long
 * @property {{name: string, hex: string}[]} cloths
 * @property {Face[][]} kinds @property {Face[]} under @property {Face[]} over
 * @property {Block[]} blocks
 * @typedef {{p: number[], m: number[], s: number[], t?: number, f?: number}} Face
 * @typedef {{place: string, kind: number, at: number[], t: number, f: number[], turns?: Object<number, number>}} Block
 * @typedef {{scale: number, x: number, y: number}} View pixels to the inch, and where the quilt's corner lies
 */

/**
 * Draw a quilt.
 * @param {HTMLCanvasElement} canvas as large as it is shown
 * @param {Geometry} geometry
 * @param {object} [options]
 * @param {View} [options.view] the whole quilt if not given
 * @param {ReturnType<typeof clothOf>} [options.cloth] pictures of the cloth; plain colours until they are there
 * @param {(place: string) => Block|undefined} [options.instead] what is shown at a place for a while
 * @param {boolean} [options.quick] drawn less finely, while it moves
 * @returns {View} as it was drawn
 */
export function drawQuilt(canvas, geometry, options = {}) {
  const ratio = devicePixelRatio || 1;
  const [wide, high] = [Math.round(canvas.clientWidth * ratio), Math.round(canvas.clientHeight * ratio)];
  if (canvas.width !== wide || canvas.height !== high) Object.assign(canvas, { width: wide, height: high });
  const view = options.view ?? wholeOf(geometry, canvas.clientWidth, canvas.clientHeight);
  const pen = canvas.getContext("2d");
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.clearRect(0, 0, wide, high);
  pen.save();
  pen.imageSmoothingQuality = options.quick ? "low" : "medium";
  const scale = view.scale * ratio;
  pen.setTransform(scale, 0, 0, scale, view.x * ratio, view.y * ratio);
  pen.beginPath();
  pen.rect(0, 0, geometry.wide, geometry.long);
  pen.clip();
  const brush = { pen, geometry, cloth: options.cloth ?? clothOf(geometry), scale };
  layerOn(brush, geometry.under);
  for (const block of shownBlocks(geometry, view, canvas)) {
    pen.setTransform(...matrixOf(block, scale, view.x * ratio, view.y * ratio));
    blockOn(brush, options.instead?.(block.place) ?? block);
  }
  pen.setTransform(scale, 0, 0, scale, view.x * ratio, view.y * ratio);
  layerOn(brush, geometry.over);
  pen.restore();
  return view;
}

/**
 * Draw one block alone, in the middle of a canvas.
 * @param {HTMLCanvasElement} canvas @param {Geometry} geometry @param {Block} block
 * @param {{cloth?: ReturnType<typeof clothOf>, side?: number, only?: Set<number>|null}} [options] `side`: pixels of the
 *   canvas as it is shown; `only`: the squares of it that are drawn
 */
export function drawBlock(canvas, geometry, block, { cloth = clothOf(geometry), side = canvas.clientWidth, only = null } = {}) {
  const [wide, high] = [0, 0].fill(Math.round(side * (devicePixelRatio || 1)));
  Object.assign(canvas, { width: wide, height: high });
  const pen = canvas.getContext("2d");
  const scale = Math.min(wide, high) / (2 * reach(geometry, block) * (block.t % 90 ? 1 : Math.SQRT1_2));
  pen.setTransform(...matrixOf({ ...block, at: [0, 0] }, scale, wide / 2, high / 2));
  blockOn({ pen, geometry, cloth, scale }, block, only);
}

/** How the whole quilt lies in a room. @returns {View} */
export function wholeOf(geometry, wide, high, rim = 0.02) {
  const scale = Math.max(0.01, Math.min(wide / geometry.wide, high / geometry.long) * (1 - 2 * rim));
  return { scale, x: (wide - geometry.wide * scale) / 2, y: (high - geometry.long * scale) / 2 };
}

/** The block at a point of the quilt, and which of its faces. @returns {{block: Block, face: number}|null} */
export function blockAt(geometry, x, y) {
  for (const block of geometry.blocks) {
    const [u, v] = inBlock(block, x, y);
    const far = reach(geometry, block);
    if (Math.abs(u) > far || Math.abs(v) > far) continue;
    const face = geometry.kinds[block.kind].findIndex((one) => inside(one.p, u, v));
    if (face >= 0) return { block, face };
  }
  return null;
}

/** A point of a block in the quilt. @returns {[number, number]} */
export function inQuilt(block, u, v) {
  const turn = (block.t * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  return [block.at[0] + u * cos - v * sin, block.at[1] + u * sin + v * cos];
}

function inBlock(block, x, y) {
  return inQuilt({ at: [0, 0], t: -block.t }, x - block.at[0], y - block.at[1]);
}

/** The middle of a face and its area. @returns {[number, number, number]} */
export function centreOf({ p }) {
  let [x, y, area] = [0, 0, 0];
  for (let n = 0; n < p.length; n += 2) {
    const m = (n + 2) % p.length;
    const part = p[n] * p[m + 1] - p[m] * p[n + 1];
    area += part;
    x += (p[n] + p[m]) * part;
    y += (p[n + 1] + p[m + 1]) * part;
  }
  return area ? [x / (3 * area), y / (3 * area), Math.abs(area) / 2] : [p[0], p[1], 0];
}

/** Half of the longest way across a block of a kind, inches. */
export function reach(geometry, block) {
  const kind = geometry.kinds[block.kind];
  kind.reach ??= Math.max(0.01, ...kind.map(({ p }) => Math.max(...p.map((_, n) => (n % 2 ? 0 : Math.hypot(p[n], p[n + 1]))))));
  return kind.reach;
}

/** The blocks that are seen. */
export function shownBlocks(geometry, view, room) {
  return geometry.blocks.filter((block) => {
    const far = reach(geometry, block) * view.scale;
    const [x, y] = [block.at[0] * view.scale + view.x, block.at[1] * view.scale + view.y];
    return x > -far && y > -far && x < room.clientWidth + far && y < room.clientHeight + far;
  });
}

function matrixOf(block, scale, x, y) {
  const turn = (block.t * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn) * scale, Math.sin(turn) * scale];
  return [cos, sin, -sin, cos, x + block.at[0] * scale, y + block.at[1] * scale];
}

function blockOn(brush, block, only = null) {
  const faces = brush.geometry.kinds[block.kind];
  faces.forEach((face, n) => {
    if (!only || only.has(block.f[n])) fillFace(brush, face, block.f[n], block.turns?.[n] ?? face.t ?? 0);
  });
  if (only) return;
  faces.seams ??= joined(faces);
  seams(brush, faces.seams);
}

/** Faces that lie in the quilt itself: those of one cloth at once. */
function layerOn(brush, faces) {
  faces.byCloth ??= grouped(faces);
  for (const own of faces.byCloth) {
    const [first] = own;
    if (first.f > 0) own.forEach((face) => fillFace(brush, face, face.f, face.t ?? 0));
    else fillFace(brush, { ...first, path: (own.path ??= joined(own)) }, first.f, first.t ?? 0);
  }
  faces.seams ??= joined(faces);
  seams(brush, faces.seams);
}

/** Faces one after another, those together that follow each other and are of one cloth. */
function grouped(faces) {
  const found = [];
  for (const face of faces) {
    const last = found.at(-1);
    if (last && last[0].f === face.f) last.push(face);
    else found.push([face]);
  }
  return found;
}

function seams({ pen, scale }, path) {
  pen.strokeStyle = SEAM;
  pen.lineWidth = Math.max(FINE, scale / 28) / scale;
  pen.stroke(path);
}

function fillFace({ pen, geometry, cloth, scale }, face, filling, turn) {
  const picture = filling > 0 ? cloth.square(filling, Math.max(...face.s) * scale) : filling < 0 ? cloth.bought(-filling - 1) : null;
  if (!picture) {
    pen.fillStyle = filling > 0 ? geometry.squares[filling]?.[1] ?? WANTING : filling < 0 ? geometry.cloths[-filling - 1].hex : WANTING;
    pen.fill(pathOf(face));
    return;
  }
  if (picture.onto?.(pen, face, turn)) return;
  pen.fillStyle = picture.over(pen, face, turn);
  pen.fill(pathOf(face));
}

function pathOf(face) {
  face.path ??= joined([face]);
  return face.path;
}

function joined(faces) {
  const path = new Path2D();
  for (const { p } of faces) {
    path.moveTo(p[0], p[1]);
    for (let n = 2; n < p.length; n += 2) path.lineTo(p[n], p[n + 1]);
    path.closePath();
  }
  return path;
}

function inside(p, x, y) {
  let within = false;
  for (let n = 0, m = p.length - 2; n < p.length; m = n, n += 2) {
    if (p[n + 1] > y !== p[m + 1] > y && x < ((p[m] - p[n]) * (y - p[n + 1])) / (p[m + 1] - p[n + 1]) + p[n]) within = !within;
  }
  return within;
}
