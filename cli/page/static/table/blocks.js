/** A block among its neighbours, and the wall: drawn from the users' cloth as on the computer's page. */

import { el } from "../frame/dom.js";
import { clothOf } from "../wall/cloth.js";
import { drawLayers, drawRim } from "../wall/layers.js";
import { blockAt, drawQuilt, reach } from "../wall/quilt.js";
import { called, knows, tell } from "./knows.js";
import { isSewn } from "./ticks.js";

/** How much wider than the block the picture is: as much as shows what its seams meet. */
const ROOM = 1.24;
const LARGE = 1e4;

let waiting = 0;

/** Cloth is drawn once more when more of it is there, however many pictures come at a time. */
function comes() {
  waiting ||= requestAnimationFrame(() => {
    waiting = 0;
    tell("cloth");
  });
}

/** The quilt as it stands, with what this device ticked. */
function quilt() {
  const { quilt: geometry, plan } = knows;
  if (!geometry || !plan?.wall) return null;
  const done = new Map(plan.wall.blocks.map((block) => [block.place, isSewn(block)]));
  return { ...geometry, blocks: geometry.blocks.map((block) => ({ ...block, done: done.get(block.place) ?? false })) };
}

/** Get the cloth of squares ready to be drawn large. @param {number[]} ids */
export function ready(ids) {
  if (!knows.quilt) return;
  const cloth = clothOf(knows.quilt, comes);
  for (const id of ids) cloth.square(id, LARGE);
}

/** Draw a block as it hangs, with its labels and arrows that say which way its seams are pressed. */
export function drawHere(canvas, place) {
  const shown = quilt();
  const block = shown?.blocks.find((one) => one.place === place);
  if (!block || !canvas.clientWidth) return;
  const half = reach(shown, block) * (block.t % 90 ? 1 : Math.SQRT1_2) * ROOM;
  const scale = canvas.clientWidth / (2 * half);
  const view = { scale, x: canvas.clientWidth / 2 - block.at[0] * scale, y: canvas.clientHeight / 2 - block.at[1] * scale };
  drawQuilt(canvas, shown, { view, cloth: clothOf(knows.quilt, comes) });
  const alone = { ...shown, blocks: [block] };
  drawRim(canvas, shown, view, block, null, "focus");
  drawLayers(canvas, alone, view, new Set(["labels", "press", "ways"]), called);
}

/** Draw the whole wall, with ticks, and one block marked. @returns {any} how it lies in the canvas */
export function drawWall(canvas, place, layers = []) {
  const shown = quilt();
  if (!shown || !canvas.clientWidth) return null;
  const view = drawQuilt(canvas, shown, { cloth: clothOf(knows.quilt, comes) });
  drawLayers(canvas, shown, view, new Set(["sewn", ...layers]), called);
  const block = shown.blocks.find((one) => one.place === place);
  if (block) drawRim(canvas, shown, view, block, null, "focus");
  return view;
}

/** Whether all cloth is there that a small picture of the wall is drawn from. */
export function isWhole() {
  return Boolean(knows.quilt) && clothOf(knows.quilt, comes).ready();
}

/** The place at a point of a canvas on which the wall is drawn. */
export function placeAt(canvas, view, event) {
  const area = canvas.getBoundingClientRect();
  const [x, y] = [(event.clientX - area.left - view.x) / view.scale, (event.clientY - area.top - view.y) / view.scale];
  return knows.quilt ? blockAt(knows.quilt, x, y)?.block.place : undefined;
}

/** A canvas that a picture is drawn on. @param {string} kind its class */
export function picture(kind) {
  return el(`canvas.${kind}`, { role: "img" });
}

/** Width by height of the quilt, for the room that its picture takes. */
export function shape() {
  return knows.quilt ? `${knows.quilt.wide} / ${knows.quilt.long}` : "1";
}
