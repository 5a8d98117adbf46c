/** What a photo's colours are judged by, and what can be said of it. */

import { button, el, field, fill } from "./dom.js";
import { act, state } from "./store.js";

const GROUNDS = [["", "judged by its looks"], ["white", "white"], ["grey", "grey"], ["wood", "wood"], ["mat", "a cutting mat"]];

/** @param {HTMLElement} room @param {any} photo */
export function light(room, photo) {
  const { notes, photos } = state.view;
  const cut = photo.cut_off ? ` Not counted: ${photo.cut_off} at the edge of the picture.` : "";
  const ground = el("select", {
    id: "ground", data: { key: "ground" },
    change: () => act([{ kind: "ground", photo: photo.id, ground: ground.value || null }], "The ground is noted; all colours follow."),
  }, ...GROUNDS.map(([value, text]) => el("option", { value, text, selected: (photo.ground ?? "") === value })));
  fill(room,
    el("p.hint", { text: `Colours are judged by ${photo.evidence}. They may be off by about ${photo.expected_error.toFixed(1)} `
      + `(1 is barely seen, 5 is plain to see).${cut}` }),
    field("The squares lie on", ground),
    notes.length ? el("ul.notes", {}, ...notes.map((text) => el("li", { text }))) : null,
    photos.length > 1 ? button("Take this photo out", () => act([{ kind: "drop photo", photo: photo.id }], `${photo.name} is taken out.`)) : null);
}
