/** What the page knows of the bundle, and the one way to change it. */

import * as api from "./api.js";
import { isPlain, setsAfter, viewAfter } from "./atonce.js";
import { undisturbed } from "./dom.js";
import { lost, onContact } from "./contact.js";
import { follow, listen } from "./live.js";
import { answer, put, waiting } from "./queue.js";
import { since, whole } from "./since.js";
import { stopWork, whileWaiting } from "./working.js";

/**
 * What is shown: as the server told it last, and on top of that what plainly follows from what waits for its answer.
 * @type {{start: any, view: any, sets: any, squares: Map<number, any>}}
 */
export const state = { start: null, view: null, sets: null, squares: new Map() };
/** As the server told it last; `told` are the sets before what was done since. */
const served = { view: null, sets: null, told: null };

const listeners = new Set();

/** Hear of changes: "view", "sets", "working", "stopped", "start", "patterns", "said", "problem". */
export function hear(does) {
  listeners.add(does);
  return () => listeners.delete(does);
}

/** Tell all who hear. */
export function tell(what, more) {
  for (const does of [...listeners]) does(what, more);
}

/** Say something to everyone, screen readers too. */
export function say(text) {
  tell("said", text);
}

/** Show what went wrong; that the server is away is told in the head, as long as it is. */
export function complain(error) {
  if (error instanceof api.Lost) lost();
  else tell("problem", error);
}

/** Load what there is to begin with. */
export async function begin() {
  state.start = await api.get("/api/start");
  tell("start");
  return state.start;
}

/** Open a bundle. @param {number} id */
export async function open(id) {
  if (state.view?.id !== id) state.sets = served.sets = served.told = null;
  take(await asked(id));
  return state.view;
}

/** A bundle as it stands, of which the server tells what the page hasn't. */
async function asked(id) {
  const had = held(id);
  return whole(await api.get(`/api/bundle/${id}${since(had)}`), had);
}

/** What the page has of a bundle. */
function held(id) {
  return served.view?.id === id ? served.view : null;
}

/** Forget the bundle, where the list is shown. */
export function close() {
  state.view = state.sets = served.view = served.sets = served.told = null;
  tell("view");
}

/** Between what a field of an event may lie, as attributes of its input. @returns {{min?: number, max?: number, maxlength?: number}} */
export function limits(kind, field) {
  const { minimum: min, maximum: max, maxLength: maxlength } = state.start.limits[kind][field];
  return { min, max, maxlength };
}

function take(view) {
  if (served.view?.id !== view.id || served.view.version <= view.version) served.view = view;
  show();
}

/** Show what the server told last, with what waits for its answer. */
function show() {
  const { view } = served;
  if (!view) return;
  state.view = viewAfter(view, deedsOf(view.id));
  state.squares = new Map([...state.view.squares, ...state.view.out].map((one) => [one.id, one]));
  showSets();
  tell("view");
}

function showSets() {
  state.sets = served.sets && setsAfter(served.sets, deedsOf(served.sets.bundle));
}

/** What was done to a bundle, up to what nobody but the server can tell the outcome of. */
function deedsOf(id) {
  const mine = waiting.filter((one) => one.bundle === id);
  const end = mine.findIndex((one) => one.to !== "deeds");
  return (end < 0 ? mine : mine.slice(0, end)).flatMap((one) => one.body.deeds);
}

/**
 * Do something to the bundle; changes wait for one another and for the server, each with the version it saw.
 * @param {object[]} deeds @param {string} [said] what to say when done
 * @returns {Promise<boolean>} whether it was done
 */
export function act(deeds, said) {
  return change("deeds", { deeds }, said);
}

/** Take back, or do again, the last deed or the one of a number. @param {"undo"|"redo"} what */
export function back(what, number) {
  const words = state.view?.[what];
  const said = `${what === "undo" ? "Taken back" : "Done again"}${number || !words ? "" : `: ${words}`}`;
  return change(what, number ? { number } : {}, said);
}

/** Change the bundle by another address of its own. @param {string} to @param {object} body @param {string} [said] @returns {Promise<boolean>} */
export function change(to, body = {}, said = "") {
  const { view } = state;
  if (!view) return Promise.resolve(false);
  const ended = put({ bundle: view.id, to, body, seen: view.version, said });
  if (to === "deeds" && body.deeds.some(isPlain)) show();
  return ended;
}

