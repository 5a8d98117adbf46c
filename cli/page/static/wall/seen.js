/** What of the quilt is seen: zoomed and moved by wheel, by fingers and by key. */

import { wholeOf } from "./quilt.js";

const MOST = 120;
const STEP = 1.3;
const FAR = 5;
const WAYS = { ArrowLeft: [60, 0], ArrowRight: [-60, 0], ArrowUp: [0, 60], ArrowDown: [0, -60] };

/**
 * @param {HTMLElement} box that holds the quilt
 * @param {object} given
 * @param {() => any} given.geometry @param {() => void} given.changed
 * @param {() => boolean} given.busy whether something is carried
 * @param {(node: Element) => boolean} given.carried whether it is picked up when the mouse drags it
 */
export function seen(box, { geometry, changed, busy, carried }) {
  const at = { scale: 1, x: 0, y: 0 };
  let fresh = true;
  const least = () => wholeOf(geometry(), box.clientWidth, box.clientHeight).scale;

  const hold = () => {
    const { wide, long } = geometry();
    at.x = held(at.x, wide * at.scale, box.clientWidth);
    at.y = held(at.y, long * at.scale, box.clientHeight);
    box.style.touchAction = fresh ? "pan-y" : "none";
    changed();
  };
  const whole = () => {
    if (!geometry() || !box.clientWidth) return;
    fresh = true;
    Object.assign(at, wholeOf(geometry(), box.clientWidth, box.clientHeight));
    hold();
  };
  const zoom = (factor, x = box.clientWidth / 2, y = box.clientHeight / 2) => {
    const scale = Math.min(MOST, at.scale * factor);
    if (scale <= least()) return whole();
    at.x = x - ((x - at.x) / at.scale) * scale;
    at.y = y - ((y - at.y) / at.scale) * scale;
    at.scale = scale;
    fresh = false;
    hold();
  };
  const move = (x, y) => {
    if (fresh) return;
    at.x += x;
    at.y += y;
    hold();
  };
  const here = (event) => {
    const area = box.getBoundingClientRect();
    return [event.clientX - area.left - box.clientLeft, event.clientY - area.top - box.clientTop];
  };
  const watch = new ResizeObserver(() => { if (geometry()) { if (fresh) whole(); else zoom(1); } });
  watch.observe(box);
  box.addEventListener("wheel", (event) => {
    if (!geometry() || (fresh && event.deltaY > 0 && !event.ctrlKey)) return;
    event.preventDefault();
    zoom(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : event.ctrlKey ? 0.01 : 0.002)), ...here(event));
  }, { passive: false });
  box.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !geometry()) return;
    if (event.key === "+" || event.key === "=") zoom(STEP);
    else if (event.key === "-") zoom(1 / STEP);
    else if (event.key === "0") whole();
    else if (event.target === box && event.key in WAYS) move(...WAYS[event.key]);
    else return;
    event.preventDefault();
  });
  byFinger(box, { move, zoom, here, busy, carried });
  return {
    view: at, zoom, whole, move,
    nearer: () => zoom(STEP), farther: () => zoom(1 / STEP),
    /** Another quilt is shown. */
    anew: () => { if (fresh) whole(); else zoom(1); },
    /** A point of the window in the quilt. */
    inInches: (clientX, clientY) => {
      const [x, y] = here({ clientX, clientY });
      return [(x - at.x) / at.scale, (y - at.y) / at.scale];
    },
    /** Bring a point of the quilt into sight. */
    reveal: (x, y, far) => {
      if (fresh) return;
      const rim = far * at.scale;
      const [left, top] = [x * at.scale + at.x, y * at.scale + at.y];
      move(into(left, rim, box.clientWidth), into(top, rim, box.clientHeight));
    },
    end: () => watch.disconnect(),
  };
}

function into(at, rim, room) {
  const near = Math.min(rim, room / 2);
  return at < near ? near - at : at > room - near ? room - near - at : 0;
}

/** Keep a side within its room, or in the middle of it where it is smaller. */
function held(at, size, room) {
  return size <= room ? (room - size) / 2 : Math.min(0, Math.max(room - size, at));
}

/** One finger, or the mouse beside what it could carry, moves the quilt; two fingers zoom. */
function byFinger(box, { move, zoom, here, busy, carried }) {
  const down = new Map();
  box.addEventListener("pointerdown", (event) => {
    const mouse = event.pointerType === "mouse";
    if (mouse && (event.button === 2 || (event.button === 0 && !event.shiftKey && carried(event.target)))) return;
    if (mouse && event.button === 1) event.preventDefault();
    down.set(event.pointerId, { ...point(event), moves: mouse });
  });
  box.addEventListener("pointermove", (event) => {
    const last = down.get(event.pointerId);
    if (!last || busy()) return;
    const now = point(event);
    const [other] = [...down].filter(([id]) => id !== event.pointerId).map(([, one]) => one);
    if (other) {
      const before = Math.hypot(last.clientX - other.clientX, last.clientY - other.clientY);
      const apart = Math.hypot(now.clientX - other.clientX, now.clientY - other.clientY);
      const middle = { clientX: (now.clientX + other.clientX) / 2, clientY: (now.clientY + other.clientY) / 2 };
      if (before > 0) zoom(apart / before, ...here(middle));
    } else if (!last.moves && Math.hypot(now.clientX - last.clientX, now.clientY - last.clientY) < FAR) return;
    move(now.clientX - last.clientX, now.clientY - last.clientY);
    down.set(event.pointerId, { ...now, moves: true });
  });
  for (const kind of ["pointerup", "pointercancel", "pointerleave"]) box.addEventListener(kind, (event) => down.delete(event.pointerId));
}

function point({ clientX, clientY }) {
  return { clientX, clientY };
}
