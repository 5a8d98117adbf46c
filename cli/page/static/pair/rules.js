/** How sets are chosen: sliders and choices, each followed at once. */

import { debounced, el } from "../frame/dom.js";
import { act, limits, loadSets, state } from "../frame/store.js";

const PAUSE = 30;

/** @returns {{box: HTMLElement, refresh: () => void}} */
export function rules() {
  let waiting = {};
  let busy = false;
  const follow = debounced(async () => {
    if (busy) return;
    busy = true;
    while (Object.keys(waiting).length) {
      const given = waiting;
      waiting = {};
      await act([{ kind: "rules", ...given }]);
      await loadSets();
    }
    busy = false;
  }, PAUSE);
  const send = (given) => {
    Object.assign(waiting, given);
    follow();
  };
  const { max: any } = limits("rules", "most_step");
  const sizes = limits("rules", "set_size");
  const tolerance = slider("tolerance", "Largest difference that counts", 0.5, String);
  const least = slider("least_step", "Least step, dark to light", 1, (value) => (value > 0 ? `${value} of 100` : "none"));
  const most = slider("most_step", "Greatest step, dark to light", 1, (value) => (value >= any ? "any" : `${value} of 100`), any);
  const size = choice("set_size", "Squares in a set", Array.from({ length: sizes.max - sizes.min + 1 }, (_, more) => [sizes.min + more, `${sizes.min + more}`]), Number);
  const same = choice("same_fabric", "Two of one fabric", [["allow", "may be a set"], ["prefer", "rather"], ["avoid", "rather not"]], String);
  const names = choice("names", "Colours by", [["standard", "standard names"], ["everyday", "everyday words"]], String);
  const by = choice("match_by", "Alike means alike in", [["colour", "colour"], ["value", "value alone"], ["hue", "hue alone"]], String);
  const from = choice("seen_from", "Looked at from", [["wall", "the design wall"], ["hand", "the hand"]], String);
  const families = el("input", { type: "number", ...limits("rules", "families"), id: "rule-families", placeholder: "as they fall", data: { key: "rule-families" } });
  families.addEventListener("change", () => send({ families: families.value ? Number(families.value) : null }));
  const box = el("div", {}, el("h2", { text: "What goes together" }),
    el("form", { submit: (event) => event.preventDefault() },
      el("p.hint", { text: "Of differences, 1 is barely seen and 5 is plain to see." }),
      tolerance.box, least.box, most.box, size.box, same.box, by.box,
      el("details.more-rules", {}, el("summary", { text: "More" }), from.box,
        el("div.field", {}, el("label", { for: "rule-families", text: "Colour families" }), families), names.box)));

  function slider(name, words, step, tell, none) {
    const input = el("input", { type: "range", ...limits("rules", name), step, id: `rule-${name}`, data: { key: `rule-${name}` } });
    const told = el("output", { for: input.id });
    input.addEventListener("input", () => {
      told.textContent = tell(Number(input.value));
      send({ [name]: Number(input.value) === none ? null : Number(input.value) });
    });
    return {
      box: el("div.field.slider", {}, el("label", { for: input.id, text: words }), told, input),
      show: (value) => {
        if (document.activeElement !== input || input.value === "") input.value = value ?? none;
        told.textContent = tell(value ?? none);
        input.setAttribute("aria-valuetext", told.textContent);
      },
    };
  }
  function choice(name, words, choices, kind) {
    const input = el("select", { id: `rule-${name}`, data: { key: `rule-${name}` }, change: () => send({ [name]: kind(input.value) }) },
      ...choices.map(([value, text]) => el("option", { value, text })));
    return { box: el("div.field", {}, el("label", { for: input.id, text: words }), input), show: (value) => { input.value = value; } };
  }
  const refresh = () => {
    const { rules: now, defaults } = state.view;
    tolerance.show(now.tolerance ?? defaults.tolerance);
    least.show(now.least_step);
    most.show(now.most_step);
    size.show(now.set_size);
    same.show(now.same_fabric);
    names.show(now.names);
    by.show(now.match_by);
    from.show(now.seen_from);
    if (document.activeElement !== families) families.value = now.families ?? "";
  };
  refresh();
  return { box, refresh };
}
