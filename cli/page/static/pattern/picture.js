/** The quilt as it will look, live, from the polygons that the server tells. */

import { svg } from "../frame/dom.js";
import { toneOf } from "./tones.js";

const MOST = 1500;

/** @param {any} drawing @param {string} says what it shows @param {string} [mark] tells it from other pictures on the page @returns {SVGElement} */
export function quiltPicture(drawing, says, mark = "") {
  const { width, length, block: [wide, long], on_point: onPoint } = drawing;
  const box = svg("svg", { viewBox: `0 0 ${width} ${length}`, class: "quilt-drawing", role: "img", "aria-label": says, preserveAspectRatio: "xMidYMid meet" });
  const kinds = drawing.blocks.map((faces, number) => svg("g", { id: `drawn-block-${mark}${number}` },
    ...faces.map((face) => shape({ ...face, points: scaled(face.points, wide, long) }))));
  box.append(svg("defs", {}, ...kinds), ...drawing.below.map(shape));
  for (const [number, x, y, turn] of drawing.spots.slice(0, MOST)) {
    const lean = onPoint ? 45 : 0;
    box.append(svg("use", { href: `#drawn-block-${mark}${number}`, transform: `translate(${x} ${y}) rotate(${turn + lean}) translate(${-wide / 2} ${-long / 2})` }));
  }
  box.append(...drawing.above.map(shape));
  return box;
}

function shape({ points, role, cloth, which }) {
  return svg("polygon", { points, style: { fill: toneOf(role, cloth, which) } });
}

function scaled(points, wide, long) {
  return points.split(" ").map((pair) => {
    const [x, y] = pair.split(",").map(Number);
    return `${(x * wide).toFixed(3)},${(y * long).toFixed(3)}`;
  }).join(" ");
}
