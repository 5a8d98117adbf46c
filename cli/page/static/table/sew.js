/** One block at a time, large: its cloth, where it goes, how it is turned, which way to press. */

import { el, fill } from "../frame/dom.js";
import { sleep, stayAwake } from "./awake.js";
import { drawHere, drawWall, isWhole, picture, ready, shape } from "./blocks.js";
import { crop, hold } from "./crops.js";
import { called, hear, knows } from "./knows.js";
import { isSewn, tick } from "./ticks.js";

const SWIPE = 60;
/** Squares whose cloth is made ready to be drawn large: those of the next blocks. */
const SOON = 240;

/** @param {HTMLElement} main @param {HTMLElement} foot where the thumb is @param {(name: string) => void} go */
export function sew(main, foot, go) {
  const state = { at: null };
  const shown = picture("block-picture");
  const map = picture("wall-map");
  const room = el("div.sew-picture.cloth-ground", {}, shown);
  const head = el("div.sew-head");
  const side = el("div.sew-side");
  const words = el("div.sew-words");
  const awake = el("p.hint");
  const back = el("button", { type: "button", text: "Back", click: () => step(-1) });
  const next = el("button", { type: "button", text: "Next", click: () => step(1) });
  const done = el("button.primary.sewn", { type: "button", "aria-pressed": "false", click: () => toggle() });

  const order = () => [...(knows.plan?.wall?.blocks ?? [])].sort((one, other) => one.sew - other.sew);
  const place = () => {
    const all = order();
    const found = all.findIndex((one) => one.place === state.at);
    const open = all.findIndex((one) => one.squares.length && !isSewn(one));
    return { all, n: found >= 0 ? found : Math.max(0, open) };
  };
  const step = (by) => {
    const { all, n } = place();
    const to = all[n + by];
    if (!to) return;
    state.at = to.place;
    keepPlace(to.place);
    draw();
    main.scrollTo?.(0, 0);
  };
  const toggle = () => {
    const { all, n } = place();
    tick(all[n], !isSewn(all[n]));
    draw();
  };
  let whole = false;
  const paint = () => {
    drawHere(shown, state.at);
    drawWall(map, state.at);
    whole = isWhole();
  };
  const draw = () => {
    const { all, n } = place();
    const block = all[n];
    foot.hidden = !block;
    if (!block) return fill(main, el("p.none", { role: "status", text: why() }));
    state.at = block.place;
    if (!main.contains(room)) fill(main, el("div.sew", {}, head, room, side, words), awake);
    fill(head, el("h2", { text: block.place }), el("span", { text: `${n + 1} of ${all.length} · ${sewnOf(all)}` }));
    shown.setAttribute("aria-label", `The block at ${block.place} as it hangs, ${block.turned}, with arrows that say which way its seams are pressed`);
    map.setAttribute("aria-label", `${block.place} on the wall: row ${block.row}, place ${block.column}`);
    map.style.aspectRatio = shape();
    fill(side, el("button.map-open", { type: "button", "aria-label": "See the whole wall", click: () => go("wall") }, map), turnArrow(block));
    fill(words, ...told(block));
    back.disabled = n === 0;
    next.disabled = n === all.length - 1;
    done.hidden = !block.squares.length;
    done.setAttribute("aria-pressed", String(isSewn(block)));
    fill(done, el("span", { text: isSewn(block) ? "✓ Sewn" : "Tick as sewn" }));
    const coming = [...all.slice(n), ...all.slice(0, n)].flatMap((one) => one.pieces.map(({ square }) => square));
    hold(coming);
    ready(coming.slice(0, SOON));
    paint();
    return undefined;
  };

  fill(foot, back, done, next);
  const swiped = swiping(main, step);
  const keys = (event) => {
    if (event.key === "ArrowRight") step(1);
    else if (event.key === "ArrowLeft") step(-1);
  };
  addEventListener("keydown", keys);
  const deaf = hear((what) => {
    if (what === "plan" || what === "ticks") draw();
    if (what === "cloth" && whole) drawHere(shown, state.at);
    else if (what === "cloth") paint();
  });
  addEventListener("resize", paint);
  state.at = keptPlace();
  draw();
  stayAwake(room).then((text) => { awake.textContent = text; });
  return () => {
    deaf();
    swiped();
    removeEventListener("keydown", keys);
    removeEventListener("resize", paint);
    sleep();
  };
}

function why() {
  if (!knows.plan) return knows.away ? "Waiting for the computer …" : "Hanging the sets …";
  return knows.plan.problem ?? "Nothing hangs on the wall yet: choose a pattern at the computer, under Plan.";
}

function sewnOf(all) {
  return `${all.filter(isSewn).length} of ${all.filter((one) => one.squares.length).length} sewn`;
}

/** What is said of a block: which way to press, then each piece and where it goes. */
function told(block) {
  return [
    block.pressing.length ? el("h3", { text: "Press" }) : null,
    block.pressing.length ? el("dl.pressing", {}, ...block.pressing.flatMap(([what, words]) => [el("dt", { text: what }), el("dd", { text: words })])) : null,
    el("ul.pieces", {}, ...block.pieces.map((one) => el("li", {}, crop(one.square),
      el("span", {}, el("strong", { text: [called(one.square), one.what].filter(Boolean).join(", ") }),
        el("span", { text: [one.goes, one.upright ? "keep its print upright" : ""].filter(Boolean).join("; ") }))))),
    block.note ? el("p", { text: block.note }) : null,
  ];
}

function turnArrow(block) {
  const sets = block.sets.length ? `Set ${block.sets.join(" and ")}` : block.bought ? "Bought cloth" : "";
  return el("p.turned", {}, el("span.turn-arrow", { "aria-hidden": "true", text: "↑", style: { rotate: `${block.turn}deg` } }),
    el("span", { text: block.turn ? `Turned: ${block.turned}` : "Not turned" }), el("span", { text: sets }));
}

function swiping(main, step) {
  let from = null;
  const down = (event) => { from = event.isPrimary && event.pointerType !== "mouse" ? [event.clientX, event.clientY] : null; };
  const up = (event) => {
    if (!from) return;
    const [x, y] = [event.clientX - from[0], event.clientY - from[1]];
    from = null;
    if (Math.abs(x) > SWIPE && Math.abs(x) > 2 * Math.abs(y)) step(x < 0 ? 1 : -1);
  };
  const gone = () => { from = null; };
  main.addEventListener("pointerdown", down);
  main.addEventListener("pointerup", up);
  main.addEventListener("pointercancel", gone);
  return () => {
    main.removeEventListener("pointerdown", down);
    main.removeEventListener("pointerup", up);
    main.removeEventListener("pointercancel", gone);
  };
}

function shelf() {
  return `place ${knows.bundle?.id} ${knows.plan?.wall?.key ?? ""}`;
}

/** Remember which block is at hand. */
export function keepPlace(place) {
  localStorage.setItem(shelf(), place);
}

function keptPlace() {
  return localStorage.getItem(shelf());
}
