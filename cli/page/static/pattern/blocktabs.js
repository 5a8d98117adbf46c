/** The quilt's blocks: which one is drawn, another one, and what one begins from. */

import { button, el, field, fill, svg } from "../frame/dom.js";
import * as api from "../frame/api.js";
import { complain, say } from "../frame/store.js";
import { draft, draw, edit } from "./draft.js";
import { drawnTile } from "./blockstage.js";
import { fromDrawing } from "./fromdrawing.js";
import { tilesOf, uneven } from "./tiles.js";

let known = null;

/** @param {Map<string, any>} units @param {() => any} ground */
export function blockTabs(units, ground) {
  const tabs = el("div.segments", { role: "group", "aria-label": "Blocks" });
  const dialog = el("dialog", { "aria-labelledby": "start-title" });
  const box = el("div.row.block-tabs", {}, tabs, button("Add a block", add), button("Start from …", start), dialog);

  function drawTabs() {
    tabs.hidden = draft.blocks.length < 2;
    fill(tabs, ...(draft.blocks.length > 1 ? draft.blocks.map((block, number) => button(`Block ${block.mark || number + 1}`, () => choose(number), {
      "aria-pressed": String(number === draft.chosen), data: { key: `block-${number}` },
    })) : []), draft.blocks.length > 1 ? button("Take this one out", takeOut) : null);
  }

  function choose(number) {
    draft.chosen = number;
    hear();
  }

  function hear() {
    drawTabs();
    box.dispatchEvent(new CustomEvent("chosen", { bubbles: true }));
  }

  function add() {
    const now = draft.blocks[draft.chosen];
    const made = uneven(Array(now?.across ?? 1).fill(1), Array(now?.down ?? 1).fill(1), () => ground());
    draft.chosen = draft.blocks.length;
    draw(draft.chosen, made);
  }

  function takeOut() {
    const number = draft.chosen;
    draft.chosen = 0;
    edit([{ place: ["block", number], value: null }, { place: ["layout", "map"], value: null }]);
  }

  async function start() {
    try {
      known ??= (await api.get("/api/blocks")).blocks;
    } catch (error) {
      return complain(error);
    }
    const find = el("input", { type: "search", autocomplete: "off", input: () => list(find.value) });
    const found = el("div.known-blocks");
    const list = (text) => fill(found, ...known.filter((one) => [one.name, ...one.other_names].some((name) => name.toLowerCase().includes(text.toLowerCase()))).map((one) => knownButton(one)));
    fill(dialog, el("div.dialog-head", {}, el("h2", { id: "start-title", text: "Start from a block" }), button("Close", () => dialog.close())),
      fromDrawing(units, (one) => { dialog.close(); take(one); }),
      field("Find a block of the public domain", find, "Names differ from place to place."), found);
    list("");
    dialog.showModal();
    return undefined;
  }

  function knownButton(one) {
    const made = button("", () => { dialog.close(); take(one); }, { class: "known-block", title: one.sources.map(({ text }) => text).join("; ") });
    made.append(picture(one), el("span", { text: one.name }));
    return made;
  }

  function picture(one) {
    const cloths = new Map(one.colours.map(({ name, role }) => [name, draft.cloths.find((cloth) => cloth.role === role)?.name ?? name]));
    const { across, down, tiles } = tilesOf(one, cloths);
    return svg("svg", { viewBox: `0 0 ${across * 100} ${down * 100}`, class: "known-picture", "aria-hidden": "true" }, ...tiles.map((tile) => drawnTile(tile, units)));
  }

  /** Take a block in colours: each colour is a cloth of its own, the first of each role one that is there. */
  function take(one) {
    const taken = new Set();
    const added = [];
    const cloths = new Map(one.colours.map(({ name, role }) => {
      const there = draft.cloths.find((cloth) => cloth.role === role && !taken.has(cloth.name));
      const own = there?.name ?? name;
      if (!there) added.push({ name, role, ...(role === "background" ? { from: "yardage" } : {}) });
      taken.add(own);
      return [name, own];
    }));
    draw(draft.chosen, tilesOf(one, cloths), [...draft.cloths, ...added]);
    say(`${one.name} is laid`);
  }

  return { box, draw: drawTabs };
}
