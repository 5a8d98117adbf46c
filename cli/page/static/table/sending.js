/** Photos on their way: kept by the browser until the computer has them, sent piece by piece, the rest after a break. */

import { get, sendPiece } from "../frame/api.js";
import { keep, keyOf, kept, letGo } from "../bundles/photostore.js";
import { asking, hear, knows, refresh, tell } from "./knows.js";

const PIECE = 400_000;
const PAUSE = 1000;

/**
 * @typedef {object} Photo
 * @property {string} id @property {string} key @property {string} bundle @property {string} side
 * @property {string} name @property {string} type @property {number} at @property {Blob|null} file
 * @property {number} size @property {number} sent bytes of it @property {string} [job]
 * @property {"sending"|"reading"|"done"|"failed"} state @property {string} words
 */

/** @type {Photo[]} */
let photos = [];
let busy = false;

/** All that were chosen, the first first. */
export function onTheirWay() {
  return photos;
}

/** How many of those that were chosen are with the computer, in words; nothing where all are. */
export function howMany() {
  const left = photos.filter((one) => one.state === "sending").length;
  return left ? `${photos.length - left} of ${photos.length} photos sent` : "";
}

/** Send photos to a bundle. @param {File[]} files @param {string} bundle @param {string} side */
export async function add(files, bundle, side) {
  for (const file of files) {
    const key = await keyOf(file);
    const photo = {
      id: `${key} ${bundle.toLowerCase()}`, key, bundle, side, name: file.name, type: file.type, at: Date.now() + photos.length / 1000,
      file, size: file.size, sent: 0, state: "sending", words: "waits to be sent",
    };
    photos = [...photos.filter((one) => one.id !== photo.id), photo];
    await keep(photo);
    tell("photos");
  }
  pump();
}

/** Go on with what a reload or another break left. */
export async function goOn() {
  const known = new Set(photos.map((one) => one.id));
  const left = (await kept()).filter((one) => !known.has(one.id) && (one.state === "sending" || one.state === "reading"));
  photos = [...left.map((one) => ({ ...one, state: "sending", words: "waits to be sent" })), ...photos];
  tell("photos");
  pump();
}

async function pump() {
  if (busy) return;
  busy = true;
  try {
    for (let one = next(); one; one = next()) {
      if (!(await sendOne(one))) return;
    }
  } finally {
    busy = false;
  }
}

function next() {
  return photos.find((one) => one.state === "sending");
}

/** Send the rest of a photo. @param {Photo} photo @returns {Promise<boolean>} false where the computer doesn't answer */
async function sendOne(photo) {
  const query = new URLSearchParams({ bundle: photo.bundle, side: photo.side, name: photo.name });
  const address = `/api/uploads/${photo.key}?${query}`;
  try {
    let told = await asking(() => get(address));
    while (told && !told.job && !told.known) {
      change(photo, { sent: told.offset, words: `${Math.round((100 * told.offset) / Math.max(1, photo.size))} % is sent` });
      told = await asking(() => piece(photo, address, told.offset));
    }
    if (!told) change(photo, { words: "the computer doesn't answer; the rest is sent when it does" });
    else if (told.known) end(photo, "done", "in the bundle already");
    else {
      change(photo, { job: told.job, state: "reading", words: "waiting for its turn" });
      follow(photo);
    }
    return Boolean(told);
  } catch (error) {
    end(photo, "failed", error.message);
    return true;
  }
}

async function piece(photo, address, offset) {
  try {
    return await sendPiece(`${address}&offset=${offset}&size=${photo.size}`, photo.file.slice(offset, offset + PIECE), photo.type);
  } catch (error) {
    if (error.status === 409 && error.offset !== undefined) return { offset: error.offset };
    throw error;
  }
}

/** Follow a photo until it is read; another run of the computer's page knows nothing of it, and is sent it again. */
async function follow(photo) {
  for (;;) {
    const told = await asking(() => get(`/api/jobs/${photo.job}`)).catch(() => ({ state: "unknown" }));
    if (told?.state === "unknown") {
      change(photo, { state: "sending", words: "waits to be sent" });
      return pump();
    }
    if (told) change(photo, { words: told.state === "failed" ? `${told.problem}; ${told.cure}.` : told.words });
    if (told?.state === "done" || told?.state === "failed") {
      end(photo, told.state, photo.words);
      return refresh();
    }
    await new Promise((go) => { setTimeout(go, PAUSE); });
  }
}

function end(photo, state, words) {
  change(photo, { state, words, file: null });
  letGo(photo.id);
}

function change(photo, more) {
  Object.assign(photo, more);
  tell("photos");
}

hear((what) => {
  if (what === "near" && !knows.away) pump();
});
addEventListener("beforeunload", (event) => {
  if (photos.some((one) => one.state === "sending")) event.preventDefault();
});
