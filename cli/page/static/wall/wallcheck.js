/** The wall checked by a photo: what differs, drawn and in sentences, and what to make of it. */

import { uploadTo } from "../frame/api.js";
import { button, el, field, fill } from "../frame/dom.js";
import { change, say, state } from "../frame/store.js";
import { query } from "../plan/wish.js";

/** @param {(places: string[]) => void} mark shows on the drawn wall where something is to be put right @returns {HTMLElement} */
export function wallCheck(mark) {
  const input = el("input", { type: "file", accept: "image/*", id: "wall-photo", change: () => input.files[0] && look(input.files[0]) });
  const status = el("p", { role: "status" });
  const found = el("div.wall-found");
  const look = async (file) => {
    const id = state.view.id;
    input.disabled = true;
    fill(found);
    status.textContent = `Looking at ${file.name} …`;
    try {
      const told = await uploadTo(`/api/bundle/${id}/wall-checks${query()}`, file);
      if (state.view?.id !== id) return;
      status.textContent = told.line;
      show(found, told);
      mark([...new Set(told.moves.flatMap(({ places }) => places))]);
    } catch (error) {
      status.textContent = error.message;
    } finally {
      input.disabled = false;
      input.value = "";
    }
  };
  return el("section.wall-check", { "aria-labelledby": "wall-check" },
    el("h2", { id: "wall-check", text: "Check the wall by a photo" }),
    field("Photo of the wall", input, "The whole wall or a part of it, from the front. It is looked at and not kept."),
    status, found);
}

function show(room, told) {
  const picture = `/api/wall-checks/${told.check}.jpg`;
  const moves = told.moves.map((one) => el("li", { text: one.sure ? `${one.says.replace(/\.$/, "")} (${one.sure}).` : one.says }));
  fill(room,
    moves.length ? el("p", { text: "To put right, in this order; the numbers stand in the picture:" }) : null,
    moves.length ? el("ol.moves", {}, ...moves) : null,
    told.beside.length ? el("ul.plain-list", {}, ...told.beside.map((text) => el("li", { text }))) : null,
    told.differs ? choice(told, "take", "Take it as it hangs", "The plan follows the wall now. Undo takes that back.") : null,
    told.sewn.length ? choice(told, "tick", `Tick ${told.sewn.length} as sewn`, `Ticked as sewn: ${told.sewn.join(", ")}.`) : null,
    el("a", { href: picture, target: "_blank" },
      el("img.quilt-picture", { src: picture, alt: `The wall with what to put right. ${told.line}` })));
}

/** A button that makes something of the check, once. */
function choice(told, way, words, said) {
  const made = button(words, async () => {
    made.disabled = true;
    const done = await change(`wall-checks/${told.check}/${way}`);
    if (done) {
      made.remove();
      say(said);
    } else made.disabled = false;
  }, { data: { key: `wall-${way}` } });
  return made;
}
