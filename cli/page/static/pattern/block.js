/** The block editor: what is dropped in, turned, mirrored and coloured. */

import { button, el, field, fill } from "../frame/dom.js";
import { iconButton } from "../frame/icons.js";
import { say } from "../frame/store.js";
import { addCloth, draft, draw } from "./draft.js";
import { blockStage, unitPicture } from "./blockstage.js";
import { blockTabs } from "./blocktabs.js";
import { inspector } from "./inspector.js";
import { clothWords, matchOf, toneOf } from "./tones.js";
import { SYMMETRIES, copies, fitting, filled, lay, mirrored, square, tileAt, turned, uneven } from "./tiles.js";

const MOST = 16;
const MOST_CLOTHS = 12;

/** @param {{units: any[]}} parts */
export function blockEditor(parts) {
  const units = new Map(parts.units.map((one) => [one.name, one]));
  const hand = { unit: "", cloth: null, symmetry: "" };
  let beyond = { number: 0, tiles: [] };
  const stage = blockStage(units, { tap, move, key, select: (row, column) => show({ row, column }) });
  const palette = el("div.unit-palette", { role: "group", "aria-label": "Units to drop in" });
  const chips = el("div.chips.cloth-chips", { role: "group", "aria-label": "Cloth to paint with" });
  const symmetry = el("select", { change: () => { hand.symmetry = symmetry.value; } }, ...SYMMETRIES.map(([value, text]) => el("option", { value, text })));
  const sizes = gridFields();
  const look = inspector(units, { change: (tile) => put(tile), turn: turnChosen, mirror: mirrorChosen, bare: bareChosen });
  const tabs = blockTabs(units, ground);
  const box = el("div.block-editor", {},
    tabs.box,
    el("div.block-work", {},
      el("div", {}, stage.box, el("p.hint", { id: "block-told", text: "Choose a unit and tap cells, or drag it in. Choose a cloth and tap parts. Keys: arrows, Enter, R to turn, M to mirror, Delete." })),
      el("div.block-tools", {},
        el("h3", { text: "Units" }), palette,
        el("h3", { text: "Cloth" }), chips,
        el("div.row", {}, field("Copy what I do", symmetry), button("Copy all round", copyRound)),
        look.box)),
    sizes.box);

  for (const unit of parts.units) palette.append(unitButton(unit));

  function block() {
    return draft.blocks[draft.chosen];
  }

  function ground() {
    const cloth = draft.cloths.find((one) => one.role === "background") ?? draft.cloths[0];
    return { piece: cloth?.name ?? "background", tone: 1 };
  }

  function commit(made) {
    draw(draft.chosen, made);
  }

  /** Lay a tile and its copies. */
  function put(tile) {
    commit(copies(block(), tile, hand.symmetry, units).reduce((made, one) => lay(made, one, ground), block()));
  }

  function tap(row, column, part) {
    const number = tileAt(block(), row, column);
    if (hand.unit) put(newTile(units.get(hand.unit), row, column));
    else if (hand.cloth && number >= 0) {
      const tile = block().tiles[number];
      put({ ...tile, paints: tile.paints.map((one, place) => (place === part ? hand.cloth : one)) });
    }
    show({ row, column });
  }

  function newTile(unit, row, column) {
    const old = block().tiles[tileAt(block(), row, column)];
    const same = old && fitting(unit, old.wide, old.high);
    const [wide, high] = old && same !== null && (unit.free || old.wide * old.high >= unit.wide * unit.high) ? [old.wide, old.high] : [unit.wide, unit.high];
    const figure = draft.cloths.find((one) => one.role === "feature");
    const paints = unit.parts.map((_, part) => (part % 2 ? ground() : { piece: figure?.name ?? "feature", tone: 1 }));
    if (unit.parts.length === 1 && hand.cloth) paints[0] = hand.cloth;
    const place = old && same !== null && wide === old.wide && high === old.high ? old : { row, column };
    return { unit: unit.name, row: place.row, column: place.column, wide, high, turn: same === 90 && wide === old?.wide ? 90 : 0, paints: evenTones(paints) };
  }

  /** The figure's squares by turns, where they go in sets. */
  function evenTones(paints) {
    return paints.map((one) => {
      const match = matchOf(one.piece);
      if (match === 1 || one === hand.cloth) return one;
      const used = block().tiles.flatMap((tile) => tile.paints).filter(({ piece }) => piece === one.piece).length;
      return { ...one, tone: (used % match) + 1 };
    });
  }

  function move(from, to) {
    const [one, other] = [block().tiles[from], block().tiles[to]];
    if (!one || !other) return;
    if (one.wide === other.wide && one.high === other.high) {
      const tiles = block().tiles.map((tile, number) => (number === from ? { ...other, row: one.row, column: one.column }
        : number === to ? { ...one, row: other.row, column: other.column } : tile));
      commit({ ...block(), tiles });
    } else commit(lay({ ...block(), tiles: block().tiles.filter((tile) => tile !== one) }, { ...one, row: other.row, column: other.column }, ground));
    show({ row: other.row, column: other.column });
  }

  function chosenTile() {
    const { row, column } = stage.at();
    return block().tiles[tileAt(block(), row, column)];
  }

  function turnChosen() {
    const tile = chosenTile();
    if (tile) put(turned(tile));
  }

  function mirrorChosen() {
    const tile = chosenTile();
    const seen = tile && mirrored(tile, units);
    if (seen) put(seen);
    else say("No unit is the mirror of this one");
  }

  function bareChosen() {
    const tile = chosenTile();
    if (tile) put({ ...square(tile.row, tile.column, ground()) });
  }

  function key(event, row, column) {
    const letter = event.key.toLowerCase();
    if (event.ctrlKey || event.metaKey || event.altKey) return false;
    if (event.key === "Enter" || event.key === " ") tap(row, column, 0);
    else if (letter === "r") turnChosen();
    else if (letter === "m") mirrorChosen();
    else if (event.key === "Delete" || event.key === "Backspace") bareChosen();
    else if (event.key === "Escape") { hand.unit = ""; hand.cloth = null; drawChips(); drawPalette(); }
    else return false;
    return true;
  }

  /** Copy what lies in the upper left to the rest, by the way that is chosen. */
  function copyRound() {
    const { across, down } = block();
    const left = ["quarter", "mirror", "both"].includes(hand.symmetry) ? across / 2 : across;
    const top = ["quarter", "half", "both"].includes(hand.symmetry) ? down / 2 : down;
    const own = block().tiles.filter((tile) => tile.column + tile.wide / 2 <= left && tile.row + tile.high / 2 <= top);
    if (hand.symmetry) commit(own.flatMap((tile) => copies(block(), tile, hand.symmetry, units)).reduce((made, one) => lay(made, one, ground), block()));
    else say("Choose first how it is copied");
  }

  function unitButton(unit) {
    const made = button("", () => choose(unit), { "aria-pressed": "false", title: unit.says, "aria-label": unit.says, data: { unit: unit.name } });
    made.append(unitPicture(unit));
    made.addEventListener("pointerdown", (event) => dragged(event, unit));
    return made;
  }

  function choose(unit) {
    hand.unit = hand.unit === unit.name ? "" : unit.name;
    if (hand.unit && unit.parts.length > 1) hand.cloth = null;
    drawPalette();
    drawChips();
  }

  /** Drop a unit where the pointer lets go of it. */
  function dragged(event, unit) {
    const [x, y] = [event.clientX, event.clientY];
    const end = (last) => {
      removeEventListener("pointerup", end);
      removeEventListener("pointercancel", end);
      const to = last.type === "pointerup" && Math.hypot(last.clientX - x, last.clientY - y) > 12 ? stage.cell(last) : null;
      if (!to) return;
      put(newTile(unit, to.row, to.column));
      show(to);
    };
    addEventListener("pointerup", end);
    addEventListener("pointercancel", end);
  }

  function drawPalette() {
    for (const one of palette.children) one.setAttribute("aria-pressed", String(one.dataset.unit === hand.unit));
  }

  function drawChips() {
    const all = draft.cloths.flatMap((cloth) => Array.from({ length: matchOf(cloth.name) }, (_, tone) => ({ cloth, tone: tone + 1 }))).slice(0, MOST_CLOTHS);
    const used = (cloth, tone) => hand.cloth?.piece === cloth.name && hand.cloth.tone === tone;
    fill(chips, ...all.map(({ cloth, tone }) => {
      const made = button("", () => {
        hand.cloth = used(cloth, tone) ? null : { piece: cloth.name, tone };
        if (hand.cloth && hand.unit && units.get(hand.unit).parts.length > 1) hand.unit = "";
        drawChips();
        drawPalette();
      }, { class: "chip", "aria-pressed": String(used(cloth, tone)), data: { key: `cloth-${cloth.name}-${tone}` } });
      made.append(el("span.swatch", { style: { background: toneOf(cloth.role, cloth.name, tone) } }), clothWords(cloth, tone));
      return made;
    }), iconButton("plus", "Another cloth", another));
  }

  function another() {
    const name = ["second ground", "third ground", "fourth ground", "fifth ground"].find((one) => !draft.cloths.some((cloth) => cloth.name === one));
    if (name) addCloth({ name, role: "background", from: "yardage" });
  }

  /** A block of another size, with the units that an earlier, smaller size had cut off. */
  function regrown(made) {
    const old = block();
    const known = beyond.number === draft.chosen ? beyond.tiles : [];
    const out = (tile, of) => tile.row + tile.high > of.down || tile.column + tile.wide > of.across;
    const cut = [...known.filter((tile) => out(tile, old)), ...old.tiles.filter((tile) => out(tile, made))];
    beyond = { number: draft.chosen, tiles: cut };
    const free = (tile) => tile.row >= old.down || tile.column >= old.across;
    return { ...made, tiles: [...made.tiles, ...cut.filter((tile) => free(tile) && !out(tile, made))] };
  }

  function gridFields() {
    const number = (label, get, set) => {
      const input = el("input", { type: "number", min: 1, max: MOST, inputmode: "numeric", change: () => {
        const value = Number(input.value);
        if (Number.isInteger(value) && value >= 1 && value <= MOST) return commit(filled(regrown(set(value)), ground));
        input.fresh();
        return say(`A block has from 1 to ${MOST} ${label.toLowerCase()}`);
      } });
      input.fresh = () => { input.value = String(get()); };
      return input;
    };
    const across = number("Columns", () => block().across, (value) => ({ ...block(), across: value }));
    const down = number("Rows", () => block().down, (value) => ({ ...block(), down: value }));
    const list = (placeholder) => el("input", { placeholder, size: 9, autocomplete: "off" });
    const [columns, rows] = [list("2 1 2"), list("2 1 2")];
    const widths = (input, count) => input.value.split(/[\s,]+/).map(Number).filter((one) => one >= 1 && one <= MOST).slice(0, MOST).map(Math.round) || Array(count).fill(1);
    const lay_ = () => {
      const [c, r] = [widths(columns, block().across), widths(rows, block().down)];
      if (!c.length || !r.length) return say("Write widths such as 2 1 2");
      const made = uneven(c, r, (row, column) => ((row + column) % 2 ? ground() : { piece: draft.cloths[0]?.name ?? "feature", tone: 1 }));
      return made.across <= MOST && made.down <= MOST ? commit(made) : say(`A block has ${MOST} cells each way at most`);
    };
    const made = el("div.grid-fields", {}, el("div.row", {}, field("Columns", across), field("Rows", down)),
      el("details", {}, el("summary", { text: "Uneven rows and columns" }),
        el("p.hint", { text: "How wide each is beside the others. This lays the block anew." }),
        el("div.row", {}, field("Columns' widths", columns), field("Rows' heights", rows), button("Lay this grid", lay_))));
    return { box: made, draw: () => { across.fresh(); down.fresh(); } };
  }

  function show(at) {
    if (!block()) return;
    stage.draw(at);
    look.draw(chosenTile());
    tabs.draw();
    sizes.draw();
    drawChips();
    drawPalette();
  }
  return { box, draw: () => show() };
}
