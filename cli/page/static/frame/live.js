/**
 * What the server tells all tabs by itself. A browser opens few lines to one server at a time, so the
 * tabs share one where they can: the tab that has the lock listens and passes on what it hears.
 */

import { contact, look, lost, onContact } from "./contact.js";

const TOPICS = ["hello", "bundles", "patterns", "job", "work", "end"];
const listeners = new Map();
const latest = new Map();
const shared = "BroadcastChannel" in window && navigator.locks ? new BroadcastChannel("calicount") : null;
let source = null;
let run = "";

/** Hear of a topic; at once of what holds already. @param {string} topic @param {(told: any) => void} does */
export function follow(topic, does) {
  listeners.set(topic, [...(listeners.get(topic) ?? []), does]);
  for (const [name, told] of latest.values()) if (name === topic) does(told);
}

/** Begin to listen. */
export function listen() {
  onContact((back) => {
    if (back && listening) open();
    if (back) shared?.postMessage({ ask: true });
  });
  if (!shared) return begin();
  shared.addEventListener("message", ({ data }) => {
    if (data.topic) hear(data.topic, data.told);
    else if (data.ask && source) for (const [topic, told] of latest.values()) shared.postMessage({ topic, told });
  });
  shared.postMessage({ ask: true });
  navigator.locks.request("calicount", () => new Promise(() => begin()));
}

let listening = false;

function begin() {
  listening = true;
  open();
}

function open() {
  source?.close();
  source = new EventSource("/api/events");
  for (const topic of TOPICS) {
    source.addEventListener(topic, ({ data }) => {
      const told = JSON.parse(data);
      shared?.postMessage({ topic, told });
      hear(topic, told);
    });
  }
  source.onerror = async () => {
    source?.close();
    source = null;
    if (contact.away) return;
    await look();
    if (!contact.away) setTimeout(() => { if (!source) open(); }, 1000);
  };
}

function hear(topic, told) {
  if (topic === "end") {
    latest.clear();
    return lost(true);
  }
  if (topic === "hello") {
    if (run && run !== told.run) latest.clear();
    run = told.run;
  }
  latest.set(`${topic} ${told.job ?? ""}`, [topic, told]);
  for (const does of listeners.get(topic) ?? []) does(told);
}
