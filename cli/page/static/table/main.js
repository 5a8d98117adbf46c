/** The page of a phone or tablet on the table: first a code, then what is sewn. */

import { el, fill } from "../frame/dom.js";
import { enter, isIn, tokenOf } from "./enter.js";

const AGAIN = "The computer didn't give the rest of this page. Load it again.";
const main = document.getElementById("main");

/** Ask for a code, and go on once it is right. @param {string} [why] what happened, in words */
async function ask(why = "") {
  await enter(main, why);
  await goIn();
}

/** Show what is sewn, which is told to nobody before. */
async function goIn() {
  const there = await import("./room.js").catch(() => null);
  if (there) there.room(main, ask);
  else fill(main, el("p", { role: "alert", text: AGAIN })); // it has another version by now, or is away
}

if (!tokenOf() && await isIn()) goIn();
else ask();
