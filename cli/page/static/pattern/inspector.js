/** The unit that is chosen in the block: how it lies, and what each of its parts is cut from. */

import { button, el, field, fill } from "../frame/dom.js";
import { icon } from "../frame/icons.js";
import { draft } from "./draft.js";
import { folded } from "./fields.js";
import { fitting } from "./tiles.js";
import { clothWords, matchOf } from "./tones.js";

/** @param {Map<string, any>} units @param {{change: (tile: any) => void, turn: () => void, mirror: () => void, bare: () => void}} does */
export function inspector(units, does) {
  const box = el("div.inspector", { role: "group", "aria-label": "The chosen unit" });

  function drawChosen(tile) {
    if (!tile) return fill(box);
    const unit = units.get(tile.unit);
    const tools = [["turn", "Turn", does.turn], ["mirror", "Mirror", does.mirror], ["close", "Plain square", does.bare]].map(([picture, words, act]) => {
      const made = button("", act, { data: { key: `unit-${picture}` } });
      made.append(icon(picture), words);
      return made;
    });
    return fill(box, el("h3", { text: capital(unit.says) }), el("div.row", {}, ...tools), el("div.part-fields", {}, ...parts(tile, unit)), shape(tile, unit));
  }

  function parts(tile, unit) {
    const groups = unit.parts.length > 5 && unit.groups.length ? unit.groups : unit.parts.map((_, part) => [part]);
    return groups.map((group, number) => {
      const name = group.length > 1 ? unit.group_names[number] || unit.parts[group[0]].name : unit.parts[group[0]].name;
      const now = tile.paints[group[0]];
      const choice = el("select", { data: { key: `part-${number}` }, change: () => {
        const [piece, tone] = JSON.parse(choice.value);
        does.change({ ...tile, paints: tile.paints.map((one, part) => (group.includes(part) ? { piece, tone } : one)) });
      } }, ...draft.cloths.flatMap((cloth) => Array.from({ length: matchOf(cloth.name) }, (_, tone) => el("option", {
        value: JSON.stringify([cloth.name, tone + 1]), text: clothWords(cloth, tone + 1), selected: now?.piece === cloth.name && now.tone === tone + 1,
      }))));
      if (!now?.piece) choice.prepend(el("option", { value: '["",1]', text: "choose a cloth", selected: true }));
      return field(capital(name || "All of it"), choice);
    });
  }

  /** Cells that it covers, and how many are made at once. */
  function shape(tile, unit) {
    const cells = ["wide", "high"].map((key) => {
      const input = el("input", { type: "number", min: 1, max: 16, value: tile[key], inputmode: "numeric", data: { key: `cells-${key}` }, change: () => {
        const value = Math.max(1, Math.min(16, Math.round(Number(input.value)) || 1));
        const other = key === "wide" ? "high" : "wide";
        const [long, short] = tile.turn % 180 ? [unit.high, unit.wide] : [unit.wide, unit.high];
        const asked = { ...tile, [key]: value };
        if (!unit.free) asked[other] = Math.max(1, Math.round(key === "wide" ? (value * short) / long : (value * long) / short));
        const turn = fitting(unit, asked.wide, asked.high);
        does.change(turn === null ? tile : { ...asked, turn: unit.free ? tile.turn : turn % 180 === tile.turn % 180 ? tile.turn : turn });
      } });
      return field(key === "wide" ? "Cells across" : "Cells down", input);
    });
    const ways = el("select", { data: { key: "ways" }, change: () => does.change({ ...tile, at_a_time: Number(ways.value) || null }) },
      el("option", { value: "", text: "as it comes out" }),
      ...unit.ways.map((way) => el("option", { value: way, text: way === 1 ? "one at a time" : `${way} at a time`, selected: tile.at_a_time === way })));
    return folded("unit size", "Size, and how it is made", false, el("div.row", {}, ...cells, unit.ways.length > 1 ? field("Made", ways) : null));
  }
  return { box, draw: drawChosen };
}

function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
