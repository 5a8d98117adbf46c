/** Things picked up and put down elsewhere: by pointer, by touch, by key. */

import { el } from "./dom.js";
import { neighbour } from "./neighbour.js";
import { say } from "./store.js";

const FAR = 6;
const HOLD = 280;
const LARGEST_GHOST = 130;

/**
 * @param {HTMLElement} main
 * @param {object} given elements of `kind` (".piece") carry `data-square`, which `drop` is told
 * @param {(from: number, to: number) => any} given.drop
 * @param {(id: number) => string} given.name
 * @param {string} [given.kind] @param {string} [given.what] what is carried, in words
 * @param {() => void} [given.free] called when nothing is dragged any more
 * @param {(x: number, y: number) => HTMLElement|null} [given.find] what lies at a point of the window, where
 *   the elements themselves don't tell
 * @param {(node: HTMLElement) => HTMLElement} [given.ghost] what follows the pointer; a copy if not given
 * @param {(from: number, to: number|null) => void} [given.aim] told what would change places, null for nothing
 * @param {(node: HTMLElement|null) => void} [given.reach] told which is at hand by key
 */
export function carrying(main, given) {
  const kind = given.kind ?? ".piece";
  const what = given.what ?? "square";
  const of = (node) => node?.closest?.(kind) ?? null;
  const idOf = (node) => Number(node.dataset.square);
  const under = (event) => (given.find && (event.detail || event.type !== "click") && main.contains(event.target)
    ? of(event.target) ?? given.find(event.clientX, event.clientY) : of(event.target));
  const hint = el("p.quiet", { id: "carry-hint", text: `Enter picks it up; Enter on another ${what} lets the two change places.` });
  let held = null;
  let ghost = null;
  let from = null;
  let target = null;
  let moved = false;
  let stop = null;

  const aim = (node) => {
    const next = node && node.dataset.square !== held?.dataset.square ? node : null;
    const other = next !== target;
    target?.classList.remove("target");
    target = next;
    target?.classList.add("target");
    if (held && other) given.aim?.(idOf(held), target ? idOf(target) : null);
  };
  const letGo = () => {
    const dragged = ghost;
    if (held) given.aim?.(idOf(held), null);
    aim(null);
    held?.classList.remove("picked");
    held?.setAttribute("aria-pressed", "false");
    ghost?.remove();
    clearTimeout(from?.timer);
    held = ghost = from = null;
    if (dragged) given.free?.();
  };
  const pick = (node) => {
    held = node;
    held.classList.add("picked");
    held.setAttribute("aria-pressed", "true");
  };
  const drag = (x, y) => {
    const { node, pointer, timer } = from;
    if (held && !ghost) letGo();
    from = { node, pointer, x, y, timer };
    pick(node);
    ghost = given.ghost?.(node) ?? ghostOf(node);
    document.body.append(ghost);
    moved = true;
    follow(x, y);
  };
  const follow = (x, y) => {
    ghost.style.transform = `translate(${x}px, ${y}px) translate(-50%, -50%)`;
    const there = document.elementFromPoint(x, y);
    aim(of(there) ?? (given.find && main.contains(there) ? given.find(x, y) : null));
    if (y < 48) scrollBy(0, -18);
    else if (y > innerHeight - 48) scrollBy(0, 18);
  };

  const listeners = {
    pointerdown: (event) => {
      if (from?.fingers && event.pointerId !== from.pointer && !ghost) {
        clearTimeout(from.timer);
        from = null;
        return;
      }
      const node = under(event);
      if (!node || from || (event.pointerType === "mouse" && (event.button !== 0 || event.shiftKey))) return;
      moved = false;
      const { clientX: x, clientY: y, pointerId: pointer } = event;
      from = { node, x, y, pointer, timer: 0, fingers: event.pointerType !== "mouse" };
      if (from.fingers) from.timer = setTimeout(() => drag(x, y), HOLD);
    },
    click: (event) => {
      const node = under(event);
      if (!node) return;
      if (moved) {
        moved = false;
        return;
      }
      if (!held) {
        pick(node);
        say(`${given.name(idOf(node))} is picked up. Choose another ${what} to change places, Escape to let go.`);
      } else if (held.dataset.square === node.dataset.square) {
        letGo();
        say("Put back.");
      } else {
        const one = idOf(held);
        letGo();
        given.drop(one, idOf(node));
      }
    },
    keydown: (event) => {
      const node = of(event.target);
      if (!node || !event.key.startsWith("Arrow") || event.ctrlKey || event.metaKey || event.altKey) return;
      const next = neighbour(node, event.key, main.querySelectorAll(kind));
      event.preventDefault();
      if (!next) return;
      next.focus({ preventScroll: Boolean(given.reach) });
      if (held) aim(next);
    },
    focusin: (event) => {
      if (of(event.target)) rove(of(event.target));
      given.reach?.(of(event.target));
    },
    contextmenu: (event) => { if (from) event.preventDefault(); },
  };
  const away = {
    pointermove: (event) => {
      if (event.pointerId !== from?.pointer) return;
      if (ghost) follow(event.clientX, event.clientY);
      else if (Math.hypot(event.clientX - from.x, event.clientY - from.y) >= FAR) {
        if (from.fingers) {
          clearTimeout(from.timer);
          from = null;
        } else drag(event.clientX, event.clientY);
      }
    },
    pointerup: (event) => {
      if (event.pointerId !== from?.pointer) return;
      clearTimeout(from.timer);
      from = null;
      if (!ghost) return;
      const [one, two] = [held, target];
      const ids = two ? [idOf(one), idOf(two)] : null;
      letGo();
      if (ids) given.drop(...ids);
    },
    pointercancel: (event) => {
      if (event.pointerId !== from?.pointer) return;
      if (ghost) letGo();
      clearTimeout(from?.timer);
      from = null;
    },
    keydown: (event) => {
      if (event.key !== "Escape" || !held) return;
      letGo();
      say("Put back.");
    },
  };
  const still = (event) => { if (ghost) event.preventDefault(); };

  /** Let the tab key reach one of all, the last that was at hand. */
  function rove(node) {
    if (stop === node) return;
    if (stop?.isConnected) stop.tabIndex = -1;
    stop = node;
    if (stop) stop.tabIndex = 0;
  }

  for (const [name, does] of Object.entries(listeners)) main.addEventListener(name, does);
  for (const [name, does] of Object.entries(away)) addEventListener(name, does);
  main.addEventListener("touchmove", still, { passive: false });
  return {
    hint,
    busy: () => Boolean(ghost),
    /** After all is drawn anew: what was held is held again, and one can be reached by tab. */
    refresh: () => {
      const same = (node) => node && main.querySelector(`${kind}[data-square="${node.dataset.square}"]`);
      if (held && !ghost && !main.contains(held)) {
        const again = same(held);
        held = null;
        if (again) pick(again);
      }
      const last = stop;
      for (const one of main.querySelectorAll(kind)) one.tabIndex = -1;
      stop = null;
      rove(same(last) ?? main.querySelector(kind));
    },
    end: () => {
      letGo();
      for (const [name, does] of Object.entries(listeners)) main.removeEventListener(name, does);
      for (const [name, does] of Object.entries(away)) removeEventListener(name, does);
      main.removeEventListener("touchmove", still);
    },
  };
}

function ghostOf(node) {
  const area = node.getBoundingClientRect();
  const size = Math.min(LARGEST_GHOST, node.offsetWidth || area.width);
  const ghost = node.cloneNode(true);
  ghost.classList.remove("picked");
  ghost.classList.add("ghost");
  ghost.setAttribute("aria-hidden", "true");
  ghost.removeAttribute("data-key");
  ghost.removeAttribute("data-square");
  Object.assign(ghost.style, { left: "0", top: "0", width: `${size}px`, height: "auto" });
  if (node.offsetHeight) ghost.style.aspectRatio = `${node.offsetWidth} / ${node.offsetHeight}`;
  return ghost;
}
