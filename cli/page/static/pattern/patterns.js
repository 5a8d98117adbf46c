/** The patterns: those that come along, one's own, and a new one. */

import { button, el, fill } from "../frame/dom.js";
import * as api from "../frame/api.js";
import { complain, say } from "../frame/store.js";
import { leaveWish } from "../plan/wish.js";
import { shelved } from "./draft.js";
import { editor, handOver } from "./editor.js";
import { fitsButton } from "./fits.js";
import { ownFirst } from "./pattern.js";
import { smallFace } from "./smallfaces.js";
import { words } from "./words.js";

/** @param {HTMLElement} main */
export function patterns(main) {
  const [, key, bundle] = /^#patterns?\/([^/]+)(?:\/(\d+))?/.exec(location.hash) ?? [];
  if (key) return editor(main, decodeURIComponent(key), bundle ? Number(bundle) : null);
  return shelf(main);
}

function shelf(main) {
  const list = el("ul.pattern-list", { "aria-label": "Patterns" });
  const file = el("input", { type: "file", accept: ".toml,text/plain", "aria-label": "Open a pattern file", change: () => openFile(file) });
  const left = shelved()?.data;
  fill(main, el("section", { "aria-label": "Patterns" }, el("h2", { text: "Patterns" }),
    el("div.row", {}, el("a.button.primary", { href: "#patterns/new", text: "Draw a new pattern" }), el("span.chooser.button", {}, "Open a file", file),
      left ? el("a.button", { href: "#patterns/draft", text: `Go on with ${left.title ?? "the last one"}` }) : null), list), words());
  const load = async () => {
    try {
      const { patterns: found } = await api.get("/api/patterns");
      fill(list, ownFirst(found).map((one) => item(one, load)));
    } catch (error) {
      complain(error);
    }
  };
  load();
  return undefined;
}

function item(one, again) {
  const does = (words, act) => button(words, async () => {
    try {
      await act();
      await again();
    } catch (error) {
      complain(error);
    }
  }, { "aria-label": `${words} ${one.title}` });
  const key = one.id ?? one.name;
  return el("li", {}, el("a", { href: `#patterns/${encodeURIComponent(key)}` }, smallFace(one), el("span", {}, el("strong", { text: one.shipped ? one.title : one.name }), el("small", { text: [one.shipped ? "" : one.title, one.says].filter(Boolean).join(": ") }))),
    fitsButton("Which bundle?", `Which bundle makes ${one.title}?`, `/api/patterns/fits?name=${encodeURIComponent(one.name)}`, (fit) => ({ text: fit.bundle, href: `#bundle/${fit.bundle_id}/plan`, click: () => leaveWish(fit.bundle_id, { pattern: one.name, file: "", drawn: undefined }) })),
    does("Copy", () => api.post(`/api/patterns/${encodeURIComponent(key)}/copy`, {})),
    one.shipped ? null : el("a.button", { href: `/api/patterns/${key}/file`, download: "", text: "Export" }),
    one.shipped ? null : does("Delete", async () => {
      const gone = await api.remove(`/api/patterns/${key}`, { version: one.version });
      say(`${one.name} is deleted`);
      takenBack(gone, again);
    }));
}

/** A deleted pattern can be brought back at once. */
function takenBack(gone, again) {
  const undo = button(`Bring ${gone.name} back`, async () => {
    await api.post(`/api/patterns/${gone.id}/undo`, { version: gone.version }).catch(complain);
    undo.remove();
    again();
  });
  document.querySelector(".pattern-list")?.before(undo);
}

async function openFile(input) {
  const [picked] = input.files;
  input.value = "";
  if (!picked) return;
  try {
    const text = await picked.text();
    await api.post("/api/patterns/check", { text });
    handOver({ text });
    location.hash = "#patterns/draft";
  } catch (error) {
    complain(error);
  }
}
