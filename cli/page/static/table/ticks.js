/** What was ticked as sewn: shown at once, kept by the device, sent as soon as the computer answers. */

import { post, Lost } from "../frame/api.js";
import { asking, did, hear, knows, soon, tell } from "./knows.js";

const SHELF = "ticks";
let sending = false;

/** Ticks that wait to be sent. @returns {any[]} */
export function waiting() {
  try {
    return JSON.parse(localStorage.getItem(SHELF)) ?? [];
  } catch {
    return [];
  }
}

/** Whether a block is sewn, as far as this device knows. */
export function isSewn(block) {
  const said = waiting().find((one) => isOf(one, block));
  return said ? said.on : block.done;
}

/** Tick a block, or take its tick away. */
export function tick(block, on) {
  const others = waiting().filter((one) => !isOf(one, block));
  const { key: wall } = knows.plan.wall;
  keep([...others, { bundle: knows.bundle.id, wall, place: block.place, squares: block.squares, on }]);
  tell("ticks");
  send();
}

/** Send what waits, one after another. */
export async function send() {
  if (sending) return;
  sending = true;
  try {
    for (let next = waiting()[0]; next; next = waiting()[0]) {
      if (!(await sent(next))) return;
      keep(waiting().filter((one) => JSON.stringify(one) !== JSON.stringify(next)));
      tell("ticks");
    }
  } finally {
    sending = false;
  }
}

/** Send one; false where it has to wait. */
async function sent(one) {
  const { bundle, ...said } = one;
  try {
    const told = await asking(() => post(`/api/bundle/${bundle}/ticks`, said, soon()));
    if (told && bundle === knows.bundle?.id) note(one, told.version);
    return Boolean(told);
  } catch (error) {
    if (error instanceof Lost || error.status >= 500) return false;
    tell("said", `${one.place}: ${error.message}`);
    return true;
  }
}

/** The plan holds what was sent; it is asked for anew where more than that has changed. */
function note(one, version) {
  const block = knows.plan?.wall?.blocks.find((other) => isOf(one, other));
  if (block) {
    block.done = one.on;
    knows.plan.digest = ""; // it is no longer as the computer told it
  }
  did(version);
}

function isOf(one, block) {
  return one.bundle === knows.bundle?.id && one.wall === knows.plan?.wall?.key && inOrder(one.squares) === inOrder(block.squares);
}

function inOrder(squares) {
  return String([...squares].sort((one, other) => one - other));
}

function keep(all) {
  localStorage.setItem(SHELF, JSON.stringify(all));
}

hear((what) => {
  if (what === "near" || what === "plan" || (what === "away" && !knows.away)) send();
});
