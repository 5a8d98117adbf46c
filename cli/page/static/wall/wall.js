/** The quilt as it hangs: drawn from its own cloth, moved by hand, sewn row by row. */

import { button, el, field, fill } from "../frame/dom.js";
import { carrying } from "../frame/carry.js";
import { post } from "../frame/api.js";
import { called, hear, say, state } from "../frame/store.js";
import { iconButton } from "../frame/icons.js";
import { body, loadPlan, query, standing, wish, wishFor } from "../plan/wish.js";
import { clothTrial } from "./cloths.js";
import { hangingRoom } from "./room.js";
import { LAYERS } from "./layers.js";
import { MODES, moving } from "./moving.js";
import { sewing } from "./sewing.js";
import { ticking } from "./ticking.js";
import { wallCheck } from "./wallcheck.js";

/** @param {HTMLElement} main */
export function wall(main) {
  const none = el("p.none", { role: "status" });
  const title = el("h2");
  const rows = el("section", { "aria-label": "Sewing, row by row" });
  const room = hangingRoom(words);
  const ticks = ticking(room);
  const moves = moving(room, (n) => room.hand(n));
  const cloths = clothTrial(room);
  const orders = el("select", { id: "wall-order", "aria-label": "Order of the wall", data: { key: "order" }, change: () => wishFor({ order: orders.value }) });
  const keep = el("a.button", { download: "", text: "Keep the picture" });
  const bar = el("div.wall-bar", {}, title, orders, movers(room, moves), layerChips(room), zooms(room));
  const here = el("div.wall-and-sewing", {}, el("div.wall-main", {}, bar, room.box, moves.told),
    side({ Sewing: el("div", {}, rows, el("p", {}, keep)), Cloths: cloths.box, Check: wallCheck(room.mark) }, cloths.away));
  fill(main, none, here);
  let asked = "";
  const carry = carrying(main, {
    ...room.carried, kind: ".block", what: "place", name: (n) => room.hand(n).node.getAttribute("aria-label"),
    free: () => draw(),
    aim: (from, to) => moves.aim(room.mode(), from, to),
    drop: (from, to) => moves.drop(room.mode(), from, to),
  });
  room.box.append(carry.hint);
  room.holds(carry);

  const draw = () => {
    if (carry.busy()) return;
    const found = standing.plan;
    const hangs = found?.wall;
    here.hidden = !hangs;
    none.hidden = Boolean(hangs);
    if (!hangs) {
      none.textContent = standing.problem || (found ? nothingHangs() : "Hanging the sets …");
      return;
    }
    ticks.put();
    title.textContent = `${found.title}, ${hangs.size}`;
    fill(orders, found.orders.map((one) => el("option", { value: one.name, text: one.says, selected: one.name === hangs.order })));
    keep.href = `/api/bundle/${state.view.id}/wall.jpg${query()}`;
    room.label(`The wall, ${found.title}`);
    fill(rows, ...sewing(hangs, ticks.tick));
    room.refresh();
    loadQuilt();
  };
  const loadQuilt = async () => {
    const { view } = state;
    const wanted = `${view.id} ${view.version} ${JSON.stringify(wish())}`;
    if (asked === wanted || standing.busy) return;
    asked = wanted;
    try {
      const quilt = await post(`/api/bundle/${view.id}/quilt`, body());
      if (asked !== wanted) return;
      const places = changedPlaces(room.geometry(), quilt);
      room.hang(quilt);
      ticks.put();
      if (places.length) room.mark(places);
      moves.changed(places);
      cloths.anew(quilt);
    } catch (error) {
      asked = "";
      none.hidden = false;
      none.textContent = error.message;
    }
  };
  const keys = (event) => {
    const hand = event.target.matches?.(".block") ? room.hand(Number(event.target.dataset.square)) : null;
    if (!hand || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === " ") {
      event.preventDefault();
      if (event.type === "keydown") ticks.tick(planned(hand.place));
    } else if (event.type === "keydown" && event.key.toLowerCase() === "r") moves.turn(hand.place);
  };
  const deaf = hear((what) => {
    if (what === "plan") draw();
    if (what === "view" && state.view) loadPlan();
  });
  room.box.addEventListener("keydown", keys);
  room.box.addEventListener("keyup", keys);
  draw();
  loadPlan();
  return () => {
    deaf();
    carry.end();
    room.end();
  };
}

