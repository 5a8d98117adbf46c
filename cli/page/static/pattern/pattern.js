/** The choice of a pattern for the open bundle: one of the list, one from a file, or one that is drawn. */

import { debounced, el, field, fill } from "../frame/dom.js";
import { complain, state } from "../frame/store.js";
import { wish, wishFor } from "../plan/wish.js";
import { handOver } from "./editor.js";
import { fitsButton } from "./fits.js";

const PAUSE = 120;

/** @returns {HTMLElement} the form; what it says is wished for at once */
export function patternForm() {
  const now = wish();
  const kind = typeof now.pattern === "string" ? now.pattern : !now.pattern?.text ? "" : now.drawn ? " drawn" : " file";
  const choice = el("select", {}, ...[
    ["", "No pattern: sets alone"],
    ...(kind === " drawn" ? [[" drawn", `${now.drawn.title || "Your drawing"}, not kept yet`]] : []),
    ...ownFirst(state.start.patterns).map((one) => [one.name, one.shipped === false ? `${one.name} (yours)` : one.title]),
    [" file", now.file && kind === " file" ? now.file : "A pattern file …"],
  ].map(([value, text]) => el("option", { value, text, selected: value === kind })));
  const says = el("p.hint");
  const more = el("div");
  const size = sizes(now);
  const tell = () => {
    says.textContent = state.start.patterns.find((one) => one.name === choice.value)?.says ?? "";
    size.hidden = choice.value === "";
    fill(more, choice.value === " file" ? file() : null, drawing(choice.value));
  };
  choice.addEventListener("change", () => {
    size.clear();
    if (choice.value === " drawn") wishFor({ pattern: now.pattern, file: "", drawn: now.drawn, rows: undefined, columns: undefined });
    else if (choice.value !== " file") wishFor({ pattern: choice.value || null, file: "", drawn: undefined, rows: undefined, columns: undefined });
    tell();
  });
  tell();
  return el("form.card", { submit: (event) => event.preventDefault(), "aria-label": "What the bundle is to be enough for" },
    field("Pattern", choice), says, more, size, seam(now), precuts(now));
}

/** The patterns, one's own before those that come along. @param {any[]} all */
export function ownFirst(all) {
  return [...all.filter((one) => !one.shipped), ...all.filter((one) => one.shipped)];
}

/** Ways to draw a pattern, or to change the one that is chosen. */
function drawing(chosen) {
  const bundle = state.view.id;
  const one = state.start.patterns.find(({ name }) => name === chosen);
  const { pattern, drawn } = wish();
  const text = chosen.startsWith(" ") ? pattern?.text : "";
  const open = one ? el("a.button", { href: `#patterns/${encodeURIComponent(one.id ?? one.name)}/${bundle}`, text: "Open it" }) : null;
  const again = text ? el("a.button", { href: `#patterns/draft/${bundle}`, text: "Open it", click: () => handOver({ text, ...(chosen === " drawn" ? drawn : {}) }) }) : null;
  return el("div.row", {}, el("a.button", { href: `#patterns/new/${bundle}`, text: "Draw a pattern" }), open ?? again,
    fitsButton("What could it make?", `What ${state.view.name} could make`, `/api/bundle/${bundle}/fits`, (fit) => ({ text: fit.title || fit.pattern, href: `#patterns/${encodeURIComponent(fit.pattern_id ?? fit.pattern)}/${bundle}` })));
}

/** Rows and columns, and how to empty them. */
function sizes(now) {
  const inputs = ["rows", "columns"].map((name) => el("input", {
    type: "number", min: 1, max: 200, inputmode: "numeric", value: now[name] ?? "", placeholder: "as written",
  }));
  const [rows, columns] = inputs;
  const changed = debounced(() => {
    if (!rows.value === !columns.value) wishFor({ rows: Number(rows.value) || undefined, columns: Number(columns.value) || undefined });
  }, PAUSE);
  for (const input of inputs) input.addEventListener("input", changed);
  const box = el("div.row", {}, field("Rows of blocks", rows), field("Columns", columns));
  box.clear = () => { for (const input of inputs) input.value = ""; };
  return box;
}

function seam(now) {
  const input = el("input", { value: now.seam ?? "", placeholder: "1/4 in", size: 8, autocomplete: "off" });
  input.addEventListener("input", debounced(() => wishFor({ seam: input.value.trim() || undefined }), 3 * PAUSE));
  return el("div.row", {}, field("Your own seam", input, "such as 3/8 or 7 mm; sew two scraps and measure"));
}

/** What cloth is bought as, and where the squares' pinked edges were measured. */
function precuts(now) {
  const sold = choices([["", "by the yard"], ...state.start.precuts.map((name) => [name, name])], now.precut ?? "");
  sold.addEventListener("change", () => wishFor({ precut: sold.value || undefined }));
  const edges = choices([["", "in the valleys between their teeth"], ["tips", "at the tips of their teeth"]], now.pinked ?? "");
  edges.addEventListener("change", () => wishFor({ pinked: edges.value || undefined }));
  return el("div", {}, field("Buy cloth", sold, "what doesn't fit in it stays by the yard"),
    field("Pinked squares are measured", edges));
}

function choices(options, chosen) {
  return el("select", {}, ...options.map(([value, text]) => el("option", { value, text, selected: value === chosen })));
}

/** A pattern file from this computer. */
function file() {
  const input = el("input", { type: "file", accept: ".toml,text/plain", "aria-label": "Open a pattern file" });
  const now = wish();
  const open = el("p.hint", { role: "status", text: now.file ? `${now.file} is open.` : "Ends in .toml; the example among the patterns explains each field." });
  input.addEventListener("change", async () => {
    const [picked] = input.files;
    if (!picked) return;
    try {
      const text = await picked.text();
      open.textContent = `${picked.name} is open.`;
      input.value = "";
      await wishFor({ pattern: { text }, file: picked.name, drawn: undefined, rows: undefined, columns: undefined });
    } catch (error) {
      complain(error);
    }
  });
  return el("div.row", {}, el("span.chooser.button", {}, "Open a file", input), open);
}
