/** The block as it is drawn: its grid, its units, and what is done to them by pointer, finger and key. */

import { el, svg } from "../frame/dom.js";
import { draft } from "./draft.js";
import { clothWords, paintTone } from "./tones.js";
import { covers, tileAt } from "./tiles.js";

const CELL = 100;
const NEAR = 6;
const ARROWS = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };

/**
 * @param {Map<string, any>} units
 * @param {{tap: (row: number, column: number, part: number) => void, move: (from: number, to: number) => void,
 *   key: (event: KeyboardEvent, row: number, column: number) => boolean, select: (row: number, column: number) => void}} heed
 */
export function blockStage(units, heed) {
  const paper = svg("svg", { class: "block-drawing" });
  const box = el("div.block-stage.cloth-ground", { tabindex: 0, role: "application", "aria-roledescription": "block", "aria-describedby": "block-told" }, paper);
  let at = { row: 0, column: 0 };
  let down = null;

  const cell = (event) => {
    const block = draft.blocks[draft.chosen];
    const area = paper.getBoundingClientRect();
    const column = Math.floor(((event.clientX - area.left) / area.width) * block.across);
    const row = Math.floor(((event.clientY - area.top) / area.height) * block.down);
    return row >= 0 && column >= 0 && row < block.down && column < block.across ? { row, column } : null;
  };
  const partOf = (event) => Number(document.elementFromPoint(event.clientX, event.clientY)?.dataset?.part ?? 0);

  paper.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    down = { ...cell(event), x: event.clientX, y: event.clientY, part: partOf(event) };
  });
  paper.addEventListener("pointerup", (event) => {
    const to = cell(event);
    if (!down || !to || down.row === undefined) return;
    const block = draft.blocks[draft.chosen];
    const far = Math.hypot(event.clientX - down.x, event.clientY - down.y) > NEAR;
    const [from, over] = [tileAt(block, down.row, down.column), tileAt(block, to.row, to.column)];
    at = to;
    if (far && from !== over) heed.move(from, over);
    else heed.tap(to.row, to.column, down.part);
    down = null;
  });
  box.addEventListener("keydown", (event) => {
    const way = ARROWS[event.key];
    const block = draft.blocks[draft.chosen];
    if (way && block) {
      event.preventDefault();
      at = { row: clamp(at.row + way[0], block.down), column: clamp(at.column + way[1], block.across) };
      heed.select(at.row, at.column);
    } else if (heed.key(event, at.row, at.column)) event.preventDefault();
  });

  const drawStage = (selected) => {
    const block = draft.blocks[draft.chosen];
    if (!block) return;
    if (selected) at = selected;
    at = { row: clamp(at.row, block.down), column: clamp(at.column, block.across) };
    const number = tileAt(block, at.row, at.column);
    paper.setAttribute("viewBox", `0 0 ${block.across * CELL} ${block.down * CELL}`);
    paper.replaceChildren(...block.tiles.map((tile) => drawnTile(tile, units)), ...lines(block), ...outline(block.tiles[number]));
    box.setAttribute("aria-label", `Row ${at.row + 1}, column ${at.column + 1}: ${tileWords(block.tiles[number], units)}`);
  };
  return { box, draw: drawStage, cell, at: () => at };
}

function clamp(value, count) {
  return Math.max(0, Math.min(value, count - 1));
}

/** @param {any} tile */
export function drawnTile(tile, units) {
  const unit = units.get(tile.unit);
  const [wide, high] = [tile.wide * CELL, tile.high * CELL];
  const group = svg("g", { transform: `translate(${tile.column * CELL} ${tile.row * CELL})` });
  unit?.parts.forEach((part, number) => {
    for (const polygon of part.polygons) {
      const points = polygon.map(([x, y]) => spun(x, y, tile.turn)).map(([x, y]) => `${x * wide},${y * high}`).join(" ");
      const bare = !tile.paints[number]?.piece;
      group.append(svg("polygon", { points, "data-part": number, class: bare ? "bare" : null, style: { fill: paintTone(tile.paints[number]) } }));
    }
  });
  return group;
}

function spun(x, y, turn) {
  let point = [x, y];
  for (let quarter = 0; quarter < turn / 90; quarter += 1) point = [1 - point[1], point[0]];
  return point;
}

/** The grid, and each seam: a dark line with a light one beside it, so that it shows over any cloth. */
function lines(block) {
  const path = [];
  for (let row = 0; row < block.down; row += 1) {
    for (let column = 0; column < block.across; column += 1) {
      const own = block.tiles.find((tile) => covers(tile, row, column));
      if (!own || !covers(own, row, column + 1)) path.push(`M${(column + 1) * CELL} ${row * CELL}v${CELL}`);
      if (!own || !covers(own, row + 1, column)) path.push(`M${column * CELL} ${(row + 1) * CELL}h${CELL}`);
    }
  }
  const d = path.join("");
  return [svg("path", { d, class: "grid-light" }), svg("path", { d, class: "grid-dark" })];
}

function outline(tile) {
  if (!tile) return [];
  const place = { x: tile.column * CELL + 3, y: tile.row * CELL + 3, width: tile.wide * CELL - 6, height: tile.high * CELL - 6 };
  return [svg("rect", { ...place, class: "chosen-light" }), svg("rect", { ...place, class: "chosen-dark" })];
}

/** A tile in words. */
export function tileWords(tile, units) {
  if (!tile) return "empty";
  const cloths = tile.paints.map(({ piece, tone }) => {
    const cloth = draft.cloths.find((one) => one.name === piece);
    return cloth ? clothWords(cloth, tone) : piece || "no cloth";
  });
  const turn = tile.turn ? `, turned ${tile.turn} degrees` : "";
  return `${units.get(tile.unit)?.says ?? tile.unit}, ${[...new Set(cloths)].join(" and ")}${turn}`;
}

/** A small picture of a unit, its parts in greys. @param {any} unit */
export function unitPicture(unit) {
  const [wide, high] = unit.wide >= unit.high ? [1, unit.high / unit.wide] : [unit.wide / unit.high, 1];
  const shades = ["hsl(0 0% 30%)", "hsl(0 0% 94%)", "hsl(0 0% 54%)", "hsl(0 0% 40%)", "hsl(0 0% 82%)"];
  const several = unit.parts.length > 5;
  const shade = (number) => {
    const group = several && unit.groups.length ? unit.groups.findIndex((own) => own.includes(number)) : number;
    return shades[Math.max(0, group) % shades.length];
  };
  return svg("svg", { viewBox: `-1 -1 ${wide * 40 + 2} ${high * 40 + 2}`, class: "unit-picture", "aria-hidden": "true" }, ...unit.parts.flatMap((part, number) =>
    part.polygons.map((polygon) => svg("polygon", { points: polygon.map(([x, y]) => `${x * wide * 40},${y * high * 40}`).join(" "), style: { fill: shade(number) } }))));
}
