/** The quilt as it hangs: drawn from its own cloth, moved by hand, sewn row by row. */

import { button, el, field, fill } from "../frame/dom.js";
import { carrying } from "../frame/carry.js";
import { post } from "../frame/api.js";
import { act, called, hear, say, state } from "../frame/store.js";
import { iconButton } from "../frame/icons.js";
import { body, loadPlan, query, standing, wish, wishFor } from "../plan/wish.js";
import { hangingRoom } from "./room.js";
import { LAYERS } from "./layers.js";
import { sewing } from "./sewing.js";
import { wallCheck } from "./wallcheck.js";

/** @param {HTMLElement} main */
export function wall(main) {
  const none = el("p.none", { role: "status" });
  const title = el("h2");
  const rows = el("section", { "aria-label": "Sewing, row by row" });
  const room = hangingRoom(words);
  const orders = el("select", { id: "wall-order", "aria-label": "Order of the wall", data: { key: "order" }, change: () => wishFor({ order: orders.value }) });
  const keep = el("a.button", { download: "", text: "Keep the picture" });
  const bar = el("div.wall-bar", {}, title, orders, layerChips(room), zooms(room));
  const here = el("div.wall-and-sewing", {}, el("div.wall-main", {}, bar, room.box),
    el("div.wall-side", {}, rows, wallCheck(), el("p", {}, keep)));
  fill(main, none, here);
  let asked = "";
  const blocks = () => standing.plan?.wall?.blocks ?? [];
  const carry = carrying(main, {
    ...room.carried, kind: ".block", what: "place", name: (n) => words(blocks()[n]),
    free: () => draw(),
    drop: (from, to) => exchange(standing.plan.wall, blocks()[from], blocks()[to]),
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
      none.textContent = standing.problem || (found ? "Nothing hangs here yet: choose a pattern that your sets serve, under Plan." : "Hanging the sets …");
      return;
    }
    title.textContent = `${found.title}, ${hangs.size}`;
    fill(orders, found.orders.map((one) => el("option", { value: one.name, text: one.says, selected: one.name === hangs.order })));
    keep.href = `/api/bundle/${state.view.id}/wall.jpg${query()}`;
    room.label(`The wall, ${found.title}`);
    fill(rows, ...sewing(hangs, (block) => tick(hangs, block)));
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
      room.hang(quilt, blocks());
      carry.refresh();
    } catch (error) {
      asked = "";
      none.hidden = false;
      none.textContent = error.message;
    }
  };
  const keys = (event) => {
    const at = event.target.closest?.(".block");
    if (event.key !== " " || !at) return;
    event.preventDefault();
    if (event.type === "keydown") tick(standing.plan.wall, blocks()[Number(at.dataset.square)]);
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

function words(block) {
  const hangs = block.squares.length ? block.squares.map(called).join(", ") : (block.bought ? "bought cloth" : "empty");
  return `${block.place}${block.mark ? ` (block ${block.mark})` : ""}: ${hangs}${block.done ? ", sewn" : ""}`;
}

function exchange(wallNow, one, other) {
  if (one.mark !== other.mark) return say(`${one.place} is another block than ${other.place}, so they can't change places.`);
  const said = `${one.place} and ${other.place} changed places.`;
  return act([{ kind: "hang", wall: wallNow.key, swap: [one.place, other.place], squares: [one.squares, other.squares] }], said);
}

function tick(wallNow, block) {
  if (!block.squares.length) return;
  const on = !block.done;
  act([{ kind: "hang", wall: wallNow.key, done: block.place, on, squares: block.squares }], `${block.place}: ${on ? "sewn" : "not sewn after all"}.`);
}
