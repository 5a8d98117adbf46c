/** Every component of the page, each in the states it has; `data-part` marks what may not overlap. */

import { button, el, field, fill, palette } from "/static/frame/dom.js";
import { icon, iconButton, PICTURES, wordButton } from "/static/frame/icons.js";

const nothing = () => {};
const cloth = { palette: [["#7a3e2b", 60], ["#d8c9a8", 40]], greys: [["#575757", 60], ["#cacaca", 40]], shares: "brown 60 %, cream 40 %" };

const part = (made) => {
  made.dataset.part = "";
  return made;
};
const room = (title, ...made) => el("section.card", { "data-room": title, "aria-label": title },
  part(el("h3", { text: title })), el("div.row", {}, ...made.map(part)));

let word = 0;
const lock = () => {
  const made = wordButton(["Lock", "Take the lock off"], word, () => {
    word = 1 - word;
    made.replaceWith(part(lock()));
  }, { id: "words" });
  return made;
};

fill(document.getElementById("main"),
  room("Buttons",
    button("Keep it", nothing, { class: "primary" }), button("Keep it", nothing, { class: "primary", disabled: true }),
    button("Another", nothing), button("Another", nothing, { disabled: true }), button("Chosen", nothing, { "aria-pressed": "true" }),
    button("Only words", nothing, { class: "plain" }), el("a.button", { href: "#", text: "A way" }), lock()),
  room("Icons", ...PICTURES.map((name) => iconButton(name, name, nothing))),
  room("Words to switch on", el("div.chips", {}, ...["light", "medium", "dark"].map((text, place) =>
    button(text, nothing, { class: "chip", "aria-pressed": String(place === 1) }))),
  el("div.segments", { role: "group", "aria-label": "Size" }, ...["Small", "Middle", "Large"].map((text, place) =>
    button(text, nothing, { "aria-pressed": String(place === 0) })))),
  room("Fields",
    field("Name", el("input", { value: "porch" }), "of the bundle"), field("Wrong", el("input", { value: "seven", "aria-invalid": "true" })),
    field("Choice", el("select", {}, el("option", { text: "by the yard" }))), field("Number", el("input", { type: "number", value: 4 })),
    field("Slider", el("input", { type: "range" })), field("Long", el("textarea", { text: "cut 4 strips" })),
    el("div.check", {}, el("input", { type: "checkbox", id: "ticked", checked: true }), el("label", { for: "ticked", text: "Sewn" })),
    el("div.radio", {}, el("input", { type: "radio", id: "round" }), el("label", { for: "round", text: "One of these" })),
    el("label.chooser.button", {}, icon("photo"), "Choose photos", el("input", { type: "file", "aria-label": "Choose photos" }))),
  room("Words", el("p", { text: "Plain words." }), el("p.hint", { text: "A hint." }), el("p.flag", { text: "could change" }),
    el("p.caution", { text: "Rotary cutters are sharp." }), el("a", { href: "#", text: "A link" })),
  room("Cloth", el("div.cloth-ground", {}, el("p", { text: "Words on the ground of cloth" })), palette(cloth)),
  room("Table", el("table", {}, el("caption", { text: "Cutting" }), el("thead", {}, el("tr", {}, el("th", { text: "Piece" }), el("th.amount", { text: "How many" }))),
    el("tbody", {}, el("tr", {}, el("th", { scope: "row", text: "square" }), el("td.amount", { text: "12" }))))),
  room("More", el("details", {}, el("summary", { text: "More" }), el("p", { text: "inside" }))));
document.body.dataset.ready = "yes";
