/** Photos on their way to the bundle: kept in the browser until they are in it, sent piece by piece. */

import { button, el, fill } from "../frame/dom.js";
import { get, sendPiece } from "../frame/api.js";
import { contact, onContact } from "../frame/contact.js";
import { follow as hearOf } from "../frame/live.js";
import { beside, drawLine, holdsLeaving } from "../frame/line.js";
import { complain, say, state } from "../frame/store.js";
import { keep, keyOf, kept, letGo } from "./photostore.js";

const PIECE = 2_000_000;
const PAUSE = 3000;

/**
 * @typedef {object} Photo
 * @property {string} id @property {string} key @property {string} bundle @property {string} side
 * @property {string} name @property {string} type @property {number} at @property {Blob} file
 * @property {"sending"|"reading"|"done"|"failed"} state @property {string} words
 * @property {string} [job] @property {number} [into] number of the bundle @property {boolean} [held] whether the browser keeps it
 */

/** @type {Photo[]} */
let photos = [];
const others = new Map();
const places = new Set();
const shared = navigator.locks && "BroadcastChannel" in window ? new BroadcastChannel("calicount photos") : null;
let ours = !shared;
let busy = false;
let chosenHere = false;
let run = "";

/**
 * Add photos to a bundle: they are kept here and sent one after the other.
 * @param {File[]} files @param {string} bundle @param {string} side @param {HTMLElement} [list] where they are shown
 */
export async function send(files, bundle, side, list) {
  if (list) showIn(list);
  if (photos.every(ended)) await clear();
  chosenHere = true;
  for (const file of files) {
    const key = await keyOf(file);
    const id = `${key} ${bundle.toLowerCase()}`;
    if (photos.some((one) => one.id === id && !ended(one))) continue;
    photos = photos.filter((one) => one.id !== id);
    const photo = { id, key, bundle, side, name: file.name, type: file.type, at: Date.now() + photos.length / 1000, file, state: "sending", words: "waits to be sent" };
    photo.held = await keep(photo);
    photos.push(photo);
    draw();
  }
  shared?.postMessage({ more: true });
  await pump();
}

/** Show in a list what is on its way. @param {HTMLElement} list */
export function showIn(list) {
  places.add(list);
  draw();
}


/** Follow a photo that came by another way. @param {string} job @param {HTMLElement} list @returns {Promise<any>} the job when it is done; null when it failed */
export async function follow(job, list) {
  showIn(list);
  heard(await get(`/api/jobs/${job}`));
  return new Promise((go) => {
    hearOf("job", (told) => {
      if (told.job === job && (told.state === "done" || told.state === "failed")) go(told.state === "done" ? told : null);
    });
  });
}

/** Go on with what a reload, a lost line or a restart broke off. */
export async function goOn() {
  photos = (await kept()).map((one) => ({ ...one, held: true }));
  if (photos.every((one) => one.state === "done")) await clear();
  askAgain();
  beside(told);
  holdsLeaving(() => photos.some((one) => one.state === "sending"));
  hearOf("job", heard);
  hearOf("hello", ({ run: now }) => {
    if (run && run !== now) askAgain();
    run = now;
  });
  onContact((back) => { if (back) pump(); });
  shared?.addEventListener("message", async ({ data }) => {
    if (data.more && !busy) await again();
    if (data.more && ours) pump();
    if (data.draw) await again();
  });
  draw();
  if (shared) navigator.locks.request("calicount photos", () => new Promise(() => { ours = true; pump(); }));
  else pump();
}

/** Another run of the server knows nothing of its row: what was being read is asked for, or sent again. */
function askAgain() {
  others.clear();
  for (const one of photos) if (one.state === "reading") Object.assign(one, { state: "sending", words: "waits to be sent", job: undefined });
  pump();
}

async function again() {
  const own = new Map(photos.filter((one) => !one.held).map((one) => [one.id, one]));
  for (const one of await kept()) own.set(one.id, { ...one, held: true });
  photos = [...own.values()].sort((a, b) => a.at - b.at);
  draw();
}

async function pump() {
  if (busy || contact.away || !(ours || photos.some((one) => !one.held))) return;
  busy = true;
  try {
    for (let one = next(); one && !contact.away; one = next()) await sendOne(one);
  } finally {
    busy = false;
  }
}

function next() {
  return photos.find((one) => one.state === "sending" && (ours || !one.held));
}

