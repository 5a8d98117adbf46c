/** Whether calicount answers: noticed when it doesn't, and looked for again by itself. */

const PAUSES = [1000, 2000, 4000, 8000, 15000, 30000];

/** `away`: it doesn't answer; `shut`: it answers, but lets this page in no more, and says why. */
export const contact = { away: false, ended: false, shut: "" };

const heard = new Set();
let tries = 0;
let timer = 0;

/** Hear when it goes and when it is back. @param {(back: boolean) => void} does */
export function onContact(does) {
  heard.add(does);
}

/** It gave no answer, or said that it ends. */
export function lost(ended = false) {
  if (ended) contact.ended = true;
  if (contact.away) return;
  contact.away = true;
  tries = 0;
  wait();
  for (const does of heard) does(false);
}

/** Look for it at once. */
export async function look() {
  clearTimeout(timer);
  if (await answers()) back();
  else if (contact.away) wait();
  else lost();
}

function wait() {
  clearTimeout(timer);
  timer = setTimeout(look, PAUSES[Math.min(tries, PAUSES.length - 1)]);
  tries += 1;
}

async function answers() {
  try {
    const answer = await fetch("/api/here", { credentials: "same-origin", cache: "no-store" });
    const told = await answer.json();
    contact.shut = answer.status === 403 ? `${told.problem}; ${told.cure}` : "";
    return answer.ok;
  } catch {
    contact.shut = "";
    return false;
  }
}

function back() {
  if (!contact.away) return;
  Object.assign(contact, { away: false, ended: false, shut: "" });
  for (const does of heard) does(true);
}

addEventListener("online", () => contact.away && look());
document.addEventListener("visibilitychange", () => { if (contact.away && !document.hidden) look(); });
