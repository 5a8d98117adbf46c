/** Photos on their way to the bundle. */

import { el } from "../frame/dom.js";
import { get, upload } from "../frame/api.js";
import { begin, complain, open, say, state } from "../frame/store.js";

const AT_ONCE = 2;
const PAUSE = 400;

/**
 * Send photos and follow each until it is read.
 * @param {File[]} photos @param {string} bundle @param {string} side @param {HTMLElement} list
 */
export async function send(photos, bundle, side, list) {
  const waiting = [...photos];
  const done = [];
  const worker = async () => {
    for (let file = waiting.shift(); file; file = waiting.shift()) {
      const line = el("li", {}, el("strong", { text: file.name }), el("span", { text: "being sent" }));
      list.append(line);
      try {
        const { job } = await upload(file, bundle, side);
        done.push(await follow(job, list, line));
      } catch (error) {
        line.lastChild.textContent = error.message;
        line.classList.add("failed");
      }
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, worker));
  await begin().catch(complain);
  const last = done.filter((one) => one?.bundle).pop();
  if (last) {
    say(`${done.length} of ${photos.length} photos are read into ${bundle}.`);
    if (done.length === photos.length && !list.querySelector(".failed") && !state.view) {
      location.hash = `#bundle/${last.bundle}/photo`;
    } else if (state.view?.id === last.bundle) await open(last.bundle).catch(complain);
  }
}

/** Follow a job. @returns {Promise<any>} the job when done */
export async function follow(job, list, line) {
  if (!line) {
    line = el("li", {}, el("strong", { text: "Photo" }), el("span", { text: "" }));
    list.append(line);
  }
  for (;;) {
    const told = await get(`/api/jobs/${job}`);
    if (told.name) line.firstChild.textContent = told.name;
    line.lastChild.textContent = told.state === "failed" ? `${told.problem}; ${told.cure}.` : told.words;
    line.className = told.state;
    if (told.state === "done" || told.state === "failed") {
      if (told.bundle && told.state === "done") {
        line.append(el("a", { href: `#bundle/${told.bundle}/photo`, text: "Look it over" }));
      }
      return told.state === "done" ? told : null;
    }
    await new Promise((go) => { setTimeout(go, PAUSE); });
  }
}