function accepted(change, view) {
  // The sets of the new version come a moment later: until then they stand as they were shown.
  if (change.to === "deeds" && served.sets?.bundle === change.bundle) served.sets = setsAfter(served.sets, change.body.deeds);
  if (state.view?.id === change.bundle) take(view);
  if (change.said) say(change.said);
  if (state.view && state.view.version < versions[state.view.id]) catchUp();
}

async function refused(changes, error) {
  const [{ bundle }] = changes;
  if (changes.length > 1) error.message += ` Not done: ${changes.map((one) => one.said).filter(Boolean).join(" ")}`;
  complain(error);
  show();
  if (error.status === 409 && state.view?.id === bundle) await open(bundle).catch(complain);
}

let versions = {};

/** Keep up with what others do to the bundle that is open, and to the list. */
export function keepUp() {
  answer({ accepted, refused, held });
  follow("bundles", (all) => {
    versions = all;
    catchUp();
  });
  follow("patterns", () => tell("patterns"));
  onContact((back) => { if (back && state.view) tell("view"); });
  listen();
}

/** Show a bundle as others left it, without disturbing who looks at it. */
async function followed(id) {
  const found = await asked(id);
  if (state.view?.id === id && !waiting.some((one) => one.bundle === id)) undisturbed(() => take(found));
}

function catchUp() {
  const { view, start } = state;
  if (!view) {
    const known = start?.bundles ?? [];
    const same = known.length === Object.keys(versions).length && known.every((one) => versions[one.id] === one.version);
    if (start && !same) begin().catch(complain);
  } else if (!(view.id in versions)) complain(new Error(`${view.name} has been removed elsewhere. The list of bundles shows what is kept.`));
  else if (versions[view.id] > view.version && !waiting.some((one) => one.bundle === view.id)) followed(view.id).catch(complain);
}

const QUIET = 2500;
let asking = null;
let once = 0;
let loading = { version: "", done: Promise.resolve() };

/** Load the sets for the version at hand; doubts follow a while later, as they take the server long. */
export function loadSets() {
  const { view } = state;
  if (!view) return Promise.resolve();
  const version = `${view.id} ${view.version}`;
  if (state.sets?.version === view.version && state.sets.bundle === view.id) return Promise.resolve();
  if (loading.version === version) return loading.done;
  asking?.abort();
  clearTimeout(once);
  asking = new AbortController();
  loading = { version, done: setsOf(view, asking.signal) };
  return loading.done;
}

async function setsOf(view, signal) {
  const ended = whileWaiting(view.id, (words) => tell("working", words));
  signal.addEventListener("abort", ended);
  try {
    const found = await setsTold(view.id, "?", signal);
    if (state.view?.id !== view.id) return;
    takeSets(found);
    once = setTimeout(() => doubts(view, signal), QUIET);
  } catch (error) {
    if (error.name === "AbortError") return;
    loading.version = "";
    if (error.status === 409) catchUp(); // overtaken: the sets follow with the bundle as it is now
    else complain(error);
  } finally {
    ended();
  }
}

/** Wait for the sets no longer; those that were shown stay. */
export function stopSets() {
  asking?.abort();
  loading.version = "";
  stopWork(state.view.id);
  tell("stopped");
}

async function setsTold(bundle, query, signal) {
  const had = served.told?.bundle === bundle ? served.told : null;
  return { ...whole(await api.get(`/api/bundle/${bundle}/sets${since(had, query) || query.slice(0, -1)}`, { signal }), had), bundle };
}

function takeSets(found) {
  served.sets = served.told = found;
  showSets();
  tell("sets");
}

async function doubts(view, signal) {
  try {
    const found = await setsTold(view.id, "?doubts=1&", signal);
    if (state.view?.id !== view.id || state.view.version !== found.version) return;
    takeSets(found);
  } catch {
    /* the sets without their doubts stay */
  }
}

/** @param {number} id @returns {any} */
export function square(id) {
  return state.squares.get(id);
}

/** Address of a square's crop. */
export function crop(id) {
  const one = square(id);
  return `/api/crop/${id}.jpg?v=${encodeURIComponent(one?.v ?? "")}`;
}

/** What a square looks like in words: its name, its value and the shares of its colours. */
export function told(id) {
  const { colour_name: name, value, shares } = square(id) ?? {};
  return [called(id), name, value, shares === name ? "" : shares].filter(Boolean).join(", ");
}

/** What a square is called: its label, and the name that a person gave it. */
export function called(id) {
  const one = square(id);
  return one ? (one.said ? `${one.label} (${one.said})` : one.label) : "a square";
}
