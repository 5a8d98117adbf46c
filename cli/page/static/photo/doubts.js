/** The doubts that a person can end: one after the other, large, each with its question. */

import { button, el, fill } from "../frame/dom.js";
import { icon } from "../frame/icons.js";
import { get } from "../frame/api.js";
import { act, back, called, complain, crop, square, state } from "../frame/store.js";

/**
 * @param {object} given
 * @param {(one: any) => void} given.show bring what is asked about into sight
 * @param {(id: number) => void} given.corners let a square's corners be moved
 * @param {(on: boolean) => void} given.opened
 * @returns {{bar: HTMLElement, box: HTMLElement, refresh: () => Promise<void>, open: () => boolean, key: (event: KeyboardEvent) => boolean}}
 */
export function doubts(given) {
  const words = el("span", { role: "status" });
  const start = button("Look at them", () => begin(), { data: { key: "doubts-start" } });
  const bar = el("div.doubts-bar", { hidden: true }, words, start);
  const box = el("section.card.doubts", { "aria-label": "What wants a look", hidden: true, tabindex: -1 });
  let told = null;
  let at = "";
  /** What is to be asked again as soon as its answer is taken back. */
  let again = "";
  let on = false;
  let moving = false;
  const answered = [];

  const list = () => (told ? [...told.photos, ...told.squares] : []);
  const keyOf = (one) => (one.square ? `square ${one.square}` : `photo ${one.photo} ${one.question}`);

  /** Ask anew what is in doubt. */
  async function refresh() {
    const { id, version, squares } = state.view;
    if (!squares.some((one) => "asked" in one)) return;
    if (told?.version === version && told.bundle === id) return;
    try {
      const found = await get(`/api/bundle/${id}/doubts`);
      if (state.view?.id !== id) return;
      told = { ...found, bundle: id };
    } catch (error) {
      complain(error);
      return;
    }
    bar.hidden = on || !list().length;
    words.textContent = told.words;
    if (on) draw();
  }
  function begin() {
    on = true;
    at = "";
    answered.length = 0;
    bar.hidden = true;
    box.hidden = false;
    given.opened(true);
    draw();
    box.focus({ preventScroll: true });
  }
  function end() {
    on = moving = false;
    box.hidden = true;
    bar.hidden = !list().length;
    given.opened(false);
  }
  function draw() {
    const all = list();
    const taken = all.find((each) => keyOf(each) === again);
    if (taken) again = "";
    const one = taken ?? all.find((each) => keyOf(each) === at) ?? all[0];
    if (!one) {
      at = "";
      fill(box, ...nothingMore());
      return;
    }
    const fresh = keyOf(one) !== at;
    if (fresh) moving = false;
    at = keyOf(one);
    fill(box, head(all.length), ...asked(one));
    if (fresh) given.show(one);
  }
  function head(many) {
    return el("div.doubts-head", {}, el("h2", { text: many === 1 ? "One thing wants a look" : `${many} things want a look` }),
      icons("undo", "Take back the last answer", takeBack, !answered.length), icons("close", "Not now", end));
  }
  function asked(one) {
    const name = one.square ? called(one.square) : one.name;
    return [
      el("div.doubts-cloth.cloth-ground", {}, one.square ? el("img", { src: crop(one.square), alt: "", width: 256, height: 256 })
        : el("img", { src: `/api/photo/${one.photo}.jpg?wide=640&v=${encodeURIComponent(photoOf(one).v)}`, alt: "" })),
      el("h3", { text: name }),
      el("p", { text: one.reason }),
      el("p.doubts-question", { text: moving ? "Drag its corners on the photo; then it is measured anew." : one.question }),
      el("div.doubts-answers", { role: "group", "aria-label": one.question }, ...(moving ? moved(one) : one.answers.map((answer, place) =>
        button(answer.words, () => take(one, answer), { class: place ? null : "primary", data: { key: `answer-${place}` }, "aria-keyshortcuts": String(place + 1) })))),
      el("div.row", {}, button("Later", () => pass(one), { class: "plain", data: { key: "doubts-later" } })),
    ];
  }
  function moved(one) {
    return [button("It lies right now", () => {
      moving = false;
      next(one, [{ kind: "right as found", squares: [one.square], on: true }], "Right now");
    }, { class: "primary", data: { key: "answer-0" } }), button("Leave it as it is", () => { moving = false; draw(); }, { data: { key: "answer-1" } })];
  }
  function take(one, answer) {
    if (answer.deeds) next(one, answer.deeds, answer.words);
    else if (answer.open === "corners") {
      moving = true;
      draw();
      given.corners(one.square);
    } else {
      end();
      if (answer.open === "pair") location.hash = `#bundle/${state.view.id}/pair`;
      else given.show(one);
    }
  }
  /** Say the answer and go on at once; it is asked again if it can't be kept. */
  async function next(one, deeds, said) {
    const had = told;
    answered.push(keyOf(one));
    told = { ...told, photos: told.photos.filter((each) => each !== one), squares: told.squares.filter((each) => each !== one) };
    draw();
    const done = await act(deeds, `${one.square && square(one.square) ? called(one.square) : one.name ?? "It"}: ${said.toLowerCase()}.`);
    if (!done) {
      told = had;
      answered.pop();
      at = keyOf(one);
      draw();
    }
  }
  /** Put it behind the others; nothing is said of it. */
  function pass(one) {
    told = { ...told, photos: told.photos.filter((each) => each !== one), squares: [...told.squares.filter((each) => each !== one), ...(one.square ? [one] : [])] };
    if (!one.square) told.photos = [...told.photos, one];
    at = keyOf(list()[0]);
    const first = list().find((each) => each !== one);
    if (first) at = keyOf(first);
    draw();
    given.show(list().find((each) => keyOf(each) === at));
  }
  function takeBack() {
    again = answered.pop() ?? "";
    back("undo");
  }
  function nothingMore() {
    return [
      el("div.doubts-head", {}, el("h2", { text: "Nothing more to look at" }), icons("undo", "Take back the last answer", takeBack, !answered.length)),
      el("p", { text: "Every square is as you want it. What you said is kept, and nothing is asked twice." }),
      el("div.row", {}, el("a.button.primary", { href: `#bundle/${state.view.id}/pair`, text: "On to the pairs" }), button("Stay with the photo", end)),
    ];
  }
  /** Number keys answer. @returns {boolean} whether the key was one */
  function key(event) {
    if (!on || !/^[1-9]$/.test(event.key)) return false;
    const answer = box.querySelectorAll(".doubts-answers button")[Number(event.key) - 1];
    answer?.click();
    return Boolean(answer);
  }
  return { bar, box, refresh, open: () => on, key };
}

function photoOf(one) {
  return state.view.photos.find((each) => each.id === one.photo) ?? { v: "" };
}

function icons(picture, words, does, off = false) {
  const made = button("", does, { class: "icon", "aria-label": words, title: words, disabled: off, data: { key: `doubts-${picture}` } });
  made.append(icon(picture));
  return made;
}
