/** A block as it hangs, and where on the wall: drawn from the cloth of its squares. */

import { el, svg } from "../frame/dom.js";
import { crop } from "./crops.js";
import { square } from "./knows.js";
import { isSewn } from "./ticks.js";

/** A block's cloth as it hangs. @returns {HTMLElement} */
export function blockPicture(block, wall) {
  const two = block.squares.length === 2;
  const columns = two ? 2 : Math.ceil(Math.sqrt(Math.max(1, block.squares.length)));
  const cells = two ? [block.squares[0], block.squares[1], block.squares[1], block.squares[0]] : block.squares;
  return el("div.block-picture", {
    role: "img", "aria-label": block.squares.length ? `The block at ${block.place} as it hangs, ${block.turned}` : `Bought cloth at ${block.place}`,
    style: { gridTemplateColumns: `repeat(${columns}, 1fr)`, aspectRatio: `${wall.block_in} / ${wall.block_long_in}`, rotate: wall.on_point ? "45deg" : "" },
  }, ...cells.map((id) => crop(id)));
}

/** The wall in small, with one block marked and what is sewn ticked. @returns {SVGElement} */
export function wallMap(wall, here, words) {
  const { wide_in: wide, long_in: long, block_in: side, block_long_in: high } = wall;
  const line = Math.max(wide, long) / 160;
  const parts = wall.blocks.map((block) => {
    const at = wall.on_point ? `rotate(45 ${block.x} ${block.y})` : null;
    const box = { x: block.x - side / 2, y: block.y - high / 2, width: side, height: high, transform: at };
    return svg("g", {},
      svg("rect", { ...box, fill: square(block.squares[0])?.hex ?? "#808080" }),
      isSewn(block) ? svg("path", { class: "map-tick", d: tickAt(block, side), "stroke-width": line * 1.6 }) : null);
  });
  const block = wall.blocks.find((one) => one === here);
  const frame = block ? [["map-outer", 4], ["map-inner", 1.6]].map(([name, times]) => svg("rect", {
    class: name, x: block.x - side / 2, y: block.y - high / 2, width: side, height: high, "stroke-width": line * times,
    transform: wall.on_point ? `rotate(45 ${block.x} ${block.y})` : null,
  })) : [];
  return svg("svg", { class: "wall-map", viewBox: `${-line * 3} ${-line * 3} ${wide + line * 6} ${long + line * 6}`, role: "img", "aria-label": words }, ...parts, ...frame);
}

function tickAt(block, side) {
  const s = side / 5;
  return `M${block.x - s} ${block.y} l${s * 0.8} ${s * 0.8} l${s * 1.3} ${-s * 1.6}`;
}
