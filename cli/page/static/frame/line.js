/** The line to calicount, told in the head: whether it answers, and what waits for it. */

import { button, el, fill } from "./dom.js";
import { contact, look, onContact } from "./contact.js";
import { onWaiting, waiting } from "./queue.js";

const heard = [];
let parts = [];

/** Tell something more in the head while it lasts. @param {() => Node | null} tells */
export function beside(tells) {
  parts = [...parts, tells];
}

/** What the head and the strip below it tell, drawn anew. */
export function drawLine() {
  fill(document.getElementById("line"), parts.map((tells) => tells()));
  const strip = document.getElementById("away");
  strip.hidden = !contact.away;
  fill(strip, contact.away ? [el("span", { text: away() }), button("Look now", look, { data: { key: "line-look" } })] : []);
}

function away() {
  const number = waiting.length;
  const held = number ? ` ${number === 1 ? "What you did since is" : `${number} things that you did since are`} kept, and sent when it is back.` : "";
  if (contact.shut) return `${contact.shut}.${held}`;
  if (contact.ended) return `calicount was ended. Start it again with: calicount open. This page then carries on.${held}`;
  return `calicount doesn't answer. It is looked for again and again.${held}`;
}

/** Whether leaving would lose something. @param {() => boolean} asks */
export function holdsLeaving(asks) {
  heard.push(asks);
}

holdsLeaving(() => contact.away && waiting.length > 0);
addEventListener("beforeunload", (event) => {
  if (heard.some((asks) => asks())) event.preventDefault();
});
onContact(drawLine);
onWaiting(() => { if (contact.away) drawLine(); });
