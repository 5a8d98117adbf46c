/** What is known of the chosen square, and what can be said of it. */

import { button, el, fill, palette } from "../frame/dom.js";
import { further } from "./further.js";
import { act, called, crop, square, state } from "../frame/store.js";

const MARKS = [["held back", "Hold back"], ["damaged", "Damaged"], ["wrong side", "Wrong side up"], ["cut", "Already cut"]];
const ROLES = [["", "either"], ["feature", "feature"], ["background", "background"]];
/** What a person opened stays open for the next square. */
const opened = new Set();

/**
 * @param {HTMLElement} room @param {number} id 0 where none is chosen
 * @param {{choose: (id: number, fly: boolean) => void, measured?: (id: number) => boolean}} given
 */
export function panel(room, id, given) {
  const one = square(id);
  if (!one || one.dropped) fill(room, ...noneChosen());
  else fill(room, head(one, given.measured?.(id) ?? true), el("dl.facts", {}, ...facts(one)), marks(one), roles(one), more(one, given));
}

function head(one, measured) {
  return el("div.panel-head", {}, el("img.crop", { src: crop(one.id), alt: "", width: 96, height: 96 }),
    el("div", {}, el("h2", { text: called(one.id) }), el("p", { text: measured ? `${one.colour_name}, ${one.value_words}` : "measuring …" }),
      el("p.hint", { text: `${one.family} · ${one.print} · fabric ${one.fabric}` }), palette(one, true)));
}

function facts(one) {
  const { seen } = one;
  const moved = seen && String(seen.corners) !== String(one.corners);
  const placed = seen && (seen.row !== one.row || seen.col !== one.col);
  const rows = [
    one.palette.length > 1 ? ["Colours", one.shares] : null,
    one.look.length ? ["Print", one.look.join(", ")] : null,
    ["Size", one.width_in ? `${one.width_in.toFixed(2)} × ${one.height_in.toFixed(2)} in` : "unknown"],
    ["Sure", one.drawn ? "you drew it" : `${Math.round(one.confidence * 100)} of 100`],
    one.flags.length ? ["Look again", one.flags.join(", ")] : null,
    one.fabric_doubt ? ["Fabric", `${one.fabric_doubt}: the photo can't tell`] : null,
    one.state ? ["State", one.state] : null,
    one.uncertainty ? ["Colour", `may be off by ${one.uncertainty.toFixed(1)}`] : null,
    moved ? ["The photo said", "another outline, dotted on the photo"] : null,
    placed ? ["The photo said", seen.row ? `row ${seen.row}, column ${seen.col}` : "no row"] : null,
  ];
  return rows.filter(Boolean).flatMap(([name, text]) => [el("dt", { text: name }), el("dd", { text })]);
}

function marks(one) {
  const squares = [one.id];
  const isNone = () => act([{ kind: "not a square", squares }], `${one.label} is no square.`);
  return el("div.row", { role: "group", "aria-label": "What it is" }, button("Not a square", isNone, { data: { key: "isnt" } }),
    ...MARKS.map(([mark, words]) => {
      const on = one.marks.includes(mark);
      const told = `${one.label}: ${on ? `no longer ${mark}` : mark}.`;
      return button(words, () => act([{ kind: "mark", squares, mark, on: !on }], told),
        { "aria-pressed": String(on), data: { key: mark } });
    }));
}

function roles(one) {
  return el("fieldset.row", {}, el("legend", { text: "Serves as" }), ...ROLES.map(([role, words]) => {
    const id = `role-${words}`;
    const input = el("input", {
      type: "radio", name: "role", value: role, checked: one.role === role, id, data: { key: id },
      change: () => act([{ kind: "role", squares: [one.id], role }], `${one.label} serves as ${words}.`),
    });
    return el("span.radio", {}, input, el("label", { for: id, text: words }));
  }));
}

/** What is said more seldom; made when it is opened. */
function more(one, given) {
  const room = el("div");
  const show = () => { if (!room.hasChildNodes()) room.append(...further(one, given)); };
  if (opened.has("more")) show();
  return details("more", "Name, place, fabric, light", room, show);
}

function details(name, words, room, show = () => {}) {
  const toggle = (event) => {
    if (event.target.open) opened.add(name);
    else opened.delete(name);
    if (event.target.open) show();
  };
  return el("details", { open: opened.has(name), toggle }, el("summary", { text: words, data: { key: name } }), room);
}

function noneChosen() {
  const { out } = state.view;
  return [
    el("h2", { text: "Look it over" }),
    el("p", { text: `Choose a square on the photo or in the list.${matchMedia("(hover: hover)").matches ? " J and K walk through the list." : ""}` }),
    out.length ? details("out", `${out.length} taken out`, el("ul.plain-list", {}, ...out.map(taken))) : null,
  ];
}

/** A square that was taken out, and the way to have it again. */
function taken(one) {
  const { photo, corners, row, col } = one;
  const here = state.view.photos.some((each) => each.id === photo) && !one.twin_of;
  const back = () => act([{ kind: "missed", photo, corners, row, col }], `${one.label} is a square again.`);
  return el("li.row", {}, el("span", { text: `${one.label}: ${one.dropped}` }),
    here ? button("Put back", back, { "aria-label": `Put ${one.label} back` }) : null);
}
