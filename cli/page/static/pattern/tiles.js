/** Units on the grid of a block: placing, turning, mirroring, copying by symmetry. Nothing is asked or drawn here. */

/**
 * @typedef {{unit: string, row: number, column: number, wide: number, high: number, turn: number,
 *   paints: {piece: string, tone: number}[], at_a_time?: number|null, trimmed?: boolean}} Tile
 * @typedef {{across: number, down: number, tiles: Tile[]}} Block
 */

/** Ways to copy what is done: none, by half a turn, by quarter turns, left and right, both ways. */
export const SYMMETRIES = [
  ["", "One at a time"], ["half", "Twice, turned"], ["quarter", "Four times, turned"],
  ["mirror", "Left and right alike"], ["both", "All four sides alike"],
];

/** @param {Tile} tile @param {number} row @param {number} column */
export function covers(tile, row, column) {
  return row >= tile.row && row < tile.row + tile.high && column >= tile.column && column < tile.column + tile.wide;
}

/** @param {Block} block */
export function tileAt(block, row, column) {
  return block.tiles.findIndex((tile) => covers(tile, row, column));
}

/** A plain square of a cloth. @returns {Tile} */
export function square(row, column, paint) {
  return { unit: "square", row, column, wide: 1, high: 1, turn: 0, paints: [paint] };
}

/** Lay a tile; what it covers goes, and what that leaves bare becomes squares of a cloth. @param {Block} block @param {Tile} tile @returns {Block} */
export function lay(block, tile, ground) {
  const wide = Math.min(tile.wide, block.across);
  const high = Math.min(tile.high, block.down);
  const own = { ...tile, wide, high, row: Math.max(0, Math.min(tile.row, block.down - high)), column: Math.max(0, Math.min(tile.column, block.across - wide)) };
  const overlaps = (one) => one.row < own.row + own.high && own.row < one.row + one.high && one.column < own.column + own.wide && own.column < one.column + one.wide;
  const left = block.tiles.filter((one) => !overlaps(one));
  return filled({ ...block, tiles: [...left, own] }, ground);
}

/** A block whose bare cells are squares of a cloth, and whose tiles lie within it. @param {Block} block @returns {Block} */
export function filled(block, ground) {
  const tiles = block.tiles.filter((one) => one.row + one.high <= block.down && one.column + one.wide <= block.across);
  const made = { ...block, tiles };
  for (let row = 0; row < block.down; row += 1) {
    for (let column = 0; column < block.across; column += 1) {
      if (tileAt(made, row, column) < 0) tiles.push(square(row, column, ground(row, column)));
    }
  }
  tiles.sort((one, other) => one.row - other.row || one.column - other.column);
  return made;
}

/** A grid of uneven columns and rows, each cell a square or a rectangle. @param {number[]} columns @param {number[]} rows */
export function uneven(columns, rows, ground) {
  const sum = (list) => list.reduce((one, other) => one + other, 0);
  const tiles = [];
  rows.forEach((high, r) => columns.forEach((wide, c) => {
    const paints = [ground(r, c)];
    tiles.push({ unit: wide === high ? "square" : "rectangle", row: sum(rows.slice(0, r)), column: sum(columns.slice(0, c)), wide, high, turn: 0, paints });
  }));
  return { across: sum(columns), down: sum(rows), tiles };
}

/** A tile turned a quarter to the right in its place. @param {Tile} tile @returns {Tile} */
export function turned(tile, quarters = 1) {
  const turn = (((tile.turn + 90 * quarters) % 360) + 360) % 360;
  return quarters % 2 ? { ...tile, turn, wide: tile.high, high: tile.wide } : { ...tile, turn };
}

/** A tile seen in a mirror that stands upright; null where no unit looks so. @param {Tile} tile @param {Map<string, any>} units */
export function mirrored(tile, units) {
  const seen = units.get(tile.unit)?.mirrored;
  if (!seen) return null;
  const turn = (seen.turn - tile.turn + 720) % 360;
  return { ...tile, unit: seen.unit, turn, paints: seen.parts.map((part) => tile.paints[part]) };
}

/** The tile and its copies by a symmetry, where they lie. @param {Block} block @param {Tile} tile @returns {Tile[]} */
export function copies(block, tile, symmetry, units) {
  const { across, down } = block;
  const half = (one) => ({ ...turned(one, 2), row: down - one.row - one.high, column: across - one.column - one.wide });
  const quarter = (one) => ({ ...turned(one, 1), row: one.column, column: across - one.row - one.high });
  const aside = (one) => {
    const seen = mirrored(one, units);
    return seen && { ...seen, row: one.row, column: across - one.column - one.wide };
  };
  const below = (one) => {
    const seen = mirrored(turned(one, 2), units);
    return seen && { ...seen, row: down - one.row - one.high, column: one.column };
  };
  if (symmetry === "half") return apart([tile, half(tile)]);
  if (symmetry === "quarter" && across === down) {
    const found = [tile];
    for (let time = 0; time < 3; time += 1) found.push(quarter(found[time]));
    return apart(found);
  }
  if (symmetry === "mirror") return apart([tile, aside(tile)]);
  if (symmetry === "both") return apart([tile, aside(tile), below(tile), half(tile)]);
  return [tile];
}

/** Those of tiles that lie in places of their own. */
function apart(tiles) {
  const found = [];
  for (const one of tiles.filter(Boolean)) {
    if (!found.some((other) => one.row < other.row + other.high && other.row < one.row + one.high && one.column < other.column + other.wide && other.column < one.column + one.wide)) found.push(one);
  }
  return found;
}

/** A unit turned so that it can lie in so many cells; null where it can't. @param {any} unit @param {number} wide @param {number} high */
export function fitting(unit, wide, high) {
  if (unit.free || unit.wide * high === unit.high * wide) return 0;
  return unit.wide * wide === unit.high * high ? 90 : null;
}

/** A known block, or a proposal, as tiles. @param {any} known @param {Map<string, string>} cloths which piece each colour is */
export function tilesOf(known, cloths) {
  const tiles = [];
  const units = new Map(known.unit.map((one) => [one.mark, one]));
  known.grid.forEach((line, row) => line.split(" ").forEach((text, column) => {
    const unit = units.get(text[0]);
    if (!unit) return;
    const turn = Number(text.slice(1)) || 0;
    const [wide, high] = turn % 180 ? [unit.high ?? 1, unit.wide ?? 1] : [unit.wide ?? 1, unit.high ?? 1];
    tiles.push({ unit: unit.unit, row, column, wide, high, turn, paints: unit.fabrics.map((name) => ({ piece: cloths.get(name) ?? name, tone: 1 })) });
  }));
  return { across: known.across, down: known.down, tiles };
}
