/** Photos sent from the device, straight from its camera or from its pictures. */

import { el, field, fill } from "../frame/dom.js";
import { hear, knows } from "./knows.js";
import { add, onTheirWay } from "./sending.js";

/** @param {HTMLElement} main */
export function send(main) {
  const name = el("input", { id: "to", required: true, maxlength: 80, autocomplete: "off", list: "bundles", value: knows.bundle?.name ?? "" });
  const side = el("input", { id: "side", size: 8, value: knows.bundle?.side ?? "5" });
  const list = el("ul.jobs", { "aria-label": "Photos sent" });
  const chosen = async (input) => {
    const files = [...input.files];
    input.value = "";
    await add(files, name.value.trim() || "From the table", sideFor(name.value, side.value));
  };
  const draw = () => fill(list, onTheirWay().map(line));
  fill(main, el("h2", { text: "Send photos" }),
    el("p.hint", { text: "Lay the squares out flat, photograph them whole, from above." }),
    el("div.row", {}, field("Name of the bundle", name), field("Side of the squares", side)),
    el("datalist", { id: "bundles" }, ...knows.start.bundles.map((one) => el("option", { value: one.name }))),
    el("div.senders", {}, chooser("Take a photo", { capture: "environment" }, chosen, "primary"), chooser("Choose photos", { multiple: true }, chosen, "")),
    list);
  draw();
  return hear((what) => { if (what === "photos") draw(); });
}

function line(photo) {
  const bar = photo.state === "sending"
    ? el("progress", { max: photo.size, value: photo.sent, "aria-label": `${photo.name} on its way` })
    : photo.state === "reading" ? el("progress", { "aria-label": `${photo.name} is read` }) : null;
  return el("li", {}, el("strong", { text: photo.name }), bar, el("span", { text: photo.words }));
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
