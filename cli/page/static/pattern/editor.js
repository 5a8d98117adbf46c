/** One pattern on the page: its block, its quilt, its cloth, and the live picture beside them. */

import { button, el, fill, typing } from "../frame/dom.js";
import * as api from "../frame/api.js";
import { icon, iconButton } from "../frame/icons.js";
import { complain, say, state } from "../frame/store.js";
import { leaveWish } from "../plan/wish.js";
import { blockEditor } from "./block.js";
import { clothForm } from "./cloths.js";
import { beginDraft, canRedo, canUndo, change, draft, draw, hearDraft, redoDraft, resumeDraft, settledDraft, shelved, typeName, undoDraft, unshelve } from "./draft.js";
import { forgetFields, messageLine, nameList, showMessages } from "./fields.js";
import { FIRST_CLOTHS, firstBlock, firstPattern } from "./fresh.js";
import { numbersTable } from "./numbers.js";
import { showPast } from "./past.js";
import { quiltPicture } from "./picture.js";
import { quiltForm } from "./quiltform.js";

const PAUSE = 60;
let parts = null;

/** @param {HTMLElement} main @param {string} key "new", "draft", a kept pattern's number or a shipped one's name @param {number|null} bundle for which it is made */
export function editor(main, key, bundle) {
  let gone = false;
  let tear = () => {};
  fill(main, el("p.waiting", { text: "Opening the pattern …" }));
  opening(key, bundle).then(() => {
    if (gone) return;
    if (draft.data) tear = show(main);
    else notHere(main);
  }).catch((error) => {
    fill(main, el("p", {}, el("a", { href: "#patterns", text: "All patterns" })));
    complain(error);
  });
  return () => { gone = true; tear(); };
}

async function opening(key, bundle) {
  parts ??= await api.get("/api/patterns/parts");
  const own = bundle ? await api.get(`/api/bundle/${bundle}`) : null;
  const more = { bundle: own?.id ?? null, side: own ? String(own.side) : "", has: own?.squares.length ?? 0 };
  if (key === "draft") return begun(more);
  if (key === "new") return beginDraft({ ...(await firstPattern(more.side)), ...more, name: "" });
  const { id, name, version, text } = await api.get(`/api/patterns/${encodeURIComponent(key)}`);
  return beginDraft({ text, id, name: id ? name : "", version, ...more });
}

let left = null;

/** Hand over a pattern that the next editor opens. */
export function handOver(given) {
  left = given;
}

/** Begin with what was handed over, else go on with what was left unfinished; with nothing where there is neither. */
function begun(more) {
  const given = left ?? (resumeDraft(more) ? null : { ...shelved(), touched: true });
  left = null;
  if (!given) return settledDraft();
  draft.data = null;
  return given.data || given.text ? beginDraft({ ...given, ...more }) : null;
}

/** From now on the address is that of what is drawn, so that Back and loading the page again come to it. */
function markDrawn() {
  const to = `#patterns/draft${draft.bundle ? `/${draft.bundle}` : ""}`;
  if (location.hash !== to) history.replaceState(null, "", to);
}

function notHere(main) {
  fill(main, el("p", { role: "status", text: "This drawing was not kept, and this browser has no other that is unfinished." }),
    el("div.row", {}, el("a.button.primary", { href: "#patterns/new", text: "Draw a new pattern" }), el("a.button", { href: "#patterns", text: "All patterns" })));
}

