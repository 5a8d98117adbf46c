/** The pattern that is being made: its data, what the server says of them, and the way back. */

import { post } from "../frame/api.js";
import { complain } from "../frame/store.js";
import { edited } from "./places.js";

const PAUSE = 160;
const MOST_STEPS = 200;
const SHELF = "pattern draft";

/** What is shown; `told` is the server's last answer, `touched` whether anything was done that isn't kept. */
export const draft = {
  data: null, touched: false, blocks: [], cloths: [], told: null, busy: false, chosen: 0,
  name: "", typed: "", id: null, version: null, bundle: null, side: "", has: 0, tints: {}, saved: "", added: [],
};
const hearers = new Set();
let past = [];
let future = [];
let timer = 0;
let asking = null;
let turn = 0;
let pending = null;

/** Hear of changes: "data" when something was done, "told" when the server has answered. */
export function hearDraft(does) {
  hearers.add(does);
  return () => hearers.delete(does);
}

function tellDraft(what) {
  for (const does of [...hearers]) does(what);
}

/** Begin with a pattern. @param {object} given data or text, and what is known of it @returns {Promise<void>} */
export async function beginDraft({ data, text, drawn, ...more }) {
  Object.assign(draft, { data: data ?? null, touched: false, blocks: [], cloths: [], told: null, chosen: 0, name: "", typed: "", id: null,
    version: null, bundle: null, side: "", has: 0, tints: {}, saved: "", added: [] }, more);
  past = [];
  future = [];
  pending = drawn ?? null;
  await look(data ? { data, ...(drawn ? { drawn } : {}) } : { text });
  if (!draft.saved) draft.saved = more.id ? draft.told?.text ?? "" : "";
}

/** Go on with what is at hand, its way back too. @param {object} more what is known of the bundle @returns {boolean} whether there is anything */
export function resumeDraft(more) {
  if (!draft.data || !draft.touched) return false;
  Object.assign(draft, more);
  wait(false);
  return true;
}

/** What was left unfinished when the page was last open, in this tab if there was anything. */
export function shelved() {
  try {
    return JSON.parse(sessionStorage.getItem(SHELF) ?? localStorage.getItem(SHELF) ?? "null");
  } catch {
    return null;
  }
}

/** Change fields. @param {import("./places.js").Edit[]} edits */
export function edit(edits) {
  change(edited(draft.data, edits));
}

/** Take other data. @param {any} data */
export function change(data) {
  remember();
  draft.data = data;
  tellDraft("data");
  wait();
}

/** Draw a block anew. @param {number} number @param {{across: number, down: number, tiles: any[]}} block @param {any[]} [cloths] */
export function draw(number, block, cloths) {
  remember();
  const blocks = [...draft.blocks];
  blocks[number] = { ...draft.blocks[number], ...block };
  draft.blocks = blocks;
  const tables = (cloths ?? draft.cloths).map(({ pieces: _, ...table }) => table);
  pending = { number, across: block.across, down: block.down, tiles: block.tiles, cloths: tables };
  tellDraft("data");
  wait();
}

/** Lay a cloth ready to be painted with; the pattern has it once something is. @param {any} cloth */
export function addCloth(cloth) {
  draft.added = [...draft.added, { pieces: [], ...cloth }];
  draft.cloths = [...draft.cloths, { pieces: [], ...cloth }];
  tellDraft("told");
}

/** Take the name that is typed. @param {string} name */
export function typeName(name) {
  draft.typed = name;
  draft.touched = true;
  shelve();
}

/** Colour a cloth on the screen. */
export function tint(cloth, colour) {
  draft.touched = true;
  draft.tints = { ...draft.tints, [cloth]: colour };
  tellDraft("told");
  shelve();
}

export function canUndo() {
  return past.length > 0;
}

export function canRedo() {
  return future.length > 0;
}

export function undoDraft() {
  step(past, future);
}

export function redoDraft() {
  step(future, past);
}

function step(from, to) {
  const last = from.pop();
  if (!last) return;
  to.push(snapshot());
  draft.touched = true;
  ({ data: draft.data, blocks: draft.blocks, cloths: draft.cloths, drawn: pending } = last);
  draft.chosen = Math.min(draft.chosen, Math.max(0, draft.blocks.length - 1));
  tellDraft("data");
  wait(false);
}

function snapshot() {
  const { data, blocks, cloths } = draft;
  return { data, blocks, cloths, drawn: pending };
}

function remember() {
  draft.touched = true;
  past = [...past.slice(1 - MOST_STEPS), snapshot()];
  future = [];
}

/** Ask the server once nothing more is done for a while; what was drawn goes along until it has been taken. */
function wait(follow = true) {
  draft.busy = true;
  turn += 1;
  clearTimeout(timer);
  timer = setTimeout(() => look({ data: draft.data, follow, ...(pending ? { drawn: pending } : {}) }), PAUSE);
}

async function look(body) {
  asking?.abort();
  asking = new AbortController();
  turn += 1;
  const own = turn;
  draft.busy = true;
  try {
    const told = await post("/api/patterns/check", { ...body, ...sizes() }, { signal: asking.signal });
    if (own !== turn) return;
    take(told, body.drawn);
  } catch (error) {
    if (error.name === "AbortError") return;
    if (own === turn) refused(body.drawn);
    complain(error);
    tellDraft("told");
  }
}

/** What can't be drawn is taken back. */
function refused(drawn) {
  draft.busy = false;
  const last = drawn && past.pop();
  if (last) ({ data: draft.data, blocks: draft.blocks, cloths: draft.cloths } = last);
  pending = null;
}

function sizes() {
  return { ...(draft.side ? { side: draft.side } : {}), ...(draft.bundle ? { bundle: draft.bundle } : {}) };
}

function take(told, drawn) {
  draft.told = told;
  if (pending === drawn) pending = null;
  draft.busy = pending !== null;
  draft.data = told.data;
  draft.cloths = [...told.cloths, ...draft.added.filter((one) => !told.cloths.some(({ name }) => name === one.name))];
  if (told.blocks) draft.blocks = told.blocks.map((block, number) => kept(block, drawn?.number === number ? drawn : null));
  shelve();
  tellDraft("told");
}

/** A block as the server has it, the tones as they were painted here. */
function kept(block, drawn) {
  if (!drawn || drawn.tiles.length !== block.tiles.length) return block;
  const own = [...drawn.tiles].sort((one, other) => one.row - other.row || one.column - other.column);
  return { ...block, tiles: block.tiles.map((tile, place) => ({ ...tile, at_a_time: own[place].at_a_time ?? null,
    paints: tile.paints.map((paint, part) => ({ ...paint, tone: own[place].paints[part]?.tone ?? paint.tone })) })) };
}

/** Nothing is left unfinished. */
export function unshelve() {
  draft.touched = false;
  sessionStorage.removeItem(SHELF);
  localStorage.removeItem(SHELF);
}

/** Lay what is drawn aside for when the page is opened again. */
function shelve() {
  if (!draft.touched) return;
  const { data, name, typed, id, version, bundle, tints, saved } = draft;
  const text = JSON.stringify({ data, name, typed, id, version, bundle, tints, saved });
  sessionStorage.setItem(SHELF, text);
  localStorage.setItem(SHELF, text);
}

/** Wait until the server has answered to all that was done. */
export async function settledDraft() {
  while (draft.busy) {
    await new Promise((done) => {
      const deaf = hearDraft((what) => { if (what === "told") { deaf(); done(); } });
    });
  }
}
