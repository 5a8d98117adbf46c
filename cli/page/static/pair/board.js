/** The board: all squares as cloth, those of a set touching, as large as one screen allows. */

import { el } from "../frame/dom.js";
import { icon } from "../frame/icons.js";
import { fitted } from "./fit.js";
import { dressTile, tile } from "./tile.js";
import { called } from "../frame/store.js";

/** Squares from which on what is out of sight isn't laid out. */
const LONG = 250;
/** Squares that get their cloth and words at once; the others in steps of so many milliseconds, as soon as the first are seen. */
const AT_ONCE = 150;
const STEP = 12;
/** What the server calls a set that the photo leaves open. */
const CLOSE_CALL = "could change";

/** @returns {{box: HTMLElement, draw: Function, tileOf: Function, tiles: () => HTMLElement[], setAt: Function, setOf: Function, resize: Function}} */
export function board() {
  const hint = el("p.quiet", { id: "board-hint", text: "Enter picks it up; Enter on another square lets the two change places. Space chooses it." });
  const room = el("div.board-room", { role: "group", "aria-label": "Squares, by family and value" });
  const none = el("p.board-empty", { hidden: true });
  const box = el("div.board.cloth-ground", {}, hint, none, room);
  const known = new Map();
  const tiles = new Map();
  let order = [];
  let lengths = [];
  /** Sets that are not dressed yet. */
  let due = [];
  let timer = 0;

  /** @param {any[]} groups what is shown @param {object} marks @param {(key: string) => boolean} there whether squares still lie together, shown or not */
  function draw(groups, marks, there) {
    box.classList.toggle("long", groups.reduce((sum, { count }) => sum + count, 0) > LONG);
    const gone = new Set(known.keys());
    const wanted = [];
    lengths = [];
    due = [];
    let fresh = 0;
    for (const { name, items, count } of groups) {
      items.forEach((item, place) => {
        const key = item.squares.join(" ");
        gone.delete(key);
        if (!known.has(key)) known.set(key, touching(item));
        const node = known.get(key);
        if (bare.has(node)) fresh += item.squares.length;
        if (bare.has(node) && fresh > AT_ONCE) due.push(() => dress(node, item, marks));
        else dress(node, item, marks);
        heading(node, place ? null : name, count, items.length);
        wanted.push(node);
        lengths.push(item.squares.length);
      });
    }
    for (const key of gone) if (!there(key)) known.delete(key);
    settle(room, wanted);
    tiles.clear();
    order = [...room.querySelectorAll(".tile")];
    for (const one of order) tiles.set(Number(one.dataset.square), one);
    resize();
    clearTimeout(timer);
    timer = setTimeout(dressDue);
  }
  function dressDue() {
    const end = performance.now() + STEP;
    while (due.length && performance.now() < end) due.shift()();
    if (due.length) timer = setTimeout(dressDue);
  }
  function resize() {
    const size = fitted(lengths, box);
    if (size) box.style.setProperty("--tile", `${size}px`);
  }
  new ResizeObserver(resize).observe(box);

  return {
    box, draw, resize,
    /** Say why nothing lies there. @param {string} words none where something does */
    empty: (words) => {
      none.hidden = !words;
      if (none.textContent !== words) none.textContent = words;
    },
    tileOf: (id) => tiles.get(id) ?? null,
    tiles: () => order,
    setAt: (id) => tiles.get(id)?.closest(".set") ?? null,
  };
}

/** Squares that touch. */
function touching(item) {
  const node = el("div.set", { role: "group", data: { set: item.set?.number ?? "" } }, el("div.set-squares", {}, ...item.squares.map(tile)), el("p.set-words"));
  node.style.setProperty("--many", String(item.squares.length));
  bare.add(node);
  return node;
}
/** Sets that have no cloth and words yet. */
const bare = new WeakSet();

function dress(node, { squares, set }, { changed, broken }) {
  const words = node.lastElementChild;
  bare.delete(node);
  for (const one of node.querySelectorAll(".tile")) dressTile(one);
  node.classList.toggle("locked", Boolean(set?.locked));
  node.classList.toggle("loose", set?.counts === false);
  node.classList.toggle("changed", Boolean(set && changed.has(set.number)));
  node.dataset.set = set?.number ?? "";
  if (!set) {
    node.removeAttribute("aria-label");
    words.replaceChildren();
    return;
  }
  const close = set.flags.includes(CLOSE_CALL);
  const said = `${set.words}${close ? ", could change" : ""}${set.locked ? ", locked" : ""}${set.counts === false ? ", too far apart to count" : ""}`;
  node.setAttribute("aria-label", `Set ${set.number}, ${said}${changed.has(set.number) ? ", new" : ""}`);
  const title = `Set ${set.number}: ${squares.map(called).join(" + ")}, ${said} (${set.difference.toFixed(1)})`;
  if (words.title === title && !broken) return;
  words.title = title;
  words.replaceChildren(...[
    set.locked ? icon("lock") : null, el("b", { text: String(set.number) }), close ? el("b.close-call", { text: "?" }) : null,
    el("span", { text: set.counts === false ? "too far" : set.brief }),
  ].filter(Boolean));
}

function heading(node, name, count, sets) {
  const had = node.querySelector("h3");
  if (!name) {
    had?.remove();
    return;
  }
  const made = had ?? el("h3.family");
  made.replaceChildren(name, el("small", { text: ` ${count}` }));
  made.style.setProperty("--sets", String(sets));
  if (!had) node.prepend(made);
}

/** Put children in order, moving only those that lie elsewhere. */
function settle(room, wanted) {
  const stay = new Set(wanted);
  for (const one of [...room.children]) if (!stay.has(one)) one.remove();
  wanted.forEach((one, place) => {
    if (room.children[place] !== one) room.insertBefore(one, room.children[place] ?? null);
  });
}
