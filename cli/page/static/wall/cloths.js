/** A cloth that is bought tried on the wall: a colour, or the print of a square of any bundle; kept only when told so. */

import { get, post } from "../frame/api.js";
import { button, debounced, el, field, fill } from "../frame/dom.js";
import { act, state, told } from "../frame/store.js";
import { body } from "../plan/wish.js";

const COLOUR = "colour";
const PAUSE = 80;

/** @param {any} room where the quilt hangs */
export function clothTrial(room) {
  const cloth = el("select", { change: () => put() });
  const source = el("select", { change: () => offer() });
  const colour = el("input", { type: "color", input: debounced(() => ask({ colour: colour.value }), PAUSE) });
  const byColour = field("Colour", colour);
  const squares = el("div.cloth-choice", { role: "group", "aria-label": "Squares" });
  const lines = el("div", { role: "status" });
  const keep = button("Keep it", () => hold(), { class: "primary", disabled: true });
  const drop = button("As it was", () => put(), { disabled: true });
  const none = button("Choose nothing for it", () => act([{ kind: "hang", wall: patternOf(), cloth: cloth.value, colour: "" }], `Nothing is chosen for ${cloth.value} any more.`), { class: "plain" });
  let asking = null;
  let tried = null;

  const put = () => {
    asking?.abort();
    tried = null;
    keep.disabled = drop.disabled = true;
    fill(lines);
    room.tryCloths(null, []);
    const now = own();
    none.hidden = !now?.chosen;
    if (now) colour.value = now.hex;
    for (const one of squares.children) one.setAttribute("aria-pressed", "false");
  };
  const own = () => room.geometry()?.cloths.find(({ name }) => name === cloth.value);
  const patternOf = () => room.geometry().key.split("|")[0];
  const ask = async (choice) => {
    asking?.abort();
    asking = new AbortController();
    try {
      const found = await post(`/api/bundle/${state.view.id}/cloth-trial`, { ...body(), choice: { cloth: cloth.value, ...choice } }, { signal: asking.signal });
      tried = found;
      room.tryCloths(found.cloths, found.steps);
      fill(lines, found.lines.map((text) => el("p", { text })));
      keep.disabled = drop.disabled = false;
    } catch (error) {
      if (error.name !== "AbortError") fill(lines, el("p", { text: error.message }));
    }
  };
  const hold = async () => {
    const { deeds } = tried;
    keep.disabled = true;
    if (!await act(deeds, `${cloth.value} is chosen.`)) keep.disabled = false;
  };
  const offer = async () => {
    const from = source.value;
    byColour.hidden = from !== COLOUR;
    squares.hidden = from === COLOUR;
    put();
    if (from === COLOUR) return;
    fill(squares);
    const bundle = Number(from) === state.view.id ? state.view : await get(`/api/bundle/${from}`).catch(() => null);
    if (source.value !== from || !bundle) return;
    fill(squares, ordered(bundle).map((one) => {
      const chosen = button("", () => {
        for (const other of squares.children) other.setAttribute("aria-pressed", String(other === chosen));
        ask({ bundle: bundle.id, square: one.id });
      }, { "aria-pressed": "false", "aria-label": bundle === state.view ? told(one.id) : `${one.label}, ${one.colour_name}`, title: one.label });
      chosen.append(el("img.crop", { src: `/api/crop/${one.id}.jpg?v=${encodeURIComponent(one.v)}`, alt: "", width: 44, height: 44, loading: "lazy", decoding: "async" }));
      return chosen;
    }));
  };
  return {
    box: el("section.cloths", { "aria-label": "Try a cloth" }, field("Cloth", cloth), field("From", source), byColour, squares, lines,
      el("div.row", {}, keep, drop, none)),
    /** Another quilt hangs, or the same with other cloths. */
    anew: (quilt) => {
      const was = cloth.value;
      fill(cloth, quilt.cloths.map(({ name, chosen }) => el("option", { value: name, text: chosen ? `${name} (chosen)` : name })));
      const usual = quilt.blocks.flatMap(({ f }) => f).find((one) => one < 0);
      cloth.value = quilt.cloths.some(({ name }) => name === was) ? was : quilt.cloths[usual ? -usual - 1 : 0]?.name ?? "";
      if (!source.options.length) {
        const others = (state.start?.bundles ?? []).filter(({ id }) => id !== state.view.id);
        fill(source, el("option", { value: COLOUR, text: "a colour" }), el("option", { value: state.view.id, text: "this bundle" }),
          others.map(({ id, name }) => el("option", { value: id, text: name })));
        offer();
      } else put();
    },
    /** The panel is put away: what isn't kept is shown no more. */
    away: put,
  };
}

/** The squares of a bundle, family by family. */
function ordered(bundle) {
  const at = new Map(bundle.squares.map((one) => [one.id, one]));
  return bundle.families.flatMap(({ squares }) => squares.map((id) => at.get(id))).filter(Boolean);
}
