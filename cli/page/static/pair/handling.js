/** The board by pointer: picked up and put down, chosen by a frame, by a long press, by clicks. */

import { el } from "../frame/dom.js";

const FAR = 6;
const HOLD = 380;
const EDGE = 48;

/**
 * @param {HTMLElement} box the board
 * @param {object} given
 * @param {(event: MouseEvent, id: number) => void} given.click a square was clicked
 * @param {(id: number) => void} given.press a square was pressed long
 * @param {(ids: number[], more: boolean) => void} given.frame squares lie in a frame that is drawn
 * @param {(from: number, to: number) => void} given.aim one is held over another; 0 for none
 * @param {(from: number, to: number) => void} given.drop
 * @param {(id: number) => void} given.glance the mouse is over a square; 0 for none
 * @param {() => void} given.free nothing is dragged any more
 * @returns {{end: () => void, busy: () => boolean, stop: () => void}}
 */
export function handling(box, given) {
  const of = (node) => (node instanceof Element ? node.closest(".tile") : null);
  const idOf = (node) => Number(node?.dataset.square ?? 0);
  let from = null;
  let ghost = null;
  let target = 0;
  let frame = null;
  let passed = false;

  const stop = () => {
    const busy = ghost || frame;
    clearTimeout(from?.timer);
    ghost?.remove();
    frame?.node.remove();
    from?.node?.classList.remove("lifted", "target");
    ghost = frame = from = null;
    if (busy) given.free();
  };
  const aim = (x, y) => {
    const to = idOf(of(document.elementFromPoint(x, y)));
    const wanted = to === idOf(from.node) ? 0 : to;
    if (wanted === target) return;
    target = wanted;
    given.aim(idOf(from.node), target);
  };
  const follow = (x, y) => {
    ghost.style.transform = `translate(${x}px, ${y}px) translate(-50%, -50%)`;
    if (y < EDGE) scrollBy(0, -18);
    else if (y > innerHeight - EDGE) scrollBy(0, 18);
    aim(x, y);
  };
  const lift = (x, y) => {
    clearTimeout(from.timer);
    target = 0;
    ghost = el("div.ghost", { "aria-hidden": "true", style: { width: `${from.node.offsetWidth}px`, height: `${from.node.offsetHeight}px` } },
      from.node.querySelector(".cloth").cloneNode(true));
    from.node.classList.add("lifted");
    document.body.append(ghost);
    follow(x, y);
  };
  const within = () => {
    const area = frame.node.getBoundingClientRect();
    return [...box.querySelectorAll(".tile")].filter((one) => {
      const at = one.getBoundingClientRect();
      return at.right > area.left && at.left < area.right && at.bottom > area.top && at.top < area.bottom;
    }).map(idOf);
  };
  const stretch = (x, y) => {
    const { left, top } = box.getBoundingClientRect();
    const [x0, y0, x1, y1] = [frame.x, frame.y, x - left, y - top];
    Object.assign(frame.node.style, {
      left: `${Math.min(x0, x1)}px`, top: `${Math.min(y0, y1)}px`, width: `${Math.abs(x1 - x0)}px`, height: `${Math.abs(y1 - y0)}px`,
    });
    given.frame(within(), frame.more);
  };

  const heard = {
    pointerdown: (event) => {
      if (from || frame || (event.pointerType === "mouse" && event.button !== 0)) return;
      passed = false;
      const { clientX: x, clientY: y, pointerId: pointer } = event;
      const node = of(event.target);
      const fingers = event.pointerType !== "mouse";
      const more = event.shiftKey || event.ctrlKey || event.metaKey;
      if (node && !(more && !fingers)) {
        from = { node, x, y, pointer, fingers, long: false, timer: 0 };
        if (fingers) from.timer = setTimeout(() => {
          from.long = passed = true;
          node.classList.add("target");
        }, HOLD);
      } else if (!fingers) {
        const { left, top } = box.getBoundingClientRect();
        from = { empty: true, on: node, x, y, pointer, left: x - left, top: y - top, more };
      }
    },
    click: (event) => {
      const node = of(event.target);
      if (node && !passed) given.click(event, idOf(node));
      passed = false;
    },
    pointerover: (event) => { if (event.pointerType === "mouse" && !ghost && !frame) given.glance(idOf(of(event.target))); },
    pointerleave: (event) => { if (event.pointerType === "mouse" && !ghost) given.glance(0); },
    contextmenu: (event) => { if (of(event.target) && from?.fingers) event.preventDefault(); },
  };
  const away = {
    pointermove: (event) => {
      if (event.pointerId !== from?.pointer) return;
      const { clientX: x, clientY: y } = event;
      if (ghost) follow(x, y);
      else if (frame) stretch(x, y);
      else if (Math.hypot(x - from.x, y - from.y) >= FAR) started(x, y);
    },
    pointerup: (event) => {
      if (event.pointerId !== from?.pointer) return;
      const pair = ghost && target ? [idOf(from.node), target] : null;
      if (ghost) given.aim(0, 0);
      const { empty, more, long, node } = from;
      const framed = Boolean(frame);
      const lifted = Boolean(ghost);
      stop();
      if (empty && !framed && !more) given.frame([], false);
      if (long && !lifted) given.press(idOf(node));
      if (pair) given.drop(...pair);
    },
    pointercancel: (event) => {
      if (event.pointerId !== from?.pointer) return;
      if (ghost) given.aim(0, 0);
      stop();
    },
    keydown: (event) => {
      if (event.key !== "Escape" || !(ghost || frame)) return;
      event.stopImmediatePropagation();
      given.aim(0, 0);
      stop();
    },
  };
  function started(x, y) {
    if (from.empty) {
      passed = Boolean(from.on);
      frame = { node: el("div.choosing-frame"), x: from.left, y: from.top, more: from.more };
      box.append(frame.node);
      stretch(x, y);
    } else if (from.fingers && !from.long) stop();
    else {
      passed = true;
      lift(x, y);
    }
  }
  const still = (event) => { if (ghost || from?.long) event.preventDefault(); };

  for (const [name, does] of Object.entries(heard)) box.addEventListener(name, does);
  for (const [name, does] of Object.entries(away)) addEventListener(name, does, name === "keydown");
  box.addEventListener("touchmove", still, { passive: false });
  return {
    busy: () => Boolean(ghost || frame),
    stop,
    end: () => {
      stop();
      for (const [name, does] of Object.entries(away)) removeEventListener(name, does, name === "keydown");
    },
  };
}
