/** The photo with what was found in it: looked over, put right. */

import { button, chip, debounced, el, fill, svg, typing } from "./dom.js";
import { corners, outlineShape } from "./corners.js";
import { missed } from "./missed.js";
import { panel } from "./panel.js";
import { stage } from "./stage.js";
import { act, called, hear, square, state } from "./store.js";

const DOUBTFUL = 0.25;
const PAUSE = 200;

/** Where one looked last, kept over a reload. */
const place = {
  get: () => JSON.parse(sessionStorage.getItem(`look ${state.view.id}`) ?? "{}"),
  keep: (more) => sessionStorage.setItem(`look ${state.view.id}`, JSON.stringify({ ...place.get(), ...more })),
};

/** @param {HTMLElement} main */
export function photo(main) {
  const view = () => state.view;
  const tabs = el("div.tabs", { role: "toolbar", "aria-label": "Photos" });
  const stageBox = el("div.stage-room");
  const bar = el("div.stage-bar", { role: "toolbar", "aria-label": "Look at the photo" });
  const draftRoom = el("div");
  const list = el("ol.square-list", { "aria-label": "Squares, the doubtful ones first" });
  const heading = el("h2", { id: "list-title" });
  const room = el("section.panel", { "aria-label": "The chosen square" });
  const light = el("div.light");
  let shownPhoto = place.get().photo ?? view().photos[0]?.id;
  let chosen = place.get().square ?? 0;
  let at = null;
  let handles = null;
  let draft = null;
  let order = [];
  const shapes = new Map();
  const labels = new Map();

  const photoOf = (id) => view().photos.find((one) => one.id === id);
  const drawStage = () => {
    const one = photoOf(shownPhoto) ?? view().photos[0];
    if (!one) {
      fill(stageBox, el("p.none", { text: "This bundle has no photo." }));
      return;
    }
    shownPhoto = one.id;
    const last = place.get();
    at = stage(one, last.photo === one.id ? last.at : undefined);
    at.onMove(debounced(() => { if (at.box.isConnected) place.keep({ photo: shownPhoto, at: at.place() }); }, PAUSE));
    at.box.addEventListener("click", clicked);
    shapes.clear();
    labels.clear();
    fill(stageBox, at.box);
    handles = corners(at, (id) => shapes.get(id));
    draft = missed(at, one, { done: (id) => choose(id || chosen, true), room: draftRoom });
    fill(bar,
      button("+", () => at.zoom(1.25), { "aria-label": "Nearer" }), button("−", () => at.zoom(0.8), { "aria-label": "Farther" }),
      button("Whole photo", () => at.whole()), button("Draw a missed square", () => draft.begin(), { "aria-keyshortcuts": "M" }));
    drawMarks();
    handles.choose(square(chosen)?.photo === shownPhoto && !square(chosen).dropped ? chosen : 0);
  };

  const drawMarks = () => {
    const here = view().squares.filter((one) => one.photo === shownPhoto);
    const old = new Set(shapes.keys());
    for (const one of here) {
      old.delete(one.id);
      if (!shapes.has(one.id)) {
        const shape = outlineShape(one);
        const label = svg("text", { class: "label" });
        shape.dataset.square = one.id;
        shapes.set(one.id, shape);
        labels.set(one.id, label);
        at.marks.append(shape, label);
      }
      mark(one);
    }
    for (const id of old) {
      shapes.get(id).remove();
      labels.get(id).remove();
      shapes.delete(id);
      labels.delete(id);
    }
  };
  const mark = (one) => {
    const shape = shapes.get(one.id);
    shape.setAttribute("points", one.corners.map((p) => p.join(",")).join(" "));
    shape.setAttribute("class", ["outline", one.doubt >= DOUBTFUL ? "doubtful" : "", one.state ? "used" : "",
      one.id === chosen ? "chosen" : ""].filter(Boolean).join(" "));
    const label = labels.get(one.id);
    const side = Math.hypot(one.corners[1][0] - one.corners[0][0], one.corners[1][1] - one.corners[0][1]);
    label.setAttribute("x", one.corners.reduce((sum, p) => sum + p[0], 0) / 4);
    label.setAttribute("y", one.corners.reduce((sum, p) => sum + p[1], 0) / 4);
    label.style.setProperty("--side", String(side));
    label.textContent = one.doubt >= DOUBTFUL ? `${one.label} ?` : one.label;
  };

  const drawList = () => {
    order = [...view().squares].sort((a, b) => (b.doubt >= DOUBTFUL) - (a.doubt >= DOUBTFUL)
      || (a.doubt >= DOUBTFUL ? b.doubt - a.doubt : 0));
    const doubtful = order.filter((one) => one.doubt >= DOUBTFUL).length;
    heading.textContent = doubtful ? `${order.length} squares, look again at ${doubtful}` : `${order.length} squares`;
    fill(list, order.map((one) => el("li", {}, el("button", {
      type: "button", data: { square: one.id, key: `list-${one.id}` }, "aria-current": one.id === chosen ? "true" : null,
      click: () => choose(one.id, true),
    }, chip(one), el("strong", { text: one.label }),
    el("span", { text: [...one.flags, one.state, one.said || one.colour_name].filter(Boolean).join(" · ") })))));
  };
  const drawTabs = () => {
    fill(tabs, view().photos.map((one) => button(one.name, () => { shownPhoto = one.id; remember(); drawStage(); drawTabs(); drawLight(); },
      { "aria-pressed": String(one.id === shownPhoto), data: { key: `photo-${one.id}` } })));
    tabs.hidden = view().photos.length < 2;
  };
  const drawLight = () => {
    const one = photoOf(shownPhoto);
    if (!one) return;
    const ground = el("select", { change: () => act([{ kind: "ground", photo: one.id, ground: ground.value || null }],
      "The ground is noted; all colours follow.") },
    ...[["", "judged by its looks"], ["white", "white"], ["grey", "grey"], ["wood", "wood"], ["mat", "a cutting mat"]]
      .map(([value, text]) => el("option", { value, text, selected: (one.ground ?? "") === value })));
    const id = "ground-of-photo";
    ground.id = id;
    fill(light, el("p.hint", { text: `Colours are judged by ${one.evidence}. They may be off by about ${one.expected_error.toFixed(1)} `
      + "(1 is barely seen, 5 is plain to see)." + (one.cut_off ? ` ${one.cut_off} squares at the edge of the picture are not counted.` : "") }),
    el("div.field", {}, el("label", { for: id, text: "The squares lie on" }), ground),
    view().notes.length ? el("ul.notes", {}, ...view().notes.map((text) => el("li", { text }))) : null,
    view().photos.length > 1 ? button("Take this photo out", () => act([{ kind: "drop photo", photo: one.id }], `${one.name} is taken out.`)) : null);
  };

  /** Scroll the list, and nothing else, until a line of it shows. */
  function bring(line) {
    const { offsetTop: top, offsetHeight: high } = line;
    if (top < list.scrollTop) list.scrollTop = top;
    else if (top + high > list.scrollTop + list.clientHeight) list.scrollTop = top + high - list.clientHeight;
  }
  const remember = () => place.keep({ photo: shownPhoto, square: chosen });
  function choose(id, fly) {
    const old = chosen;
    chosen = square(id) && !square(id).dropped ? id : 0;
    const one = square(chosen);
    if (one && one.photo !== shownPhoto) {
      shownPhoto = one.photo;
      drawStage();
      drawTabs();
      drawLight();
    }
    for (const number of [old, chosen]) if (shapes.has(number)) mark(square(number));
    if (shapes.has(chosen)) at.marks.append(shapes.get(chosen), labels.get(chosen));
    handles?.choose(one ? chosen : 0);
    if (one && fly) at.flyTo(one.corners);
    for (const item of list.querySelectorAll("button")) {
      const is = Number(item.dataset.square) === chosen;
      item.toggleAttribute("aria-current", is);
      if (is) {
        item.setAttribute("aria-current", "true");
        bring(item.parentElement);
      }
    }
    remember();
    panel(room, chosen, { choose });
  }
  function clicked(event) {
    if (at.box.dataset.moved || event.target.closest(".handle")) return;
    if (draft.busy()) {
      draft.click(event);
      return;
    }
    const hit = event.target.closest?.("polygon");
    choose(hit ? Number(hit.dataset.square) : 0, false);
  }
  const step = (by) => {
    if (!order.length) return;
    const place = order.findIndex((one) => one.id === chosen);
    const next = order[Math.min(order.length - 1, Math.max(0, place < 0 ? 0 : place + by))];
    choose(next.id, true);
  };
  const keys = (event) => {
    if (typing(event) || event.ctrlKey || event.metaKey || event.altKey || document.querySelector("dialog[open]")) return;
    const inList = list.contains(event.target);
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    if (draft?.key(event)) event.preventDefault();
    else if (key === "j" || (inList && key === "ArrowDown")) step(1);
    else if (key === "k" || (inList && key === "ArrowUp")) step(-1);
    else if (key === "m") draft?.begin();
    else if (key === "Escape" && chosen) choose(0, false);
    else if (key === "Delete" && square(chosen)) {
      const next = order[order.findIndex((one) => one.id === chosen) + 1]?.id ?? 0;
      act([{ kind: "not a square", squares: [chosen] }], `${called(chosen)} is no square.`).then((done) => done && choose(next, true));
    } else return;
    event.preventDefault();
    if (inList) list.querySelector('[aria-current="true"]')?.focus();
  };
  addEventListener("keydown", keys);

  fill(main, el("div.look", {},
    el("div.look-photo", {}, tabs, bar, draftRoom, stageBox, light),
    el("div.look-side", {}, room, heading, list)));
  drawStage();
  drawTabs();
  drawList();
  drawLight();
  choose(chosen, false);
  const deaf = hear((what) => {
    if (what !== "view" || !view()) return;
    if (!photoOf(shownPhoto)) drawStage();
    else drawMarks();
    drawTabs();
    drawList();
    drawLight();
    choose(chosen, false);
  });
  return () => {
    deaf();
    removeEventListener("keydown", keys);
  };
}
