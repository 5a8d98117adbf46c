/** Squares picked up and put down: by pointer, by touch, by key. */

import { el } from "./dom.js";
import { say } from "./store.js";

const FAR = 6;

/**
 * @param {HTMLElement} main
 * @param {{drop: (from: number, to: number) => any, name: (id: number) => string, kind?: string}} given
 *   elements of `kind` (".piece") carry `data-square`
 */
export function carrying(main, given) {
  const kind = given.kind ?? ".piece";
  const of = (node) => node?.closest?.(kind) ?? null;
  const idOf = (node) => Number(node.dataset.square);
  let held = null;
  let ghost = null;
  let from = null;
  let target = null;
  let moved = false;

  const aim = (node) => {
    target?.classList.remove("target");
    target = node && node !== held ? node : null;
    target?.classList.add("target");
  };
  const letGo = () => {
    held?.classList.remove("picked");
    held?.setAttribute("aria-pressed", "false");
    aim(null);
    ghost?.remove();
    held = ghost = from = null;
  };
  const pick = (node) => {
    held = node;
    held.classList.add("picked");
    held.setAttribute("aria-pressed", "true");
  };

  const down = (event) => {
    const node = of(event.target);
    if (!node || (event.pointerType === "mouse" && event.button !== 0)) return;
    moved = false;
    from = { node, x: event.clientX, y: event.clientY, pointer: event.pointerId };
  };
  const move = (event) => {
    if (!from || event.pointerId !== from.pointer) return;
    if (!ghost) {
      if (Math.hypot(event.clientX - from.x, event.clientY - from.y) < FAR) return;
      letGoOfKey();
      pick(from.node);
      ghost = from.node.cloneNode(true);
      ghost.classList.add("ghost");
      ghost.setAttribute("aria-hidden", "true");
      ghost.removeAttribute("data-key");
      document.body.append(ghost);
      from.node.setPointerCapture?.(event.pointerId);
      moved = true;
    }
    event.preventDefault();
    ghost.style.transform = `translate(${event.clientX}px, ${event.clientY}px) translate(-50%, -50%)`;
    aim(of(document.elementFromPoint(event.clientX, event.clientY)));
    scrollAtEdge(event.clientY);
  };
  const up = (event) => {
    if (!from || event.pointerId !== from.pointer) return;
    const [one, two] = [held, target];
    from = null;
    if (!ghost) return;
    letGo();
    if (one && two) given.drop(idOf(one), idOf(two));
  };
  const stop = () => { if (ghost) letGo(); from = null; };
  const letGoOfKey = () => { if (held && !ghost) letGo(); };

  const click = (event) => {
    const node = of(event.target);
    if (!node) return;
    if (moved) {
      moved = false;
      return;
    }
    if (!held) {
      pick(node);
      say(`${given.name(idOf(node))} is picked up. Choose another square to change places, Escape to let go.`);
    } else if (held === node) {
      letGo();
      say("Put back.");
    } else {
      const one = idOf(held);
      letGo();
      given.drop(one, idOf(node));
    }
  };
  const key = (event) => {
    const node = of(event.target);
    if (event.key === "Escape" && held) {
      letGo();
      say("Put back.");
      event.preventDefault();
    } else if (node && event.key.startsWith("Arrow")) {
      const next = neighbour(node, event.key, main.querySelectorAll(kind));
      if (next) {
        next.focus();
        if (held) aim(next);
        event.preventDefault();
      }
    }
  };
  const noMenu = (event) => { if (of(event.target) && from) event.preventDefault(); };
  main.addEventListener("pointerdown", down);
  addEventListener("pointermove", move, { passive: false });
  addEventListener("pointerup", up);
  addEventListener("pointercancel", stop);
  main.addEventListener("click", click);
  main.addEventListener("keydown", key);
  main.addEventListener("contextmenu", noMenu);
  return {
    /** After all is drawn anew: what was held by key is held again. */
    refresh: () => {
      if (!held || ghost || main.contains(held)) return;
      const again = main.querySelector(`${kind}[data-square="${held.dataset.square}"]`);
      held = null;
      if (again) pick(again);
    },
    end: () => {
      letGo();
      main.removeEventListener("pointerdown", down);
      removeEventListener("pointermove", move);
      removeEventListener("pointerup", up);
      removeEventListener("pointercancel", stop);
      main.removeEventListener("click", click);
      main.removeEventListener("keydown", key);
      main.removeEventListener("contextmenu", noMenu);
    },
  };
}

/** The nearest other element in the direction of an arrow key. */
function neighbour(node, key, all) {
  const here = middle(node);
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[key];
  let best = null;
  let least = Infinity;
  for (const one of all) {
    if (one === node) continue;
    const there = middle(one);
    const along = (there[0] - here[0]) * way[0] + (there[1] - here[1]) * way[1];
    if (along < 4) continue;
    const across = Math.abs((there[0] - here[0]) * way[1]) + Math.abs((there[1] - here[1]) * way[0]);
    const far = along + 3 * across;
    if (far < least) [best, least] = [one, far];
  }
  return best;
}

function middle(node) {
  const area = node.getBoundingClientRect();
  return [area.left + area.width / 2, area.top + area.height / 2];
}

function scrollAtEdge(y) {
  if (y < 48) scrollBy(0, -18);
  else if (y > innerHeight - 48) scrollBy(0, 18);
}
