/** What the device knows of the bundle and its plan; it goes on knowing it where the network drops. */

import { get, Lost } from "../frame/api.js";
import { since, whole } from "../frame/since.js";

const SOON = 4000;
/** Milliseconds after which no answer counts as none: a network that drops leaves a question open. */
const PATIENCE = 6000;

/** @type {{start: any, bundle: any, plan: any, quilt: any, sets: any, away: boolean, squares: Map<number, any>}} */
export const knows = { start: null, bundle: null, plan: null, quilt: null, sets: null, away: false, squares: new Map() };

const listeners = new Set();
let timer = 0;
let line = null;
let wanted = 0;
let ended = () => {};

/** Hear of "bundle", "plan", "sets", "away", "ticks", "said". */
export function hear(does) {
  listeners.add(does);
  return () => listeners.delete(does);
}

/** Tell all who hear. */
export function tell(what, more) {
  for (const does of [...listeners]) does(what, more);
}

/** Begin; `over` is called once this device is let in no longer. @param {(why: string) => void} over */
export async function begin(over) {
  ended = over;
  knows.start = await asking(() => get("/api/start"));
  return knows.start;
}

/** Open a bundle. @param {number} id */
export async function open(id) {
  wanted = id;
  Object.assign(knows, { bundle: null, plan: null, quilt: null, sets: null });
  await load(id);
  listen();
  watch();
}

/** Stop watching, and forget what belongs to the bundle. */
export function stop() {
  clearTimeout(timer);
  line?.close();
  line = null;
  wanted = 0;
  Object.assign(knows, { bundle: null, plan: null, quilt: null, sets: null, squares: new Map() });
}

/** The sets, asked for when they are looked at. */
export async function loadSets() {
  const { bundle } = knows;
  if (knows.sets?.version === bundle.version) return;
  const had = knows.sets;
  const sets = await asking(async () => whole(await get(`/api/bundle/${bundle.id}/sets${since(had)}`), had));
  if (!sets || knows.bundle?.id !== bundle.id) return;
  knows.sets = sets;
  tell("sets");
}

/**
 * Ask the computer; where it doesn't answer that is told, and nothing comes of it.
 * @template T @param {() => Promise<T>} does @returns {Promise<T|null>}
 */
export async function asking(does) {
  try {
    const told = await does();
    near(true);
    return told;
  } catch (error) {
    if (error instanceof Lost) near(false);
    else if (error.status === 403) {
      stop();
      ended("This device is let in no longer. Ask for a new code at the computer.");
    } else throw error;
    return null;
  }
}

/** How a short question is asked. */
export function soon() {
  return { signal: AbortSignal.timeout(PATIENCE) };
}

function near(is) {
  if (knows.away === !is) return;
  knows.away = !is;
  tell("away");
}

async function load(id) {
  const had = { bundle: knows.bundle, plan: knows.plan };
  const bundle = await asking(async () => whole(await get(`/api/bundle/${id}${since(had.bundle)}`), had.bundle));
  if (!bundle || wanted !== id) return;
  knows.bundle = bundle;
  knows.squares = new Map(bundle.squares.map((one) => [one.id, one]));
  tell("bundle");
  const plan = await asking(async () => whole(await get(`/api/bundle/${id}/plan${since(had.plan)}`), had.plan)).catch((error) => ({ problem: error.message, version: bundle.version }));
  if (!plan || knows.bundle?.id !== id) return;
  const quilt = plan.wall ? await asking(() => get(`/api/bundle/${id}/quilt`)).catch(() => null) : null;
  if (knows.bundle?.id !== id || (plan.wall && !quilt)) return;
  knows.quilt = quilt;
  knows.plan = plan;
  tell("plan");
}

/** What the computer tells of itself: look at once. */
function listen() {
  if (line) return;
  line = new EventSource("/api/events");
  for (const topic of ["bundles", "plan"]) line.addEventListener(topic, look);
  for (const topic of ["over", "end"]) line.addEventListener(topic, () => { line?.close(); line = null; look(); });
}

/** Ask again and again how the bundle stands, and at once when the network is back. */
function watch() {
  clearTimeout(timer);
  timer = setTimeout(async () => {
    await look();
    if (wanted) watch();
  }, SOON);
}

/** Look how the bundle stands now. */
export async function look() {
  const { bundle, plan } = knows;
  if (!wanted || document.hidden) return;
  if (!bundle) return void await load(wanted);
  const now = await asking(() => get(`/api/bundle/${bundle.id}/now`, soon())).catch(() => null);
  if (!now || knows.bundle !== bundle) return;
  listen();
  tell("near");
  if (now.version !== bundle.version || now.version !== plan?.version || (plan?.mark && now.mark !== plan.mark)) await load(bundle.id);
  return undefined;
}

/** What this device did led to a version: nothing else changed if it is the next. */
export function did(version) {
  const { bundle, plan } = knows;
  if (!bundle || !plan || bundle.version !== plan.version || version > bundle.version + 1) return;
  bundle.version = plan.version = version;
}

/** Which bundles there are now. */
export async function refresh() {
  const start = await asking(() => get("/api/start"));
  if (!start) return;
  knows.start = start;
  tell("start");
}

addEventListener("online", look);
document.addEventListener("visibilitychange", look);

/** @param {number} id @returns {any} */
export function square(id) {
  return knows.squares.get(id);
}

/** What a square is called. */
export function called(id) {
  const one = square(id);
  return one ? (one.said ? `${one.label} (${one.said})` : one.label) : "a square";
}
