/** What is said of a square more seldom: its name, place, fabric, and whether it shows the light. */

import { button, el, field } from "../frame/dom.js";
import { act, called, limits, state } from "../frame/store.js";

const SHOWN = 8;
const LIGHTS = [["white", "This is white cloth"], ["grey", "This is a neutral grey"]];

/**
 * @param {any} one the square @param {{choose: (id: number, fly: boolean) => void}} given
 * @returns {HTMLElement[]}
 */
export function further(one, given) {
  const { drawn, moved } = one;
  return [
    nameOf(one), placeOf(one), ...fabricOf(one), twinOf(one), lightOf(one),
    drawn || moved ? null : el("p.hint", { text: "To put its outline right, drag a corner on the photo." }),
    button("To the next doubtful one", () => {
      const next = nextDoubtful(one);
      if (next) given.choose(next.id, true);
    }),
  ].filter(Boolean);
}

function form(does, ...children) {
  const submit = (event) => {
    event.preventDefault();
    does();
  };
  return el("form.row", { submit }, ...children);
}

function nameOf(one) {
  const name = el("input", { value: one.said, ...limits("name", "text"), data: { key: "name" } });
  const keep = () => act([{ kind: "name", squares: [one.id], text: name.value }],
    `${one.label} is called ${name.value || "by its label"}.`);
  return form(keep, field("Your name for it", name), el("button", { text: "Keep" }));
}

function placeOf(one) {
  const [row, col] = ["row", "col"].map((key) => el("input", { type: "number", min: limits("place", key).min, value: one[key] ?? "", data: { key } }));
  const put = () => act([{ kind: "place", square: one.id, row: Number(row.value), col: Number(col.value) }],
    `It lies in row ${row.value}, column ${col.value}.`);
  return form(put, field("Row", row), field("Column", col), el("button", { text: "Put there" }));
}

function fabricOf(one) {
  const fabric = state.view.fabrics.find((each) => each.name === one.fabric);
  const mates = (fabric?.squares ?? []).filter((id) => id !== one.id);
  const named = mates.slice(0, SHOWN).map(called).join(", ");
  const other = choiceOf((each) => each.fabric !== one.fabric);
  const alone = () => act([{ kind: "own fabric", squares: [one.id] }], `${one.label} is a fabric of its own.`);
  const join = () => other.value && act([{ kind: "one fabric", squares: [Number(other.value), one.id] }], "They are one fabric.");
  return [
    el("p", { text: mates.length ? `Same fabric as ${named}${mates.length > SHOWN ? " …" : ""}.` : "The only one of its fabric." }),
    el("div.row", {}, mates.length ? button("It is a fabric of its own", alone) : null,
      field("Same fabric as", other), button("Join", join)),
  ];
}

/** That the same piece of cloth lies on two photos. */
function twinOf(one) {
  if (state.view.photos.length < 2) return null;
  const twin = choiceOf((each) => each.photo !== one.photo);
  const once = () => twin.value && act([{ kind: "same piece", squares: [Number(twin.value), one.id] }], "They are counted as one.");
  return el("div.row", {}, field("The same piece of cloth as, in another photo", twin), button("Count it once", once));
}

function choiceOf(fits) {
  return el("select", {}, el("option", { value: "", text: "choose a square" }),
    ...state.view.squares.filter(fits).map((each) => el("option", { value: each.id, text: `${each.label}, ${each.colour_name}` })));
}

function lightOf(one) {
  return el("div.row", { role: "group", "aria-label": "Light" }, ...LIGHTS.map(([kind, words]) => {
    const on = state.view[kind] === one.id;
    const told = on ? "Judged as before." : `All colours follow ${one.label}.`;
    return button(words, () => act([{ kind, square: on ? null : one.id }], told),
      { "aria-pressed": String(on), data: { key: `light-${kind}` } });
  }));
}

function nextDoubtful(one) {
  return [...state.view.squares].sort((a, b) => b.doubt - a.doubt || a.id - b.id)
    .find((each) => each.doubt < one.doubt || (each.doubt === one.doubt && each.id > one.id));
}
