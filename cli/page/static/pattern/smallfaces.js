/** Small pictures of patterns' quilts: each is asked for once it comes into sight, one after another, and stays. */

import { el, fill } from "../frame/dom.js";
import * as api from "../frame/api.js";
import { icon } from "../frame/icons.js";
import { quiltPicture } from "./picture.js";

const known = new Map();
let last = Promise.resolve();

const sight = new IntersectionObserver((seen) => {
  for (const { isIntersecting, target } of seen) {
    if (!isIntersecting) continue;
    sight.unobserve(target);
    last = last.then(() => (target.isConnected ? target.draw() : null));
  }
}, { rootMargin: "200px" });

/** Where the picture of a pattern's quilt stands; an icon for one that draws none. @param {{id: number|null, name: string, version: number|null}} one */
export function smallFace(one) {
  const key = `${one.id ?? one.name} ${one.version ?? ""}`;
  const mark = `${String(one.id ?? one.name).replace(/\W/g, "_")}-`;
  const box = el("span.pattern-face", { "aria-hidden": "true" }, icon("pattern"));
  const show = () => known.get(key) && fill(box, quiltPicture(known.get(key), "", mark));
  box.draw = async () => {
    try {
      if (!known.has(key)) known.set(key, await drawing(one.id ?? one.name));
      show();
    } catch {
      /* the icon stays */
    }
  };
  if (known.has(key)) show();
  else sight.observe(box);
  return box;
}

async function drawing(key) {
  const { text } = await api.get(`/api/patterns/${encodeURIComponent(key)}`);
  const told = await api.post("/api/patterns/check", { text });
  return told.drawing;
}
