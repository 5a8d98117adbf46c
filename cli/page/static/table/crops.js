/** Pictures of cloth, held in memory, so that they are there where the network is not. */

import { el } from "../frame/dom.js";
import { square, tell } from "./knows.js";

const AT_ONCE = 4;
const held = new Map();
const wanted = [];
let busy = 0;

/** How many of the pictures asked for are held. */
export function progress() {
  return { held: held.size, wanted: held.size + wanted.length + busy };
}

/** Fetch the cloth of squares, those of the first soonest. @param {number[]} ids */
export function hold(ids) {
  for (const id of ids) {
    const key = keyOf(id);
    if (key && !held.has(key) && !wanted.includes(key)) wanted.push(key);
  }
  while (busy < AT_ONCE && wanted.length) fetchNext();
}

/** Let go of all. */
export function letGo() {
  for (const address of held.values()) URL.revokeObjectURL(address);
  held.clear();
  wanted.length = 0;
}

/** A square's cloth. @param {number} id @returns {HTMLElement} */
export function crop(id, alt = "") {
  const key = keyOf(id);
  const shown = el("img.crop", { alt, decoding: "async", draggable: "false", src: held.get(key) ?? key, style: { background: square(id)?.hex } });
  return shown;
}

function keyOf(id) {
  const one = square(id);
  return one ? `/api/crop/${id}.jpg?v=${encodeURIComponent(one.v ?? "")}` : "";
}

async function fetchNext() {
  const key = wanted.shift();
  busy += 1;
  let there = false;
  try {
    const answer = await fetch(key, { credentials: "same-origin" });
    if (answer.ok) held.set(key, URL.createObjectURL(await answer.blob()));
    there = true;
  } catch {
    wanted.push(key); // asked for again when the computer answers
  }
  busy -= 1;
  tell("held");
  if (there && wanted.length) fetchNext();
}
