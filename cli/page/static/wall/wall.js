/** The sets on the wall: hung elsewhere by dragging or by key, and sewn row by row. */

import { button, el, fill } from "../frame/dom.js";
import { carrying } from "../frame/carry.js";
import { sewing } from "./sewing.js";
import { wallCheck } from "./wallcheck.js";
import { act, called, crop, hear, say, state } from "../frame/store.js";
import { loadPlan, query, standing, wish, wishFor } from "../plan/wish.js";

/** @param {HTMLElement} main */
export function wall(main) {
  const head = el("div");
  const hung = el("div.wall", { role: "group", "aria-label": "The wall" });
  const rows = el("section", { "aria-label": "Sewing, row by row" });
  const whole = el("div");
  const here = el("div.wall-and-sewing", {}, el("div", {}, hung, whole), el("div", {}, wallCheck(), rows));
  fill(main, head, here);
  const blocks = () => standing.plan?.wall?.blocks ?? [];
  let late = false;
  const carry = carrying(main, {
    free: () => { if (late) draw(); },
    kind: ".block", what: "place", name: (place) => words(blocks()[place]),
    drop: (from, to) => exchange(standing.plan.wall, blocks()[from], blocks()[to]),
  });

  main.append(carry.hint);

  const draw = () => {
    late = carry.busy();
    if (late) return;
    const found = standing.plan;
    const hangs = found?.wall;
    here.hidden = !hangs;
    if (!hangs) {
      fill(head, el("p.none", { role: "status", text: standing.problem || (found
        ? "Nothing hangs here yet: choose a pattern that your sets serve, under Plan." : "Hanging the sets …") }));
      return;
    }
    fill(head, el("div.row", {}, el("h2", { text: `${found.title}, ${hangs.size}` }), order(found)));
    hang(hung, hangs);
    fill(rows, ...sewing(hangs, (block) => tick(hangs, block)));
    carry.refresh();
    drawPicture(whole);
  };
  const keys = (event) => {
    const at = event.target.closest?.(".block");
    if (event.key !== " " || !at) return;
    event.preventDefault();
    tick(standing.plan.wall, blocks()[Number(at.dataset.square)]);
  };
  const deaf = hear((what) => {
    if (what === "plan") draw();
    if (what === "view" && state.view) loadPlan();
  });
  hung.addEventListener("keydown", keys);
  hung.addEventListener("keyup", (event) => { if (event.key === " ") event.preventDefault(); });
  draw();
  loadPlan();
  return () => {
    deaf();
    carry.end();
  };
}

function order(found) {
  const chosen = found.wall.order;
  const select = el("select", { id: "wall-order", data: { key: "order" }, change: () => wishFor({ order: select.value }) },
    ...found.orders.map((one) => el("option", { value: one.name, text: one.says, selected: one.name === chosen })));
  return el("div.field", {}, el("label", { for: "wall-order", text: "Order" }), select);
}

/** Hang the blocks, each with the crops of its squares, at its place. */
function hang(room, wallNow) {
  const { wide_in: wide, long_in: long, block_in: side, block_long_in: high } = wallNow;
  room.style.aspectRatio = `${wide} / ${long}`;
  room.style.maxWidth = `calc(${(wide / long).toFixed(4)} * 85vh)`;
  const turned = wallNow.on_point;
  fill(room, wallNow.blocks.map((block, place) => {
    const two = block.squares.length === 2;
    const columns = two ? 1 : Math.ceil(Math.sqrt(Math.max(1, block.squares.length)));
    return el(`button.block${two ? ".two" : ""}${block.done ? ".sewn" : ""}`, {
      type: "button", data: { square: place, key: `block-${block.place}` }, "aria-pressed": "false", "aria-label": words(block), "aria-describedby": "carry-hint",
      style: {
        left: `${(100 * (block.x - side / 2)) / wide}%`, top: `${(100 * (block.y - high / 2)) / long}%`,
        width: `${(100 * side) / wide}%`, height: `${(100 * high) / long}%`,
        gridTemplateColumns: `repeat(${columns}, 1fr)`, gridAutoRows: "1fr", rotate: turned ? "45deg" : "",
      },
    }, ...block.squares.map((id) => el("img", { src: crop(id), alt: "", loading: "lazy", decoding: "async", draggable: "false" })),
    el("span", { text: block.place }));
  }));
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

/** The quilt as it will look, drawn by the server on demand. */
function drawPicture(room) {
  const address = `/api/bundle/${state.view.id}/wall.jpg${query()}`;
  const shown = room.querySelector("img");
  const fresh = `${address}${address.includes("?") ? "&" : "?"}v=${state.view.version}`;
  if (shown) {
    if (shown.getAttribute("src") !== fresh) shown.src = fresh;
    room.querySelector("a").href = address;
    return;
  }
  fill(room, button("Show the quilt as a picture", () => fill(room,
    el("img.quilt-picture", { src: fresh, alt: `The quilt with its cloth: ${wish().file || standing.plan.title}` }),
    el("p", {}, el("a", { href: address, download: "", text: "Keep the picture" })))));
}
