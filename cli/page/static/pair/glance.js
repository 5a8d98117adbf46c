/** Beside the board: the square under the pointer or at hand, large, with what goes with it. */

import { button, el, fill, palette } from "../frame/dom.js";
import { icon } from "../frame/icons.js";
import { others } from "./others.js";
import { standing } from "../photo/marks.js";
import { act, called, crop, square, state } from "../frame/store.js";

/**
 * @param {object} given
 * @param {(id: number) => any} given.setOf
 * @param {(id: number) => void} given.pick pick a square up, to change places with another
 * @param {ReturnType<typeof import("./preview.js").preview>} given.ahead what things would do
 */
export function glance(given) {
  const { ahead } = given;
  const cloth = el("div.glance-cloth");
  const doing = el("div.glance-doing");
  const box = el("div.glance", { hidden: true }, cloth, doing);
  let shown = 0;
  let hand = 0;
  let open = false;

  /** Show a square; the one at hand stays the one that is acted upon. */
  function look(id) {
    const one = square(id) ?? square(hand);
    shown = one?.id ?? 0;
    box.hidden = !one;
    doing.classList.toggle("of-another", shown !== hand);
    if (one) fill(cloth, large(one, given.setOf(one.id)));
  }
  function hold(id) {
    hand = square(id) ? id : 0;
    look(hand);
    const one = square(hand);
    if (!one) {
      fill(doing);
      return;
    }
    const set = given.setOf(hand);
    fill(doing, el("h3", { text: called(hand) }), el("div.row", { role: "group", "aria-label": called(hand) }, ...does(one, set)), set ? room(set) : null);
  }
  function does(one, set) {
    const onPhoto = () => sessionStorage.setItem(`look ${state.view.id}`, JSON.stringify({ photo: one.photo, square: one.id }));
    return [
      set ? lockButton(set) : null,
      set ? apartButton(set) : null,
      standing(one) === "free" ? named("turn", "Change places", () => given.pick(one.id), { data: { does: "swap", key: "swap" } }) : null,
      el("a.button", { href: `#bundle/${state.view.id}/photo`, click: onPhoto }, icon("photo"), "On the photo"),
    ].filter(Boolean);
  }
  function apartButton(set) {
    const deeds = () => [{ kind: "take apart", squares: set.squares }];
    const said = `${set.squares.map(called).join(" and ")} are not to be a set.`;
    const heading = `Without set ${set.number}`;
    const take = (event) => {
      if (event.pointerType === "touch") ahead.weigh(heading, deeds, "Take apart", said);
      else {
        ahead.hide();
        act(deeds(), said);
      }
    };
    return named("apart", "Take apart", take, { data: { does: "apart", key: "apart" }, ...ahead.hinting(heading, deeds) });
  }
  function room(set) {
    const list = el("div.others");
    const show = () => others(list, set, {
      foresee: (from, to, settled) => ahead.show(from, to, settled, true), drop: ahead.drop,
    });
    if (open) show();
    return el("details.partners", { open, toggle: (event) => {
      open = event.target.open;
      if (open && !list.hasChildNodes()) show();
    } }, el("summary", { text: "Partners for these squares", data: { does: "others", key: "others" } }), list);
  }
  return { box, look, hold, shown: () => shown, refresh: () => hold(hand) };
}

function lockButton(set) {
  const does = () => (set.locked ? act([{ kind: "unlock", squares: set.squares }], `Set ${set.number} may change again.`)
    : act([{ kind: "lock", sets: [set.squares] }], `Set ${set.number} stays together.`));
  const made = named(set.locked ? "unlock" : "lock", "", does, { data: { does: "lock", key: "lock" }, "aria-pressed": String(set.locked) });
  made.append(el("span.of-words", {}, ...["Lock", "Unlock"].map((words, place) =>
    el("span", { text: words, "data-rest": Boolean(set.locked) !== Boolean(place), "aria-hidden": Boolean(set.locked) !== Boolean(place) ? "true" : null }))));
  return made;
}

/** A button with a picture before its words. */
function named(picture, words, does, more) {
  const made = button("", does, more);
  made.append(icon(picture), words);
  return made;
}

function large(one, set) {
  const mates = (set?.squares ?? []).filter((id) => id !== one.id);
  return [
    el("div.glance-pictures", { data: { many: mates.length } }, picture(one.id), ...mates.map(picture)),
    el("h2", { text: called(one.id) }),
    palette(one, true),
    el("p", { text: `${one.colour_name}, ${one.value_words}` }),
    el("p.hint", { text: [one.shares === one.colour_name ? "" : one.shares, one.look.join(", ") || one.print, `fabric ${one.fabric}`].filter(Boolean).join(" · ") }),
    set ? el("p", {}, el("strong", { text: `Set ${set.number}` }), ` with ${mates.map(called).join(", ")}: ${set.words} (${set.difference.toFixed(1)}), `
      + `${set.value_step.toFixed(0)} of 100 from dark to light`) : null,
    el("p.hint", { text: known(one, set) }),
  ];
}

function picture(id) {
  return el("img.crop", { src: crop(id), alt: "", width: 256, height: 256, decoding: "async", draggable: "false" });
}

function known(one, set) {
  const looks = set ? [
    set.same_fabric ? "same fabric" : set.same_fabric === null ? "perhaps one fabric" : "",
    set.locked ? "locked" : "", set.counts === false ? "too far apart to count" : "",
    ...set.flags.filter((flag) => flag !== "locked" && !(set.counts === false && flag === "far apart")),
  ] : [];
  return [one.state, ...looks, ...one.flags.map((flag) => `look again: ${flag}`)].filter(Boolean).join(" · ");
}
