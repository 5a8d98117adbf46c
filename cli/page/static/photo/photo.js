/** The photo with what was found in it: looked over, put right. */

import { button, debounced, el, fill, typing } from "../frame/dom.js";
import { icon } from "../frame/icons.js";
import { placeIn } from "../frame/place.js";
import { corners } from "./corners.js";
import { doubts } from "./doubts.js";
import { light } from "./light.js";
import { marks } from "./marks.js";
import { missed } from "./missed.js";
import { panel } from "./panel.js";
import { squareList } from "./squarelist.js";
import { stage } from "./stage.js";
import { strip } from "./strip.js";
import { act, called, hear, square, state } from "../frame/store.js";

const PAUSE = 200;

/** Whether labels stand over the photo; kept. */
const labels = {
  get on() { return localStorage.getItem("photo labels") !== "away"; },
  set on(shown) { localStorage.setItem("photo labels", shown ? "" : "away"); },
};

/** @param {HTMLElement} main */
export function photo(main) {
  const place = placeIn("look");
  const rooms = {
    bar: el("div.stage-bar", { role: "toolbar", "aria-label": "Look at the photo" }),
    draft: el("div"), stage: el("div.stage-room"), light: el("div.light"),
    panel: el("section.panel", { "aria-label": "The chosen square" }),
  };
  const squares = squareList((id) => choose(id, true));
  let shown = place.get().photo;
  let chosen = place.get().square ?? 0;
  /** What is over the photo that is shown: its stage, marks, handles and draft; null without one. */
  let over = null;
  const tabs = strip((id) => {
    showPhoto(id);
    choose(chosen, false);
  });
  const queue = doubts({
    show: (one) => (one.square ? choose(one.square, true) : one.photo !== shown && showPhoto(one.photo)),
    corners: (id) => {
      choose(id, true);
      rooms.stage.scrollIntoView({ block: "nearest" });
      rooms.stage.querySelector(".handle")?.focus({ preventScroll: true });
    },
    opened: (on) => { rooms.panel.hidden = on; squares.box.hidden = on; },
  });

  fill(main, el("div.look", {},
    el("div.look-photo", {}, tabs.box, queue.bar, rooms.bar, rooms.draft, rooms.stage, rooms.light),
    el("div.look-side", {}, queue.box, rooms.panel, squares.box)));

  const given = { choose: (id, fly) => choose(id, fly), measured: (id) => over?.marks.measured(id) ?? true };
  const photoShown = () => state.view.photos.find((one) => one.id === shown) ?? state.view.photos[0];
  function showPhoto(id) {
    shown = id;
    const one = photoShown();
    over = null;
    if (!one) {
      fill(rooms.stage, el("p.none", { text: "This bundle has no photo." }));
      return;
    }
    shown = one.id;
    over = overPhoto(one, { rooms, place, choose, chosen: () => chosen, measuring: () => panel(rooms.panel, chosen, given) });
    drawAround();
  }
  function drawAround() {
    tabs.draw(shown);
    light(rooms.light, photoShown());
  }
  function choose(id, fly) {
    const one = square(id);
    chosen = one && !one.dropped ? id : 0;
    if (chosen && fly && one.photo !== shown) showPhoto(one.photo);
    const here = chosen && one.photo === shown ? chosen : 0;
    over?.marks.choose(here);
    over?.handles.choose(here);
    if (here && fly) over.at.flyTo(one.corners);
    squares.mark(chosen);
    place.keep({ photo: shown, square: chosen });
    panel(rooms.panel, chosen, given);
  }
  const leave = listening({
    squares, queue, over: () => over, chosen: () => chosen, choose,
    redraw: () => {
      if (photoShown()?.id !== shown) showPhoto(shown);
      else {
        over?.marks.draw();
        drawAround();
      }
      squares.draw(chosen);
      choose(chosen, false);
    },
  });
  showPhoto(shown);
  squares.draw(chosen);
  choose(chosen, false);
  queue.refresh();
  const scrolling = place.follow();
  place.back();
  return () => {
    leave();
    scrolling();
  };
}

/** Put a photo on its stage, with marks, handles and the draft of a missed square over it. */
function overPhoto(one, { rooms, place, choose, chosen, measuring }) {
  const last = place.get();
  const at = stage(one, last.photo === one.id ? last.at : undefined);
  fill(rooms.stage, at.box);
  at.onMove(debounced(() => { if (at.box.isConnected) place.keep({ photo: one.id, at: at.place() }); }, PAUSE));
  const over = { at, marks: marks(at.marks, one.id) };
  over.handles = corners(at, {
    outline: over.marks.outline, lies: over.marks.lies,
    measuring: (...moved) => {
      over.marks.measuring(...moved);
      measuring();
    },
  });
  over.draft = missed(at, one, { done: (id) => choose(id || chosen(), true), room: rooms.draft });
  at.box.addEventListener("click", (event) => {
    if (at.box.dataset.moved || event.target.closest(".handle")) return;
    if (over.draft.busy()) over.draft.click(event);
    else choose(Number(event.target.closest?.("polygon")?.dataset.square ?? 0), false);
  });
  fill(rooms.bar,
    named("minus", "Farther", () => at.zoom(0.8)), named("whole", "Whole photo", () => at.whole()), named("plus", "Nearer", () => at.zoom(1.25)),
    labelled(at.box), button("Draw a missed square", () => over.draft.begin(), { "aria-keyshortcuts": "M" }));
  over.marks.draw();
  return over;
}

/** The one control of labels over the photo. */
function labelled(box) {
  const control = named("labels", "Labels", () => {
    labels.on = !labels.on;
    put();
  });
  const put = () => {
    control.setAttribute("aria-pressed", String(labels.on));
    box.classList.toggle("unlabelled", !labels.on);
  };
  put();
  return control;
}

function named(picture, words, does) {
  const made = button("", does, { class: "icon", "aria-label": words, title: words });
  made.append(icon(picture));
  return made;
}

/** Follow the keys and what becomes of the bundle. @returns {() => void} what ends it */
function listening({ squares, queue, over, chosen, choose, redraw }) {
  const isNone = () => {
    const next = squares.beside(chosen(), 1);
    const gone = chosen();
    const ended = act([{ kind: "not a square", squares: [gone] }], `${called(gone)} is no square.`);
    choose(next, true);
    ended.then((done) => done || choose(gone, true));
  };
  const keys = (event) => {
    if (typing(event) || event.ctrlKey || event.metaKey || event.altKey || document.querySelector("dialog[open]")) return;
    const inList = squares.list.contains(event.target);
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    if (over()?.draft.key(event) || queue.key(event)) { /* it was theirs */ }
    else if (key === "j" || (inList && key === "ArrowDown")) choose(squares.beside(chosen(), 1), true);
    else if (key === "k" || (inList && key === "ArrowUp")) choose(squares.beside(chosen(), -1), true);
    else if (key === "m") over()?.draft.begin();
    else if (key === "Escape" && chosen()) choose(0, false);
    else if (key === "Delete" && chosen()) isNone();
    else return;
    event.preventDefault();
    if (inList) squares.list.querySelector('[aria-current="true"]')?.focus();
  };
  addEventListener("keydown", keys);
  const deaf = hear((what) => {
    if (what !== "view" || !state.view) return;
    redraw();
    queue.refresh();
  });
  return () => {
    deaf();
    removeEventListener("keydown", keys);
  };
}
