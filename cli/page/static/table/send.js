/** Photos sent from the device, straight from its camera or from its pictures. */

import { get } from "../frame/api.js";
import { el, field, fill } from "../frame/dom.js";
import { asking, knows, refresh } from "./knows.js";

const PAUSE = 800;
const jobs = el("ul.jobs", { "aria-label": "Photos sent" });

/** @param {HTMLElement} main */
export function send(main) {
  const name = el("input", { id: "to", required: true, maxlength: 80, autocomplete: "off", list: "bundles", value: knows.bundle?.name ?? "" });
  const side = el("input", { id: "side", size: 8, value: knows.bundle?.side ?? "5" });
  const chosen = (input) => {
    const photos = [...input.files];
    for (const photo of photos) sendOne(photo, name.value.trim() || "From the table", sideFor(name.value, side.value));
    input.value = "";
  };
  fill(main, el("h2", { text: "Send photos" }),
    el("p.hint", { text: "Lay the squares out flat, photograph them whole, from above." }),
    el("div.row", {}, field("Name of the bundle", name), field("Side of the squares", side)),
    el("datalist", { id: "bundles" }, ...knows.start.bundles.map((one) => el("option", { value: one.name }))),
    el("div.senders", {}, chooser("Take a photo", { capture: "environment" }, chosen, "primary"), chooser("Choose photos", { multiple: true }, chosen, "")),
    jobs);
}

function chooser(words, given, chosen, kind) {
  const id = `choose-${given.capture ? "camera" : "photos"}`;
  const input = el("input", { id, type: "file", accept: "image/*", "aria-label": words, change: () => chosen(input), ...given });
  return el("span.chooser", {}, el(`span.button${kind ? `.${kind}` : ""}`, { "aria-hidden": "true", text: words }), input);
}

function sideFor(name, side) {
  const known = knows.start.bundles.some((one) => one.name.toLowerCase() === name.trim().toLowerCase());
  return known ? "" : side;
}

/** Send one photo and follow what becomes of it; while the computer doesn't answer, try again. */
async function sendOne(photo, bundle, side) {
  const bar = el("progress", { max: 1, value: 0, "aria-label": `${photo.name} on its way` });
  const words = el("span", { text: "being sent" });
  jobs.append(el("li", {}, el("strong", { text: photo.name }), bar, words));
  const query = new URLSearchParams({ bundle, name: photo.name, ...(side ? { side } : {}) });
  for (;;) {
    const told = await sent(`/api/photos?${query}`, photo, (part) => { bar.value = part; });
    if (told.job) return followed(told.job, bar, words);
    words.textContent = told.words;
    if (!told.away) return bar.remove();
    await new Promise((go) => { setTimeout(go, 3000); });
  }
}

async function followed(job, bar, words) {
  bar.removeAttribute("value");
  for (;;) {
    const told = await asking(() => get(`/api/jobs/${job}`));
    if (told) words.textContent = told.state === "failed" ? `${told.problem}; ${told.cure}.` : told.words;
    if (told?.state === "done") refresh();
    if (told?.state === "done" || told?.state === "failed") return bar.remove();
    await new Promise((go) => { setTimeout(go, PAUSE); });
  }
}

/** Send a file with its progress, which only this old way of asking tells. */
function sent(address, file, tell) {
  return new Promise((done) => {
    const ask = new XMLHttpRequest();
    ask.open("POST", address);
    ask.setRequestHeader("Content-Type", file.type.startsWith("image/") ? file.type : "application/octet-stream");
    ask.responseType = "json";
    ask.upload.onprogress = ({ loaded, total }) => tell(total ? loaded / total : 0);
    ask.onload = () => {
      const told = ask.response ?? {};
      done(ask.status === 200 ? told : { words: told.problem ? `${told.problem}; ${told.cure}.` : "something went wrong" });
    };
    ask.onerror = () => done({ away: true, words: "the computer doesn't answer; it will be sent when it does" });
    ask.send(file);
  });
}
