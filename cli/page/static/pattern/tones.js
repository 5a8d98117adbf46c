/** How cloth is shown that nobody has photographed yet: greys by what it is for, or a colour that a person chose. */

import { draft } from "./draft.js";

const GREYS = { feature: [30, 42, 54, 22], small: [48, 60, 36], background: [94, 82, 88, 74], edge: [90], sashing: [70, 62], post: [26], spacer: [86, 78], border: [44, 66, 34, 56], binding: [18] };
const STEP = 14;

/** The tone of a cloth. @param {string} role @param {string} cloth @param {number} [which] of a set's squares, 1 the darkest */
export function toneOf(role, cloth, which = 1) {
  const chosen = draft.tints[cloth || role];
  const set = draft.cloths.find((one) => one.name === cloth || one.pieces.includes(cloth))?.match ?? 1;
  const lighter = ((which - 1) % set) * STEP;
  if (chosen) return lighter ? `color-mix(in oklab, ${chosen}, white ${lighter * 1.6}%)` : chosen;
  const own = draft.cloths.filter((one) => one.role === role).findIndex((one) => one.name === cloth || one.pieces.includes(cloth) || one.cloth === cloth);
  const home = own < 0 ? draft.cloths.find((one) => one.name === cloth || one.cloth === cloth) : null;
  if (home && home.role !== role) return toneOf(home.role, cloth, which);
  const greys = GREYS[role] ?? GREYS.background;
  const place = own >= 0 ? own : [...(cloth || "")].reduce((sum, sign) => sum + sign.charCodeAt(0), 0);
  return grey(Math.min(97, greys[place % greys.length] + lighter));
}

function grey(lightness) {
  return `hsl(0 0% ${lightness}%)`;
}

/** How many squares a set of a cloth has. */
export function matchOf(cloth) {
  return draft.cloths.find((one) => one.name === cloth)?.match ?? 1;
}

/** The tone of a painted part. @param {{piece: string, tone: number}} paint */
export function paintTone(paint) {
  const cloth = draft.cloths.find((one) => one.name === paint?.piece);
  return cloth ? toneOf(cloth.role, cloth.name, paint.tone) : "none";
}

/** A colour for a chooser, which takes no other way to write one. @param {string} role @param {string} cloth */
export function hexOf(role, cloth) {
  const chosen = draft.tints[cloth || role];
  if (chosen) return chosen;
  const [, lightness] = /(\d+)%\)/.exec(toneOf(role, cloth)) ?? [null, "50"];
  const part = Math.round(Number(lightness) * 2.55).toString(16).padStart(2, "0");
  return `#${part}${part}${part}`;
}

/** A cloth in words. @param {any} cloth @param {number} [tone] */
export function clothWords(cloth, tone) {
  const match = cloth.match ?? 1;
  if (match === 1 || !tone) return cloth.name;
  const of = match === 2 ? ["darker", "lighter"] : ["darkest", ...Array.from({ length: match - 2 }, (_, n) => `${n + 2}.`), "lightest"];
  return `${cloth.name}, ${of[tone - 1]}`;
}
