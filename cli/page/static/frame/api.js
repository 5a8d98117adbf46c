/** Asking the server. */

/** Something that the server refused, in its words. */
export class Problem extends Error {
  /** @param {{problem?: string, cure?: string, version?: number, offset?: number}} told @param {number} status */
  constructor(told, status) {
    super(told.problem ? `${capital(told.problem)}; ${told.cure}.` : "Something went wrong.");
    this.status = status;
    this.version = told.version;
    this.offset = told.offset;
  }
}

/** Whether the server can't be reached. */
export class Lost extends Error {
  constructor() {
    super("calicount doesn't answer. Is it still running? Nothing that was shown as done is lost.");
  }
}

/** @param {string} address @returns {Promise<any>} */
export function get(address, given = {}) {
  return ask(address, given);
}

/** @param {string} address @param {object} body @param {RequestInit} [given] @returns {Promise<any>} */
export function post(address, body = {}, given = {}) {
  return ask(address, { ...send("POST", body), ...given });
}

/** @param {string} address @param {object} body */
export function remove(address, body = {}) {
  return ask(address, send("DELETE", body));
}

/** Send a piece of a photo. @param {string} address @param {Blob} piece @param {string} kind of the photo @returns {Promise<any>} */
export function sendPiece(address, piece, kind) {
  const type = kind.startsWith("image/") ? kind : "application/octet-stream";
  return ask(address, { method: "PUT", headers: { "Content-Type": type }, body: piece });
}

/** Send a photo of the wall to be checked. @param {string} address with its query @param {File} file */
export function uploadTo(address, file) {
  const type = file.type.startsWith("image/") ? file.type : "application/octet-stream";
  const name = `${address.includes("?") ? "&" : "?"}name=${encodeURIComponent(file.name)}`;
  return ask(`${address}${name}`, { method: "POST", headers: { "Content-Type": type }, body: file });
}

function send(method, body) {
  return { method, headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) };
}

async function ask(address, given) {
  let answer;
  let told;
  try {
    answer = await fetch(address, { credentials: "same-origin", ...given });
    told = await answer.json();
  } catch (error) {
    if (error.name === "AbortError") throw error;
    if (!answer || answer.ok) throw new Lost();
  }
  if (!answer.ok) throw new Problem(told ?? {}, answer.status);
  return told;
}

function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
