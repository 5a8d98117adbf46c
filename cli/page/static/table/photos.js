/** The photos, with the squares that were found on them. */

import { el, fill, svg } from "../frame/dom.js";
import { called, hear, knows } from "./knows.js";

const WIDE = 1200;

/** @param {HTMLElement} main */
export function photos(main) {
  const draw = () => fill(main, ...(knows.bundle?.photos ?? []).map((photo) => el("figure", {},
    el("figcaption", { text: photo.name }), el("div.photo.cloth-ground", {}, picture(photo)))));
  const deaf = hear((what) => { if (what === "bundle") draw(); });
  draw();
  return deaf;
}

function picture(photo) {
  const inside = knows.bundle.squares.filter((one) => one.photo === photo.id);
  const size = Math.max(photo.wide, photo.high);
  return svg("svg", { viewBox: `0 0 ${photo.wide} ${photo.high}`, role: "img", "aria-label": `${photo.name}: ${inside.length} squares` },
    svg("image", { href: `/api/photo/${photo.id}.jpg?wide=${Math.min(WIDE, photo.wide)}&v=${photo.v}`, width: photo.wide, height: photo.high }),
    ...inside.map((one) => svg("g", { class: "seen-square", "font-size": size / 55 },
      svg("polygon", { class: "seen-outer", points: one.corners.join(" "), "stroke-width": size / 300 }),
      svg("polygon", { class: "seen-inner", points: one.corners.join(" "), "stroke-width": size / 800 }),
      label(one))));
}

function label(one) {
  const [x, y] = [0, 1].map((n) => one.corners.reduce((sum, corner) => sum + corner[n], 0) / 4);
  const text = svg("text", { x, y, "text-anchor": "middle", "dominant-baseline": "central" });
  text.textContent = called(one.id);
  return text;
}
