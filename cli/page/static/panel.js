/** What is known of the chosen square, and what can be said of it. */

import { button, el, field, fill } from "./dom.js";
import { act, called, crop, square, state } from "./store.js";

const MARKS = [["held back", "Hold back"], ["damaged", "Damaged"], ["wrong side", "Wrong side up"], ["cut", "Already cut"]];
const ROLES = [["", "either"], ["feature", "feature"], ["background", "background"]];

/**
 * @param {HTMLElement} room @param {number} id @param {{choose: (id: number, fly: boolean) => void}} given
 */
export function panel(room, id, given) {
  const one = square(id);
  if (!one || one.dropped) {
    fill(room, ...noneChosen());
    return;
  }
  const squares = [id];
  fill(room,
    el("div.panel-head", {}, el("img.crop", { src: crop(id), alt: "", width: 96, height: 96 }),
      el("div", {}, el("h2", { text: called(id) }), el("p", { text: `${one.colour_name}, ${one.value}` }),
        el("p.hint", { text: `${one.family} · ${one.print} · fabric ${one.fabric}` }))),
    el("dl.facts", {}, ...facts(one)),
    el("div.row", { role: "group", "aria-label": "What it is" },
      button("Not a square", () => act([{ kind: "not a square", squares }], `${one.label} is no square.`), { data: { key: "isnt" } }),
      ...MARKS.map(([mark, words]) => {
        const on = one.marks.includes(mark);
        return button(words, () => act([{ kind: "mark", squares, mark, on: !on }], `${one.label}: ${on ? `no longer ${mark}` : mark}.`),
          { "aria-pressed": String(on), data: { key: mark } });
      })),
    el("fieldset.row", {}, el("legend", { text: "Serves as" }), ...ROLES.map(([role, words]) => {
      const input = el("input", { type: "radio", name: "role", value: role, checked: one.role === role, id: `role-${words}`, data: { key: `role-${words}` },
        change: () => act([{ kind: "role", squares, role }], `${one.label} serves as ${words}.`) });
      return el("span.radio", {}, input, el("label", { for: `role-${words}`, text: words }));
    })),
    el("details", { open: opened.has("more") ? true : null, toggle: (event) => remember("more", event.target.open) },
      el("summary", { text: "Name, place, fabric, light" }), ...more(one, given)));
}

const opened = new Set();
function remember(name, open) {
  if (open) opened.add(name);
  else opened.delete(name);
}

function facts(one) {
  const said = one.seen && JSON.stringify(one.seen.corners) !== JSON.stringify(one.corners);
  const placed = one.seen && (one.seen.row !== one.row || one.seen.col !== one.col);
  const rows = [
    ["Size", one.width_in ? `${one.width_in.toFixed(2)} × ${one.height_in.toFixed(2)} in` : "unknown"],
    ["Sure", one.drawn ? "you drew it" : `${Math.round(one.confidence * 100)} of 100`],
    one.flags.length ? ["Look again", one.flags.join(", ")] : null,
    one.state ? ["State", one.state] : null,
    one.uncertainty ? ["Colour", `may be off by ${one.uncertainty.toFixed(1)}`] : null,
    said ? ["The photo said", "another outline"] : null,
    placed ? ["The photo said", one.seen.row ? `row ${one.seen.row}, column ${one.seen.col}` : "no row"] : null,
  ];
  return rows.filter(Boolean).flatMap(([name, text]) => [el("dt", { text: name }), el("dd", { text })]);
}

function more(one, given) {
  const name = el("input", { value: one.said, maxlength: 80, data: { key: "name" } });
  const row = el("input", { type: "number", min: 1, value: one.row ?? "", data: { key: "row" } });
  const col = el("input", { type: "number", min: 1, value: one.col ?? "", data: { key: "col" } });
  const fabric = state.view.fabrics.find((each) => each.name === one.fabric);
  const mates = fabric.squares.filter((id) => id !== one.id);
  const other = el("select", {}, el("option", { value: "", text: "choose a square" }),
    ...state.view.squares.filter((each) => each.fabric !== one.fabric)
      .map((each) => el("option", { value: each.id, text: `${each.label}, ${each.colour_name}` })));
  const twin = el("select", {}, el("option", { value: "", text: "choose a square" }),
    ...state.view.squares.filter((each) => each.photo !== one.photo)
      .map((each) => el("option", { value: each.id, text: `${each.label}, ${each.colour_name}` })));
  return [
    el("form.row", { submit: (event) => { event.preventDefault(); act([{ kind: "name", squares: [one.id], text: name.value }], `${one.label} is called ${name.value || "by its label"}.`); } },
      field("Your name for it", name), el("button", { text: "Keep" })),
    el("form.row", { submit: (event) => { event.preventDefault(); act([{ kind: "place", square: one.id, row: Number(row.value), col: Number(col.value) }], `It lies in row ${row.value}, column ${col.value}.`); } },
      field("Row", row), field("Column", col), el("button", { text: "Put there" })),
    el("p", { text: mates.length ? `Same fabric as ${mates.slice(0, 8).map(called).join(", ")}${mates.length > 8 ? " …" : ""}.` : "The only one of its fabric." }),
    el("div.row", {}, mates.length ? button("It is a fabric of its own", () => act([{ kind: "own fabric", squares: [one.id] }], `${one.label} is a fabric of its own.`)) : null,
      field("Same fabric as", other), button("Join", () => other.value && act([{ kind: "one fabric", squares: [Number(other.value), one.id] }], "They are one fabric."))),
    twin.options.length > 1 ? el("div.row", {}, field("The same piece of cloth as, in another photo", twin),
      button("Count it once", () => twin.value && act([{ kind: "same piece", squares: [Number(twin.value), one.id] }], "They are counted as one."))) : null,
    el("div.row", { role: "group", "aria-label": "Light" }, ...["white", "grey"].map((kind) => {
      const on = state.view[kind] === one.id;
      return button(kind === "white" ? "This is white cloth" : "This is a neutral grey",
        () => act([{ kind, square: on ? null : one.id }], on ? "Judged as before." : `All colours follow ${one.label}.`), { "aria-pressed": String(on), data: { key: `light-${kind}` } });
    })),
    one.drawn || one.moved ? null : el("p.hint", { text: "To put its outline right, drag a corner on the photo." }),
    button("To the next doubtful one", () => {
      const next = [...state.view.squares].sort((a, b) => b.doubt - a.doubt).find((each) => each.doubt < one.doubt || (each.doubt === one.doubt && each.id > one.id));
      if (next) given.choose(next.id, true);
    }),
  ];
}

function noneChosen() {
  const out = state.view.out;
  return [
    el("h2", { text: "Look it over" }),
    el("p", { text: "Choose a square on the photo or in the list. J and K walk through the list, the doubtful ones first." }),
    out.length ? el("details", { open: opened.has("out") ? true : null, toggle: (event) => remember("out", event.target.open) },
      el("summary", { text: `${out.length} taken out`, data: { key: "out" } }), el("ul.plain-list", {}, ...out.map(taken))) : null,
  ];
}

/** A square that was taken out, and the way to have it again. */
function taken(one) {
  const { photo, corners, row, col } = one;
  const here = state.view.photos.some((each) => each.id === photo) && !one.twin_of;
  return el("li.row", {}, el("span", { text: `${one.label}: ${one.dropped}` }),
    here ? button("Put back", () => act([{ kind: "missed", photo, corners, row, col }], `${one.label} is a square again.`),
      { "aria-label": `Put ${one.label} back` }) : null);
}
