/** A photo that can be zoomed and moved, with outlines over it. */

import { el, svg } from "../frame/dom.js";

const MOST = 8;
const STEP = 1.25;
/** How much larger than the whole photo it may be drawn and still count as whole: a swipe then scrolls the page. */
const WHOLE = 1.01;

/**
 * @typedef {object} Stage
 * @property {HTMLElement} box @property {SVGElement} marks
 * @property {HTMLImageElement} picture
 * @property {(x: number, y: number) => [number, number]} toPhoto from the window to the photo
 * @property {(x: number, y: number) => [number, number]} toBox from the photo to the box
 * @property {(corners: number[][]) => void} flyTo
 * @property {(does: Function) => void} onMove
 * @property {() => object|undefined} place
 */

/**
 * @param {any} photo @param {{scale: number, x: number, y: number}} [last] how it was shown last
 * @returns {Stage}
 */
export function stage(photo, last) {
  const picture = el("img", {
    src: `/api/photo/${photo.id}.jpg?v=${encodeURIComponent(photo.v)}`, alt: `Photo ${photo.name}`,
    width: photo.wide, height: photo.high, draggable: "false", decoding: "async",
  });
  const marks = svg("svg", {
    viewBox: `0 0 ${photo.wide} ${photo.high}`, width: photo.wide, height: photo.high, class: "marks", "aria-hidden": "true",
  });
  const layer = el("div.layer", { style: { width: `${photo.wide}px`, height: `${photo.high}px` } }, picture, marks);
  const box = el("div.stage", {
    tabindex: 0, role: "group", style: { aspectRatio: `${photo.wide} / ${photo.high}` },
    "aria-label": `Photo ${photo.name}; arrow keys move it, plus and minus zoom`,
  }, layer);
  const at = { scale: 0, x: 0, y: 0, ...last };
  const movers = new Set();
  let fresh = !last;
  let shown = 0;

  const least = () => Math.min(box.clientWidth / photo.wide, box.clientHeight / photo.high);
  const show = () => {
    if (shown !== at.scale) layer.style.setProperty("--dot", String(1 / at.scale));
    shown = at.scale;
    layer.style.transform = `translate(${at.x}px, ${at.y}px) scale(${at.scale})`;
    box.classList.toggle("zoomed", at.scale > least() * WHOLE);
    for (const does of movers) does();
  };
  const hold = () => {
    const [wide, high] = [photo.wide * at.scale, photo.high * at.scale];
    at.x = held(at.x, wide, box.clientWidth);
    at.y = held(at.y, high, box.clientHeight);
  };
  const zoom = (factor, x = box.clientWidth / 2, y = box.clientHeight / 2) => {
    const scale = Math.min(MOST, Math.max(least(), at.scale * factor));
    at.x = x - ((x - at.x) / at.scale) * scale;
    at.y = y - ((y - at.y) / at.scale) * scale;
    at.scale = scale;
    fresh = false;
    hold();
    show();
  };
  const whole = () => {
    Object.assign(at, { scale: least(), x: 0, y: 0 });
    fresh = true;
    hold();
    show();
  };
  const move = (x, y) => { at.x += x; at.y += y; hold(); show(); };

  new ResizeObserver(() => {
    if (!box.clientWidth) return;
    if (!at.scale || fresh) whole();
    else zoom(1);
  }).observe(box);
  box.addEventListener("wheel", (event) => {
    event.preventDefault();
    zoom(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.002)), ...within(box, event.clientX, event.clientY));
  }, { passive: false });
  box.addEventListener("keydown", (event) => {
    if (event.target !== box) return;
    const ways = { ArrowLeft: [60, 0], ArrowRight: [-60, 0], ArrowUp: [0, 60], ArrowDown: [0, -60] };
    if (event.key in ways) move(...ways[event.key]);
    else if (event.key === "+" || event.key === "=") zoom(STEP);
    else if (event.key === "-") zoom(1 / STEP);
    else if (event.key === "0") whole();
    else return;
    event.preventDefault();
    event.stopPropagation();
  });
  fingers(box, { move, zoom });

  return {
    box, marks, picture, zoom, whole,
    toPhoto: (x, y) => {
      const [left, top] = within(box, x, y);
      return [(left - at.x) / at.scale, (top - at.y) / at.scale];
    },
    toBox: (x, y) => [x * at.scale + at.x, y * at.scale + at.y],
    /** How it is shown, to be shown so again; nothing where the whole photo is. */
    place: () => (fresh ? undefined : { ...at }),
    onMove: (does) => { movers.add(does); does(); },
    flyTo: (corners) => {
      if (!box.clientWidth) return;
      const [xs, ys] = [corners.map((c) => c[0]), corners.map((c) => c[1])];
      const size = Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
      const room = Math.min(box.clientWidth, box.clientHeight);
      const scale = Math.min(MOST, Math.max(least(), room / (size * 2.6)));
      at.scale = scale;
      at.x = box.clientWidth / 2 - (scale * (Math.max(...xs) + Math.min(...xs))) / 2;
      at.y = box.clientHeight / 2 - (scale * (Math.max(...ys) + Math.min(...ys))) / 2;
      fresh = false;
      hold();
      show();
    },
  };
}

/** From the window into a box, its border left out. */
function within(box, x, y) {
  const area = box.getBoundingClientRect();
  return [x - area.left - box.clientLeft, y - area.top - box.clientTop];
}

/** Keep a side of the picture within the box, or in its middle where it is smaller. */
function held(at, size, room) {
  if (size <= room) return (room - size) / 2;
  return Math.min(0, Math.max(room - size, at));
}

/** One finger moves what is zoomed in, two zoom; a swipe over the whole photo is the browser's, which scrolls. */
function fingers(box, { move, zoom }) {
  const down = new Map();
  const two = (event) => { if (event.touches.length > 1 && event.cancelable) event.preventDefault(); };
  box.addEventListener("touchstart", two, { passive: false });
  box.addEventListener("touchmove", two, { passive: false });
  box.addEventListener("pointerdown", (event) => {
    if (event.target.closest(".handle") || (event.pointerType === "mouse" && event.button !== 0)) return;
    down.set(event.pointerId, event);
  });
  box.addEventListener("pointermove", (event) => {
    const last = down.get(event.pointerId);
    if (!last) return;
    const others = [...down.entries()].filter(([id]) => id !== event.pointerId).map(([, one]) => one);
    if (others.length) {
      const [other] = others;
      const before = Math.hypot(last.clientX - other.clientX, last.clientY - other.clientY);
      const now = Math.hypot(event.clientX - other.clientX, event.clientY - other.clientY);
      const middle = within(box, (event.clientX + other.clientX) / 2, (event.clientY + other.clientY) / 2);
      if (before > 0) zoom(now / before, ...middle);
    } else {
      const far = Math.hypot(event.clientX - last.clientX, event.clientY - last.clientY);
      if (!box.hasPointerCapture(event.pointerId)) {
        if (far < 4) return;
        box.setPointerCapture(event.pointerId);
        box.dataset.moved = "1";
      }
    }
    move(event.clientX - last.clientX, event.clientY - last.clientY);
    down.set(event.pointerId, event);
  });
  for (const kind of ["pointerup", "pointercancel"]) {
    box.addEventListener(kind, (event) => {
      down.delete(event.pointerId);
      setTimeout(() => { if (!down.size) delete box.dataset.moved; }, 0);
    });
  }
}
