/** Work of the server that takes longer than a second: what is being done, and the way to stop it. */

import { post } from "./api.js";
import { follow } from "./live.js";

const PATIENCE = 1000;
const heard = new Set();
follow("work", (told) => { for (const does of heard) does(told); });

/**
 * Tell what is done while an answer is waited for, once that takes long.
 * @param {number} bundle @param {(words: string) => void} tells in a few words; empty where nothing is known yet
 * @returns {() => void} to be called when the answer is there
 */
export function whileWaiting(bundle, tells) {
  let words = "";
  let late = false;
  const hear = (told) => {
    if (told.bundle !== bundle) return;
    ({ words } = told);
    if (late) tells(words);
  };
  const timer = setTimeout(() => {
    late = true;
    tells(words);
  }, PATIENCE);
  heard.add(hear);
  return () => {
    clearTimeout(timer);
    heard.delete(hear);
  };
}

/** Let the server end what it does with a bundle, at its next step. */
export function stopWork(bundle) {
  post(`/api/bundle/${bundle}/stop`).catch(() => { /* it ends by itself */ });
}