function show(main) {
  forgetFields();
  const block = blockEditor(parts);
  const quilt = quiltForm(parts);
  const cloths = clothForm(parts);
  const picture = el("div.quilt-live.cloth-ground");
  const size = el("p.quilt-size", { role: "status" });
  const others = el("div.messages", { role: "status", "aria-label": "What doesn't fit yet" });
  const numbers = el("div");
  const names = el("div");
  const bar = toolbar();
  const blank = el("div.row", {}, button("Draw its block", drawBlock));
  fill(main, el("div.pattern-editor", {}, bar.box,
    el("div.pattern-form", {},
      section("Block", blank, block.box), section("Cut and trim", numbers), section("Cloth", cloths.box), section("Quilt", quilt.boxes.setting),
      section("Sashing", quilt.boxes.sashing), section("Borders", quilt.boxes.borders), section("Binding, back and the rest", quilt.boxes.finish), names),
    el("aside.pattern-side", { "aria-label": "The quilt" }, picture, size, others)));

  const drawLive = () => {
    const { told } = draft;
    bar.draw();
    if (!told) return;
    const free = showMessages(told.messages);
    fill(others, free.map(messageLine), told.messages.length > free.length ? el("p.hint", { text: `${told.messages.length - free.length} more beside the fields` }) : null);
    if (told.drawing) fill(picture, quiltPicture(told.drawing, `The quilt: ${told.numbers.words}`));
    size.textContent = told.numbers ? [`${told.numbers.size}, ${told.numbers.blocks} ${told.numbers.blocks === 1 ? "block" : "blocks"} of ${told.numbers.block} in`, squaresTold(told.numbers)].filter(Boolean).join("; ") : "";
    const why = told.sound ? "This pattern only counts pieces. Draw its block to see it made over." : "The numbers follow once the pattern fits.";
    fill(numbers, told.numbers ? numbersTable(told.numbers) : el("p.hint", { text: why }));
  };
  const drawFields = () => {
    blank.hidden = Boolean(draft.data.block);
    block.box.hidden = !draft.data.block;
    forgetFields();
    quilt.draw();
    cloths.draw();
    fill(names, nameList("cloth-names", clothNames()));
  };
  const all = () => {
    drawFields();
    live();
  };
  const live = () => {
    if (draft.data.block) block.draw();
    drawLive();
  };
  const calm = whenCalm(main, all, live);
  const deaf = hearDraft((what) => {
    if (what === "data") markDrawn();
    if (what === "data" && draft.data.block) block.draw();
    if (what === "told") calm.soon();
    else bar.draw();
  });
  main.addEventListener("chosen", all);
  const keys = (event) => {
    if (!(event.ctrlKey || event.metaKey) || typing(event)) return;
    const letter = event.key.toLowerCase();
    if (letter !== "z" && letter !== "y") return;
    event.preventDefault();
    if (letter === "y" || event.shiftKey) redoDraft();
    else undoDraft();
  };
  addEventListener("keydown", keys);
  all();
  return () => { deaf(); calm.end(); main.removeEventListener("chosen", all); removeEventListener("keydown", keys); };
}

/** Draw all anew once nothing is pressed or typed, so that no button goes from under a finger and no text is lost; until then what is beside the fields. */
function whenCalm(main, all, beside) {
  let stale = false;
  let held = false;
  const typed = () => {
    const at = document.activeElement;
    return main.querySelector(".pattern-form")?.contains(at) && at.tagName === "INPUT" && typing({ target: at }) && !/^(color|file)$/.test(at.type);
  };
  const soon = () => {
    stale = held || typed();
    if (!stale) all();
    else if (!held) beside();
  };
  const again = () => setTimeout(() => { if (stale) soon(); }, PAUSE);
  const press = () => { held = true; };
  const release = () => { held = false; again(); };
  const heard = [["pointerdown", press], ["pointerup", release], ["pointercancel", release], ["focusout", again]];
  for (const [name, hears] of heard) document.addEventListener(name, hears, true);
  return { soon, end: () => { for (const [name, hears] of heard) document.removeEventListener(name, hears, true); } };
}

/** Give a pattern that only counts pieces a block to draw. */
function drawBlock() {
  const named = (role, name) => draft.cloths.find((one) => one.role === role)?.name ?? name;
  const { blocks, ...layout } = draft.data.layout ?? {};
  change({ ...draft.data, layout: { rows: 4, columns: 3, finished_block: "12", ...layout } });
  const cloths = FIRST_CLOTHS.filter(({ role }) => !draft.cloths.some((one) => one.role === role));
  draw(0, firstBlock(named("feature", "feature"), named("background", "ground")), [...draft.cloths, ...cloths]);
}

/** How many squares of the bundle it takes, beside how many there are. */
function squaresTold(numbers) {
  const wanted = numbers.pieces.filter((one) => one.from === "bundle").reduce((sum, one) => sum + one.squares, 0);
  const bundle = state.start.bundles.find((one) => one.id === draft.bundle);
  return bundle ? `takes ${wanted} squares, and ${bundle.name} has ${draft.has}` : "";
}

function section(title, ...rest) {
  return el("section.card", { "aria-label": title }, el("h2", { text: title }), ...rest);
}

function clothNames() {
  const { data } = draft;
  const names = [...draft.cloths.filter((one) => one.from === "yardage").map((one) => one.cloth ?? one.name), data.sashing?.cloth, data.sashing?.post_cloth, data.binding?.cloth,
    data.layout?.edge_cloth, ...(data.border ?? []).flatMap((one) => [...(one.fabrics ?? []), one.spacer, one.post_cloth])];
  return [...new Set(names.filter(Boolean))];
}