/** Send the rest of a photo; what goes wrong with it stands beside it. @param {Photo} photo */
async function sendOne(photo) {
  const query = new URLSearchParams({ bundle: photo.bundle, side: photo.side, name: photo.name });
  const address = `/api/uploads/${photo.key}?${query}`;
  try {
    let told = await get(address);
    while (!told.job && !told.known) {
      told = await piece(photo, address, told.offset);
      change(photo, { words: `${Math.round((100 * (told.offset ?? photo.file.size)) / photo.file.size)} % is sent` });
    }
    if (told.known) finish(photo, told.known, "in the bundle already");
    else {
      change(photo, { job: told.job, state: "reading", words: "waiting for its turn" }, true);
      heard(await get(`/api/jobs/${told.job}`));
    }
  } catch (error) {
    if (error.status === 413 && /waiting|on their way/.test(error.message)) await new Promise((go) => { setTimeout(go, PAUSE); });
    else if (error.status) change(photo, { state: "failed", words: error.message }, true);
    else if (error.name === "NotReadableError" || error.name === "NotFoundError") change(photo, { state: "failed", words: "The file is gone; choose it again." }, true);
    else complain(error);
  }
}

async function piece(photo, address, offset) {
  try {
    return await sendPiece(`${address}&offset=${offset}&size=${photo.file.size}`, photo.file.slice(offset, offset + PIECE), photo.type);
  } catch (error) {
    if (error.status === 409 && error.offset !== undefined) return { offset: error.offset };
    throw error;
  }
}

/** Hear how far the server has come with a photo. */
function heard(job) {
  if (!job) return;
  const old = job.state === "done" || job.state === "failed";
  if (!old || others.has(job.job)) others.set(job.job, job);
  const photo = photos.find((one) => one.job === job.job);
  if (photo && photo.state === "reading") {
    if (job.state === "done") finish(photo, job.bundle, job.words);
    else if (job.state === "failed") change(photo, { state: "failed", words: `${job.problem}; ${job.cure}.` }, true);
    else change(photo, { words: job.words });
  }
  draw();
}

function finish(photo, into, words) {
  change(photo, { state: "done", into, words, file: null }, true);
  if (!photos.every(ended)) return;
  const { bundle } = photo;
  const batch = photos.filter((one) => one.bundle === bundle);
  const done = batch.filter((one) => one.state === "done");
  say(`${done.length} of ${counted(batch.length)} are read into ${bundle}.`);
  if (done.length === batch.length && !state.view && chosenHere) location.hash = `#bundle/${into}/photo`;
}

/** @param {Photo} photo @param {Partial<Photo>} more @param {boolean} [stays] whether a reload must find it so */
function change(photo, more, stays = false) {
  Object.assign(photo, more);
  if (stays && photo.held) keep(photo).then(() => shared?.postMessage({ draw: true }));
  draw();
}

async function clear() {
  await Promise.all(photos.map((one) => letGo(one.id)));
  photos = [];
}

function ended(one) {
  return one.state === "done" || one.state === "failed";
}

function counted(number) {
  return number === 1 ? "1 photo" : `${number} photos`;
}

/** What the head tells: how many of those that were chosen are in their bundle. */
function told() {
  const failed = photos.filter((one) => one.state === "failed").length;
  if (!photos.length || (photos.every(ended) && !failed)) return null;
  const done = photos.filter((one) => one.state === "done").length;
  const words = `${done} of ${counted(photos.length)}${failed ? `, ${failed} went wrong` : ""}`;
  const sent = photos.filter((one) => one.state !== "sending").length;
  return el("a", { href: "#bundles", title: `${sent} of ${photos.length} are with calicount, ${done} are read`, text: words });
}

function draw() {
  drawLine();
  for (const list of places) {
    if (list.isConnected) fill(list, lines());
    else places.delete(list);
  }
}

function lines() {
  const own = new Set(photos.map((one) => one.job));
  const elsewhere = [...others.values()].filter((job) => !own.has(job.job));
  const lines = photos.map((one) => {
    const there = one.state === "sending" && !one.job ? elsewhere.findIndex((job) => job.upload && job.name === one.name) : -1;
    const [job] = there < 0 ? [] : elsewhere.splice(there, 1); // sent before a reload, which didn't hear of it
    return line(one.name, one.state, job?.words ?? one.words, one);
  });
  return [
    ...lines,
    ...elsewhere.map((job) => line(job.name, job.state, job.state === "failed" ? `${job.problem}; ${job.cure}.` : job.words, { into: job.bundle })),
  ];
}

function line(name, how, words, photo) {
  const to = how === "done" && photo.into ? el("a", { href: `#bundle/${photo.into}/photo`, text: "Look it over" }) : null;
  const out = async () => {
    await letGo(photo.id);
    photos = photos.filter((one) => one !== photo);
    draw();
  };
  const retry = () => { change(photo, { state: "sending", words: "waits to be sent", job: undefined }, true); pump(); };
  const choices = how === "failed" && photo.id
    ? [button("Try again", retry, { "aria-label": `Try ${name} again` }), button("Leave it out", out, { "aria-label": `Leave ${name} out` })] : [];
  return el(`li.${how}`, {}, el("strong", { text: name }), el("span", { text: words.startsWith(`${name}: `) ? words.slice(name.length + 2) : words }), to, ...choices);
}
