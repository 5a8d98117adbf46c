/** The room in which the quilt hangs: its drawing, and over each block a place for hands, keys and words. */

import { el, fill } from "../frame/dom.js";
import { called } from "../frame/store.js";
import { clothOf } from "./cloth.js";
import { drawDifferences, drawLayers, drawRim } from "./layers.js";
import { blockAt, drawBlock, drawQuilt, reach } from "./quilt.js";
import { seen } from "./seen.js";

const FINER = 10;
const GHOST = 130;
const FIRST = ["sets", "sewn"];
const STILL = 150;
const SHELF = "wall layers";

/**
 * @param {(block: any) => string} words what hangs in a block of the plan
 */
export function hangingRoom(words) {
  const canvas = el("canvas.cloth", { "aria-hidden": "true" });
  const hands = el("div.wall-hands");
  const box = el("div.wall.cloth-ground", { role: "group", tabindex: 0, "aria-label": "The wall" }, canvas, hands);
  const on = new Set(kept());
  let geometry = null;
  let cloth = null;
  let nodes = [];
  let carry = null;
  let due = 0;
  let focused = null;
  let told = [];
  let instead = new Map();
  let changed = new Set();

  let still = 0;

  const later = () => { due ||= requestAnimationFrame(() => draw()); };
  const moved = () => {
    due ||= requestAnimationFrame(() => draw(true));
    clearTimeout(still);
    still = setTimeout(later, STILL);
  };
  const sight = seen(box, {
    geometry: () => geometry, changed: moved, busy: () => Boolean(carry?.busy()),
    carried: (node) => node !== box && !node.closest?.("button") && Boolean(lastFound),
  });
  let lastFound = null;
  box.addEventListener("pointerdown", (event) => { lastFound = find(event.clientX, event.clientY); }, true);

  const draw = (quick = false) => {
    due = 0;
    if (!geometry || !canvas.clientWidth) return;
    const { view } = sight;
    drawQuilt(canvas, geometry, { view, cloth, quick, instead: (place) => instead.get(place) });
    drawLayers(canvas, geometry, view, on, called);
    for (const node of nodes) {
      const how = node.classList.contains("picked") ? "picked" : node.classList.contains("target") ? "target"
        : node === focused ? "focus" : changed.has(node.dataset.place) ? "changed" : "";
      if (how) drawRim(canvas, geometry, view, blockOf(node), null, how);
    }
    drawDifferences(canvas, geometry, view, told);
    hands.style.transform = `translate(${view.x}px, ${view.y}px) scale(${view.scale / FINER})`;
  };
  const blockOf = (node) => geometry.blocks[Number(node.dataset.square)];
  const find = (x, y) => {
    if (!geometry) return null;
    const found = blockAt(geometry, ...sight.inInches(x, y));
    return found ? nodes[geometry.blocks.indexOf(found.block)] : null;
  };
  const ghost = (node) => {
    const block = blockOf(node);
    const side = Math.max(48, Math.min(GHOST, 2 * reach(geometry, block) * sight.view.scale));
    const copy = el("canvas.ghost.cloth", { "aria-hidden": "true", style: { left: "0", top: "0", width: `${side}px`, height: `${side}px` } });
    drawBlock(copy, geometry, block, cloth, side);
    return copy;
  };
  new MutationObserver(later).observe(hands, { subtree: true, attributes: true, attributeFilter: ["class"] });
  // A browser scrolls what has the focus into sight, which the transform has done already.
  box.addEventListener("scroll", () => box.scrollTo(0, 0));
  const watch = new MutationObserver(later);
  watch.observe(document.documentElement, { attributes: true });

  return {
    box,
    carried: {
      find, ghost,
      reach: (node) => {
        focused = node && node.matches(":focus-visible") ? node : null;
        if (node) sight.reveal(...blockOf(node).at, reach(geometry, blockOf(node)));
        later();
      },
    },
    holds: (one) => { carry = one; },
    label: (text) => box.setAttribute("aria-label", `${text}; plus and minus zoom, arrow keys move it`),
    /** Show a quilt. @param {any} quilt @param {any[]} blocks of the plan, in the same order */
    hang: (quilt, blocks) => {
      geometry = quilt;
      cloth = clothOf(geometry, later);
      [told, instead] = [[], new Map()];
      Object.assign(hands.style, { width: `${quilt.wide * FINER}px`, height: `${quilt.long * FINER}px` });
      nodes = blocks.map((block, n) => handOf(quilt, n, words(block)));
      fill(hands, nodes);
      sight.anew();
      later();
    },
    /** Show differences, and what would hang where, until told otherwise. */
    tell: (differences, blocks) => {
      told = differences;
      instead = new Map(blocks.map((block) => [block.place, block]));
      later();
    },
    mark: (places) => {
      changed = new Set(places);
      later();
    },
    geometry: () => geometry,
    layer: (name) => {
      if (!on.delete(name)) on.add(name);
      localStorage.setItem(SHELF, JSON.stringify([...on]));
      later();
      return on.has(name);
    },
    shows: (name) => on.has(name),
    nearer: sight.nearer, farther: sight.farther, whole: sight.whole,
    end: () => {
      watch.disconnect();
      sight.end();
    },
  };
}

/** What is reached by key, and read out, for a block. */
function handOf(quilt, n, text) {
  const block = quilt.blocks[n];
  const side = reach(quilt, block) * Math.SQRT2 * FINER;
  return el("button.block", {
    type: "button", data: { square: n, place: block.place, key: `block-${block.place}` }, "aria-pressed": "false", "aria-label": text, "aria-describedby": "carry-hint",
    style: { left: `${block.at[0] * FINER - side / 2}px`, top: `${block.at[1] * FINER - side / 2}px`, width: `${side}px`, height: `${side}px`, rotate: block.t % 90 ? "45deg" : "" },
  });
}

function kept() {
  try {
    return JSON.parse(localStorage.getItem(SHELF)) ?? FIRST;
  } catch {
    return FIRST;
  }
}