function planned(place) {
  return standing.plan.wall.blocks.find((block) => block.place === place);
}

/** Where other squares hang in a quilt than in what was shown of the same wall before, or the same turned. */
function changedPlaces(before, after) {
  if (before?.key !== after.key) return [];
  const was = new Map(before.blocks.map((block) => [block.place, JSON.stringify([block.f.filter((one) => one >= 0), block.t])]));
  return after.blocks.filter((block) => was.get(block.place) !== JSON.stringify([block.f.filter((one) => one >= 0), block.t])).map(({ place }) => place);
}

/** What is moved by hand, and a way to turn a block. */
function movers(room, moves) {
  const choice = el("div.segments", { role: "group", "aria-label": "Move" });
  const draw = () => fill(choice, MODES.map(([mode, text]) => button(text, () => {
    room.take(mode);
    draw();
  }, { "aria-pressed": String(room.mode() === mode), data: { key: `move-${mode}` } })));
  draw();
  return el("div.movers", {}, el("span.hint", { text: "Move", "aria-hidden": "true" }), choice,
    iconButton("turn", "Turn the block that is picked up", () => {
      const hand = room.current();
      if (hand) moves.turn(hand.place);
      else say("Pick up a block first, then turn it.");
    }));
}

/** What lies beside the wall, one part at a time. @param {Object<string, HTMLElement>} parts @param {() => void} away */
function side(parts, away) {
  const names = Object.keys(parts);
  let shown = names[0];
  const choice = el("div.segments", { role: "group", "aria-label": "Beside the wall" });
  const draw = () => {
    fill(choice, names.map((name) => button(name, () => {
      if (name !== shown) away();
      shown = name;
      draw();
    }, { "aria-pressed": String(name === shown), data: { key: `side-${name}` } })));
    for (const name of names) parts[name].hidden = name !== shown;
  };
  draw();
  return el("div.wall-side", {}, choice, ...names.map((name) => parts[name]));
}

/** Chips that switch what lies over the cloth. */
function layerChips(room) {
  return el("div.chips", { role: "group", "aria-label": "Shown on the quilt" }, ...LAYERS.map(([name, text]) => {
    const chip = button(text, () => chip.setAttribute("aria-pressed", String(room.layer(name))), {
      class: "chip", "aria-pressed": String(room.shows(name)), data: { key: `layer-${name}` },
    });
    return chip;
  }));
}

function zooms(room) {
  return el("div.zooms", { role: "group", "aria-label": "Zoom" },
    iconButton("minus", "Farther", () => room.farther()), iconButton("whole", "The whole quilt", () => room.whole()),
    iconButton("plus", "Nearer", () => room.nearer()));
}

function words(place, group) {
  const block = planned(place);
  const told = (squares) => squares.map(called).join(", ");
  if (group) return `${group.number ? `Set ${group.number}` : told(group.squares)} at ${place}${group.number ? `: ${told(group.squares)}` : ""}`;
  const hangs = block.squares.length ? told(block.squares) : (block.bought ? "bought cloth" : "empty");
  return `${place}${block.mark ? ` (block ${block.mark})` : ""}: ${hangs}${block.done ? ", sewn" : ""}`;
}

/** Why nothing hangs, and what to do. */
function nothingHangs() {
  if (!state.view.squares.length) return "No squares are left here: take the last step back, or add photos.";
  return "Nothing hangs here yet: choose a pattern that your sets serve, under Plan.";
}