/** What is done with the whole pattern. */
function toolbar() {
  const undo = iconButton("undo", "Undo in the pattern", undoDraft);
  const redo = iconButton("redo", "Redo in the pattern", redoDraft);
  const name = el("input", { value: draft.typed || draft.name, maxlength: 80, autocomplete: "off", placeholder: "name of the pattern", size: 18, "aria-label": "Name of the pattern" });
  name.addEventListener("input", () => typeName(name.value.trim()));
  const keep = button("Keep", () => keepIt(name));
  const file = el("input", { type: "file", accept: ".toml,text/plain", "aria-label": "Open a pattern file", change: () => openFile(file) });
  const bundle = state.start.bundles.find((one) => one.id === draft.bundle);
  const where = el("select", { "aria-label": "Bundle" }, ...state.start.bundles.map((one) => el("option", { value: one.id, text: one.name, selected: one.id === draft.bundle })));
  const use = button(bundle ? `Is ${bundle.name} enough?` : "Is it enough?", () => useIt(bundle?.id ?? Number(where.value)), { class: "primary" });
  const past = el("dialog", { "aria-labelledby": "past-title" });
  const box = el("div.pattern-bar", { role: "toolbar", "aria-label": "The pattern" },
    el("a.button.icon", { href: "#patterns", "aria-label": "All patterns", title: "All patterns" }, icon("back")), undo, redo, name, keep,
    draft.id ? button("What was done", () => showPast(past, reopen), { "aria-haspopup": "dialog" }) : null, past, button("Export", exportIt), el("span.chooser.button", {}, "Open a file", file), el("span.grow"),
    bundle || !state.start.bundles.length ? null : where, state.start.bundles.length ? use : null);
  const drawBar = () => {
    undo.disabled = !canUndo();
    redo.disabled = !canRedo();
    use.disabled = draft.busy || !draft.told?.sound;
    keep.disabled = draft.busy || !draft.told?.sound || draft.told.text === draft.saved;
  };
  return { box, draw: drawBar };
}

/** Open the kept pattern as it is now. */
function reopen() {
  const to = `#patterns/${draft.id}${draft.bundle ? `/${draft.bundle}` : ""}`;
  if (location.hash === to) dispatchEvent(new Event("hashchange"));
  else location.hash = to;
}

async function keepIt(input) {
  const name = input.value.trim();
  if (!name) return askName(input);
  await settledDraft();
  try {
    const { text } = draft.told;
    const address = draft.id && name === draft.name ? `/api/patterns/${draft.id}` : "/api/patterns";
    const body = draft.id && name === draft.name ? { text, version: draft.version } : { name, text, version: null };
    const kept = await api.post(address, body);
    Object.assign(draft, { id: kept.id, name: kept.name, typed: "", version: kept.version, saved: text });
    unshelve();
    input.value = kept.name;
    history.replaceState(null, "", `#patterns/${kept.id}${draft.bundle ? `/${draft.bundle}` : ""}`);
    say(`${kept.name} is kept`);
  } catch (error) {
    complain(error);
  }
}

/** A name is proposed, and kept when it is agreed to. */
function askName(input) {
  input.value = draft.data.title || "My quilt";
  input.dispatchEvent(new Event("input"));
  input.focus();
  input.select();
  say("Give it a name, or keep it by this one");
}

async function exportIt() {
  await settledDraft();
  const link = el("a", { href: URL.createObjectURL(new Blob([draft.told.text], { type: "application/toml" })), download: `${(draft.name || draft.data.title || "pattern").replace(/[^\w -]+/g, "")}.toml` });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}

async function openFile(input) {
  const [picked] = input.files;
  input.value = "";
  if (!picked) return;
  try {
    const text = await picked.text();
    await api.post("/api/patterns/check", { text });
    handOver({ text });
    const to = `#patterns/draft${draft.bundle ? `/${draft.bundle}` : ""}`;
    if (location.hash === to) dispatchEvent(new Event("hashchange"));
    else location.hash = to;
  } catch (error) {
    complain(error);
  }
}

async function useIt(bundle) {
  await settledDraft();
  if (!draft.told?.sound) return undefined;
  const { told: { text }, id, name, typed, version, saved, data } = draft;
  const kept = id && text === saved;
  leaveWish(bundle, { pattern: kept ? name : { text }, file: "", drawn: kept ? undefined : { id, name, typed, version, saved, title: typed || name || data.title },
    rows: undefined, columns: undefined });
  location.hash = `#bundle/${bundle}/plan`;
}
