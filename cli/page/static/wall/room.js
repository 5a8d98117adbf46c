/** The room in which the quilt hangs: its drawing, and over it what can be taken hold of. */

import { el, fill } from "../frame/dom.js";
import { called } from "../frame/store.js";
import { clothOf } from "./cloth.js";
import { FINER, handAt, handsOf } from "./hands.js";
import { drawDifferences, drawLayers, drawRim, drawSteps } from "./layers.js";
import { drawBlock, drawQuilt, reach } from "./quilt.js";
import { seen } from "./seen.js";

const GHOST = 72;
const FIRST = ["sets", "sewn"];
const STILL = 150;
const SHELF = "wall layers";

/**
 * @param {(place: string, group: any|null) => string} words what hangs at a place, or one set of it
 */
export function hangingRoom(words) {
  const canvas = el("canvas.cloth", { "aria-hidden": "true" });
  const layer = el("div.wall-hands");
  const box = el("div.wall.cloth-ground", { role: "group", tabindex: 0, "aria-label": "The wall" }, canvas, layer);
  const on = new Set(kept());
  const now = { geometry: null, cloth: null, hands: [], mode: "blocks", focused: null, told: [], instead: new Map(), tried: null, steps: [], changed: new Set() };
  let carry = null;
  let under = null;
  const drawing = drawer(canvas, layer, now, on);

  const find = (x, y) => (now.geometry ? handAt(now.geometry, now.hands, ...sight.inInches(x, y))?.node ?? null : null);
  box.addEventListener("pointerdown", (event) => { under = find(event.clientX, event.clientY); }, true);
  const sight = seen(box, { geometry: () => now.geometry, changed: drawing.moved, busy: () => Boolean(carry?.busy()), carried: () => Boolean(under) });
  drawing.from(sight.view);
  // A browser scrolls what has the focus into sight, which the transform has done already.
  box.addEventListener("scroll", () => box.scrollTo(0, 0));
  const classes = new MutationObserver(drawing.later);
  classes.observe(layer, { subtree: true, attributes: true, attributeFilter: ["class"] });

  const lay = () => {
    now.hands = handsOf(now.geometry, now.mode, words);
    now.focused = null;
    fill(layer, now.hands.map(({ node }) => node));
    carry?.refresh();
    drawing.later();
  };
  const handOf = (node) => now.hands[Number(node.dataset.square)];
  return {
    box, ...controls(now, on, drawing, lay, sight),
    carried: {
      find,
      ghost: (node) => ghostOf(now, handOf(node), sight.view.scale),
      reach: (node) => {
        now.focused = node?.matches(":focus-visible") ? node : null;
        if (node) sight.reveal(...handOf(node).block.at, reach(now.geometry, handOf(node).block));
        drawing.later();
      },
    },
    holds: (one) => { carry = one; },
    hand: (n) => now.hands[n],
    label: (text) => box.setAttribute("aria-label", `${text}; plus and minus zoom, arrow keys move it`),
    /** Show a quilt. */
    hang: (quilt) => {
      const fresh = now.geometry?.key !== quilt.key;
      Object.assign(now, { geometry: quilt, cloth: clothOf(quilt, drawing.later), told: [], instead: new Map(), tried: null, steps: [] });
      if (fresh) now.changed = new Set();
      Object.assign(layer.style, { width: `${quilt.wide * FINER}px`, height: `${quilt.long * FINER}px` });
      lay();
      sight.anew();
    },
    end: () => {
      classes.disconnect();
      drawing.end();
      sight.end();
    },
  };
}

/** What is set from outside: layers, what is moved, what is told. */
function controls(now, on, drawing, lay, sight) {
  return {
    /** Show differences, and what would hang where, until told otherwise. */
    tell: (told, blocks) => {
      Object.assign(now, { told, instead: new Map(blocks.map((block) => [block.place, block])) });
      drawing.later();
    },
    /** Show other cloths, and how far sets stand out from one of them, until told otherwise. */
    tryCloths: (cloths, steps) => {
      now.steps = steps;
      now.tried = cloths ? { ...now.geometry, cloths } : null;
      now.cloth = clothOf(now.tried ?? now.geometry, drawing.later);
      drawing.later();
    },
    mark: (places) => {
      now.changed = new Set(places);
      drawing.later();
    },
    geometry: () => now.geometry,
    refresh: () => drawing.later(),
    mode: () => now.mode,
    take: (mode) => {
      now.mode = mode;
      if (now.geometry) lay();
    },
    layer: (name) => {
      if (!on.delete(name)) on.add(name);
      localStorage.setItem(SHELF, JSON.stringify([...on]));
      drawing.later();
      return on.has(name);
    },
    shows: (name) => on.has(name),
    /** What is picked up, or else at hand by key. */
    current: () => now.hands.find(({ node }) => node.classList.contains("picked")) ?? now.hands.find(({ node }) => node === now.focused) ?? null,
    nearer: sight.nearer, farther: sight.farther, whole: sight.whole,
  };
}

/** Draws when there is time, less finely while it moves. */
function drawer(canvas, layer, now, on) {
  let view = null;
  let due = 0;
  let still = 0;
  const draw = (quick) => {
    due = 0;
    const geometry = now.tried ?? now.geometry;
    if (!geometry || !canvas.clientWidth) return;
    drawQuilt(canvas, geometry, { view, cloth: now.cloth, quick, instead: (place) => now.instead.get(place) });
    drawLayers(canvas, now.instead.size ? { ...geometry, blocks: geometry.blocks.map((one) => now.instead.get(one.place) ?? one) } : geometry, view, now.steps.length ? without(on, "sets") : on, called);
    drawSteps(canvas, geometry, view, now.steps);
    for (const block of geometry.blocks) if (now.changed.has(block.place)) drawRim(canvas, geometry, view, block, null, "changed");
    for (const { block, squares, node } of now.hands) {
      const how = node.classList.contains("picked") ? "picked" : node.classList.contains("target") ? "target" : node === now.focused ? "focus" : "";
      if (how) drawRim(canvas, geometry, view, block, squares, how);
    }
    drawDifferences(canvas, geometry, view, now.told);
    layer.style.transform = `translate(${view.x}px, ${view.y}px) scale(${view.scale / FINER})`;
  };
  const later = () => { due ||= requestAnimationFrame(() => draw(false)); };
  return {
    later,
    from: (one) => { view = one; },
    moved: () => {
      due ||= requestAnimationFrame(() => draw(true));
      clearTimeout(still);
      still = setTimeout(later, STILL);
    },
    end: () => {
      cancelAnimationFrame(due);
      clearTimeout(still);
    },
  };
}

function ghostOf({ geometry, cloth }, { block, squares }, scale) {
  const side = Math.max(44, Math.min(GHOST, reach(geometry, block) * scale));
  const copy = el("canvas.ghost.cloth", { "aria-hidden": "true", style: { left: "0", top: "0", width: `${side}px`, height: `${side}px` } });
  drawBlock(copy, geometry, block, { cloth, side, only: squares });
  return copy;
}

function without(names, name) {
  return new Set([...names].filter((one) => one !== name));
}

function kept() {
  try {
    return JSON.parse(localStorage.getItem(SHELF)) ?? FIRST;
  } catch {
    return FIRST;
  }
}
