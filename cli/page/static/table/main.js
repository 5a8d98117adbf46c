/** The page of a phone or tablet on the table: first a code, then what is sewn. */

import { enter, isIn, tokenOf } from "./enter.js";

const main = document.getElementById("main");

/** Ask for a code, and go on once it is right. @param {string} [why] what happened, in words */
async function ask(why = "") {
  await enter(main, why);
  const { room } = await import("./room.js");
  room(main, ask);
}

if (!tokenOf() && await isIn()) (await import("./room.js")).room(main, ask);
else ask();
