/** What the bundle is counted for, and how that stands: shared by the plan, the wall and the files. */

import { post } from "../frame/api.js";
import { state, tell } from "../frame/store.js";
import { stopWork, whileWaiting } from "../frame/working.js";

/**
 * @typedef {object} Wish
 * @property {string|{text: string}|null} pattern null for sets alone
 * @property {string} [file] name of the pattern file that the text is from
 * @property {number} [rows] @property {number} [columns] @property {string} [seam] @property {string} [order]
 * @property {string} [precut] what cloth is bought as, if not by the yard
 * @property {string} [pinked] "tips" where pinked edges were measured there
 */

/** How the wish of the open bundle stands; `plan` is the server's answer to it, `late` what is done where that takes long. */
export const standing = { plan: null, problem: "", busy: false, late: null };

let key = "";
let asking = null;

/** @returns {Wish} */
export function wish() {
  try {
    const told = JSON.parse(localStorage.getItem(shelf())) ?? { pattern: null };
    return told.pattern?.form ? { ...told, pattern: null } : told;
  } catch {
    return { pattern: null };
  }
}

/** Wish for something else; the rest stays. @param {Partial<Wish>} changes */
export function wishFor(changes) {
  const text = JSON.stringify({ ...wish(), ...changes });
  localStorage.setItem(shelf(), text);
  return loadPlan();
}

/** Wish for something of a bundle that isn't open. @param {number} bundle @param {Partial<Wish>} changes */
export function leaveWish(bundle, changes) {
  const at = `wish ${bundle}`;
  const had = JSON.parse(localStorage.getItem(at) ?? "{}");
  const text = JSON.stringify({ ...had, ...changes });
  localStorage.setItem(at, text);
}

// Another tab wished for something else: the bundle has one pattern, wherever it is looked at.
addEventListener("storage", ({ key: at }) => {
  if (!state.view || at !== shelf()) return;
  tell("wish");
  loadPlan();
});

/** Load the plan of the wish for the version at hand; those who hear are told "plan". */
export async function loadPlan() {
  const { view } = state;
  if (!view) return;
  const asks = body();
  const wanted = `${view.id} ${view.version} ${JSON.stringify(asks)}`;
  if (wanted === key) return;
  if (!key.startsWith(`${view.id} `)) standing.plan = null;
  key = wanted;
  asking?.abort();
  asking = new AbortController();
  standing.busy = true;
  tell("plan");
  let plan = standing.plan;
  let problem = "";
  const ended = whileWaiting(view.id, (words) => {
    standing.late = words;
    tell("plan");
  });
  asking.signal.addEventListener("abort", ended);
  standing.late = null;
  try {
    plan = await post(`/api/bundle/${view.id}/plan`, asks, { signal: asking.signal });
  } catch (error) {
    if (error.name === "AbortError") return;
    if (error.status === 409) {
      key = ""; // it was overtaken: whoever changed the bundle has it planned anew
      return;
    }
    problem = error.message;
  } finally {
    ended();
  }
  if (key !== wanted) return;
  if (problem) key = "";
  Object.assign(standing, { plan: problem ? null : plan, problem, busy: false, late: null });
  tell("plan");
}

/** Wait for the plan no longer. */
export function stopPlan() {
  asking?.abort();
  key = "";
  stopWork(state.view.id);
  Object.assign(standing, { plan: null, problem: "Stopped: nothing is counted.", busy: false, late: null });
  tell("plan");
}

/** The wish as it is sent. */
export function body() {
  return asked(wish());
}

/** The wish as the address of a picture or file has it. */
export function query() {
  const { pattern, ...rest } = body();
  const found = new URLSearchParams(Object.entries(rest).map(([name, value]) => [name, String(value)]));
  if (pattern) found.set("pattern", typeof pattern === "string" ? pattern : JSON.stringify(pattern));
  const text = found.toString();
  return text ? `?${text}` : "";
}

function asked({ pattern, rows, columns, seam, order, precut, pinked }) {
  const sent = { pattern };
  if (rows && columns) Object.assign(sent, { rows, columns });
  if (seam) sent.seam = seam;
  if (order) sent.order = order;
  if (precut) sent.precut = precut;
  if (pinked) sent.pinked = pinked;
  return sent;
}

function shelf() {
  return `wish ${state.view?.id}`;
}
