/** What was done and isn't with the server yet: kept over a reload, sent one after the other. */

import { Lost, post } from "./api.js";
import { contact, lost, onContact } from "./contact.js";
import { since, whole } from "./since.js";

const KEY = "not sent yet";

/**
 * @typedef {object} Change
 * @property {number} bundle @property {string} to end of the address @property {object} body
 * @property {number} seen version of the bundle on which it was done
 * @property {string} [said] what to say when it is done
 * @property {boolean} [tried] whether it was sent, and no answer came
 */

/** @type {Change[]} */
export const waiting = read();
const done = new WeakMap();
let answers = { accepted: (change, view) => {}, refused: async (changes, error) => {}, held: (bundle) => null };
const heard = new Set();
let sending = false;

/** Hear when there are more or fewer. @param {() => void} does */
export function onWaiting(does) {
  heard.add(does);
}

/** Say what becomes of answers, and send what waits. */
export function answer(given) {
  answers = given;
  send();
}

/** Put a change behind those that wait. @param {Change} change @returns {Promise<boolean>} whether it was done */
export function put(change) {
  waiting.push(change);
  keep();
  const ended = new Promise((go) => { done.set(change, go); });
  send();
  return ended;
}

async function send() {
  if (sending) return;
  sending = true;
  try {
    while (waiting.length && !contact.away) await first();
  } finally {
    sending = false;
  }
}

async function first() {
  const change = waiting[0];
  const { seen } = change;
  const body = { ...change.body, version: seen, ...(change.tried ? { again: true } : {}) };
  change.tried = true;
  keep();
  try {
    const had = answers.held(change.bundle);
    const told = await post(`/api/bundle/${change.bundle}/${change.to}${since(had)}`, body, { keepalive: JSON.stringify(body).length < 60_000 });
    const view = whole(told, had);
    for (const one of waiting) if (one.bundle === change.bundle && one.seen === seen) one.seen = view.version;
    drop([change]);
    answers.accepted(change, view);
    done.get(change)?.(true);
  } catch (error) {
    if (error instanceof Lost || error.status === 403) return lost();
    const gone = error.status === 409 ? waiting.filter((one) => one.bundle === change.bundle) : [change];
    drop(gone);
    await answers.refused(gone, error);
    for (const one of gone) done.get(one)?.(false);
  }
  return undefined;
}

function drop(gone) {
  waiting.splice(0, waiting.length, ...waiting.filter((one) => !gone.includes(one)));
  keep();
}

function keep() {
  try {
    sessionStorage.setItem(KEY, JSON.stringify(waiting));
  } catch { /* without room it is kept as long as the page stays */ }
  for (const does of heard) does();
}

function read() {
  try {
    return JSON.parse(sessionStorage.getItem(KEY)) ?? [];
  } catch {
    return [];
  }
}

onContact((back) => { if (back) send(); });
