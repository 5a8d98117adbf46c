/** Fields of the form, each bound to its place in the pattern's data, with what is said of it beneath. */

import { button, el } from "../frame/dom.js";
import { draft, edit } from "./draft.js";
import { at, spelled } from "./places.js";

/** Where messages of a place are shown: by the place, spelled. @type {Map<string, HTMLElement>} */
const slots = new Map();
let count = 0;

/** Forget the fields that stood before. */
export function forgetFields() {
  slots.clear();
}

/** @param {import("./places.js").Place} place @param {HTMLElement} input */
function boxed(place, label, input, hint) {
  const id = `pattern-field-${(count += 1)}`;
  input.id = id;
  input.dataset.key = `field ${spelled(place)}`;
  const slot = el("div.said-of-field", { id: `${id}-said` });
  const told = hint ? el("span.hint", { text: hint, id: `${id}-hint` }) : null;
  input.setAttribute("aria-describedby", [hint ? `${id}-hint` : "", `${id}-said`].join(" ").trim());
  slots.set(spelled(place), slot);
  slot.input = input;
  return el("div.field", {}, el("label", { for: id, text: label }), input, told, slot);
}

/** A length or a name. @param {import("./places.js").Place} place */
export function textField(place, label, { hint = "", size = 8, list = null, change = null, placeholder = "", maxlength = 200 } = {}) {
  const input = el("input", { value: at(draft.data, place) ?? "", size, autocomplete: "off", maxlength, placeholder, list: list?.id ?? null });
  input.addEventListener("change", () => (change ? change(input.value.trim()) : edit([{ place, value: input.value.trim() || null }])));
  return boxed(place, label, input, hint);
}

/** A whole number. */
export function numberField(place, label, { hint = "", min = 1, max = 10000, fallback = null, change = null } = {}) {
  const value = at(draft.data, place);
  const input = el("input", { type: "number", min, max, inputmode: "numeric", value: Array.isArray(value) ? value.join(", ") : value ?? "", placeholder: fallback ?? "" });
  input.addEventListener("change", () => {
    const number = input.value === "" ? null : Math.round(Number(input.value));
    if (change) change(number);
    else edit([{ place, value: number }]);
  });
  return boxed(place, label, input, hint);
}

/** One of a few. The first of the options is what holds where the field is left out. @param {(string|[any, string])[]} options */
export function choiceField(place, label, options, { hint = "", change = null } = {}) {
  const now = at(draft.data, place);
  const told = options.map((one) => (Array.isArray(one) ? one : [one, one]));
  const input = el("select", {}, ...told.map(([value, text], number) => el("option", { value: number, text, selected: value === now })));
  input.addEventListener("change", () => {
    const value = told[Number(input.value)][0];
    if (change) change(value);
    else edit([{ place, value }]);
  });
  return boxed(place, label, input, hint);
}

/** Yes or no. */
export function flagField(place, label, fallback = false, { change = null } = {}) {
  const id = `pattern-field-${(count += 1)}`;
  const input = el("input", { type: "checkbox", id, checked: at(draft.data, place) ?? fallback, data: { key: `field ${spelled(place)}` } });
  input.addEventListener("change", () => {
    const value = input.checked === fallback ? null : input.checked;
    if (change) change(input.checked);
    else edit([{ place, value }]);
  });
  const slot = el("div.said-of-field", { id: `${id}-said` });
  input.setAttribute("aria-describedby", slot.id);
  slots.set(spelled(place), slot);
  slot.input = input;
  return el("div", {}, el("div.check", {}, input, el("label", { for: id, text: label })), slot);
}

/** Show each message at its field, or at the nearest that holds it; what has none is given back. @param {any[]} messages */
export function showMessages(messages) {
  for (const slot of slots.values()) {
    slot.replaceChildren();
    slot.input.removeAttribute("aria-invalid");
  }
  return messages.filter((one) => {
    const slot = slotOf(one.place);
    if (!slot) return true;
    slot.append(messageLine(one));
    if (one.weight === "wrong") slot.input.setAttribute("aria-invalid", "true");
    return false;
  });
}

function slotOf(place) {
  for (let length = place.length; length > 0; length -= 1) {
    const found = slots.get(spelled(place.slice(0, length)));
    if (found?.isConnected) return found;
  }
  return null;
}

/** A message with the button that applies the nearest that works. */
export function messageLine({ says, mend, weight }) {
  const line = el("p", { class: weight === "wrong" ? "message flag" : "message hint", text: says });
  if (mend) line.append(" ", button(mend.says, () => edit(mend.edits), { class: "mend" }));
  return line;
}

const opened = new Map();

/** What is seldom wanted, folded away; it stays as the person left it. @param {string} key @param {string} words @param {boolean} open at first */
export function folded(key, words, open, ...children) {
  const made = el("details", { open: opened.get(key) ?? open, toggle: () => opened.set(key, made.open) }, el("summary", { text: words, data: { key: `fold ${key}` } }), ...children);
  return made;
}

/** What a cloth may be called, to choose from. @param {string} id @param {string[]} names */
export function nameList(id, names) {
  return el("datalist", { id }, ...names.map((value) => el("option", { value })));
}
