/** The bundle's photos as small pictures in one row that scrolls. */

import { el, fill } from "../frame/dom.js";
import { state } from "../frame/store.js";
import { doubtful } from "./marks.js";

/** @param {(id: number) => void} choose @returns {{box: HTMLElement, draw: (shown: number) => void}} */
export function strip(choose) {
  const box = el("div.strip", { role: "toolbar", "aria-label": "Photos" });
  let drawn = "";

  const draw = (shown) => {
    const { photos } = state.view;
    box.hidden = photos.length < 2;
    const now = photos.map((one) => `${one.id} ${one.v} ${one.name}`).join();
    if (now !== drawn) fill(box, photos.map((one) => picture(one, choose)));
    drawn = now;
    const asked = new Map();
    for (const one of state.view.squares) if (doubtful(one)) asked.set(one.photo, (asked.get(one.photo) ?? 0) + 1);
    for (const one of box.children) mark(one, Number(one.dataset.photo) === shown, asked.get(Number(one.dataset.photo)) ?? 0);
  };
  /** Bring the one that is shown into sight, without scrolling the page. */
  const mark = (one, here, many) => {
    one.setAttribute("aria-pressed", String(here));
    const { name } = state.view.photos.find((each) => each.id === Number(one.dataset.photo));
    one.setAttribute("aria-label", many ? `${name}, look again at ${many}` : name);
    one.lastElementChild.textContent = many ? `${many} ?` : "";
    if (!here || !box.clientWidth) return;
    const { offsetLeft: left, offsetWidth: wide } = one;
    if (left < box.scrollLeft) box.scrollLeft = left - wide;
    else if (left + wide > box.scrollLeft + box.clientWidth) box.scrollLeft = left + 2 * wide - box.clientWidth;
  };
  return { box, draw };
}

function picture(one, choose) {
  const high = 64;
  return el("button.strip-photo", { type: "button", title: one.name, data: { photo: one.id, key: `photo-${one.id}` }, click: () => choose(one.id) },
    el("img", {
      src: small(one), alt: "", loading: "lazy", decoding: "async", draggable: "false",
      height: high, width: Math.max(40, Math.round((high * one.wide) / one.high)),
    }), el("span.strip-doubts", { "aria-hidden": "true" }));
}

/** Address of a photo in small. */
function small(one) {
  return `/api/photo/${one.id}/thumb.jpg?v=${encodeURIComponent(one.v)}`;
}
