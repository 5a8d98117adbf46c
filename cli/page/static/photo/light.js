/** What a photo's colours are judged by, and what can be said of it. */

import { button, el, field, fill } from "../frame/dom.js";
import { act, state } from "../frame/store.js";

const NOTED = "That is noted; all colours follow.";
const GROUNDS = [["", "judged by its looks"], ["white", "white"], ["grey", "grey"], ["wood", "wood"], ["mat", "a cutting mat"], ["other", "another colour"]];
const LAMPS = [["", "judged by the prints"], ["yes", "yes"], ["no", "no"]];
/** What a choice says. */
const SAYS = { "": null, yes: true, no: false };

/** @param {HTMLElement} room @param {any} photo */
export function light(room, photo) {
  const { notes, photos } = state.view;
  const cut = photo.cut_off ? ` Not counted: ${photo.cut_off} at the edge of the picture.` : "";
  const ground = chosen("ground", GROUNDS, photo.ground ?? "",
    (value) => act([{ kind: "ground", photo: photo.id, ground: value || null }], "The ground is noted; all colours follow."));
  const lamp = chosen("lamp", LAMPS, { true: "yes", false: "no" }[photo.lamp] ?? "",
    (value) => act([{ kind: "lamp", photo: photo.id, lamp: SAYS[value] }], NOTED));
  fill(room,
    el("p.hint", { text: `Colours are judged by ${photo.evidence}. All of them may be off by about ${photo.expected_error.toFixed(1)} `
      + `(1 is barely seen, 5 is plain to see); differences between squares by less.${cut}` }),
    ...photo.doubts.map((text) => el("p.hint", { text })),
    el("div.said", {}, field("The squares lie on", ground), field("A lamp was on", lamp)),
    notes.length ? el("ul.notes", {}, ...notes.map((text) => el("li", { text }))) : null,
    photos.length > 1 ? button("Take this photo out", () => act([{ kind: "drop photo", photo: photo.id }], `${photo.name} is taken out.`)) : null);
}

/** A choice of one of several. */
function chosen(name, choices, now, does) {
  const box = el("select", { id: name, data: { key: name }, change: () => does(box.value) },
    ...choices.map(([value, text]) => el("option", { value, text, selected: now === value })));
  return box;
}
