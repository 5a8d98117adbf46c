/** The pattern that a new one begins as: a plain block of squares, as large as the squares in hand allow. */

import { post } from "../frame/api.js";
import { uneven } from "./tiles.js";

export const FIRST_CLOTHS = [{ name: "feature", role: "feature" }, { name: "ground", role: "background", from: "yardage" }];

/** Nine squares of two cloths by turns. */
export function firstBlock(figure, ground) {
  return uneven([1, 1, 1], [1, 1, 1], (row, column) => ({ piece: (row + column) % 2 ? ground : figure, tone: 1 }));
}

/** @param {string} side of the squares in hand, inches; empty where none are known @returns {Promise<{data: any, drawn?: any}>} */
export async function firstPattern(side) {
  const block = firstBlock("feature", "ground");
  const data = { title: "My quilt", description: "Drawn on the page.", layout: { rows: 4, columns: 3, finished_block: "12" } };
  const drawn = { number: 0, ...block, cloths: FIRST_CLOTHS };
  if (!side) return { data, drawn };
  const told = await post("/api/patterns/check", { data, drawn });
  const made = await post("/api/patterns/rescale", { data: told.data, square: side });
  return { data: made.data };
}
