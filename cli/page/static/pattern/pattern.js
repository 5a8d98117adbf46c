/** The choice of a pattern: one of the list, one described here, or one from a file. */

import { debounced, el, field, fill } from "../frame/dom.js";
import { complain, state } from "../frame/store.js";
import { wish, wishFor } from "../plan/wish.js";

const PAUSE = 120;
const OWN = { title: "My quilt", rows: 4, columns: 3, set_size: 2, unit: "half-square-triangle", background: "yardage" };

/** @returns {HTMLElement} the form; what it says is wished for at once */
export function patternForm() {
  const now = wish();
  const kind = typeof now.pattern === "string" ? now.pattern : now.pattern?.form ? " form" : now.pattern?.text ? " file" : "";
  const choice = el("select", {}, ...[
    ["", "No pattern: sets alone"],
    ...state.start.patterns.map((one) => [one.name, one.title]),
    [" form", "Describe your own …"], [" file", "A pattern file …"],
  ].map(([value, text]) => el("option", { value, text, selected: value === kind })));
  const says = el("p.hint");
  const more = el("div");
  const size = sizes(now);
  const tell = () => {
    says.textContent = state.start.patterns.find((one) => one.name === choice.value)?.says ?? "";
    size.hidden = choice.value === "" || choice.value === " form";
    fill(more, choice.value === " form" ? own() : choice.value === " file" ? file() : null);
  };
  choice.addEventListener("change", () => {
    size.clear();
    if (choice.value === " form") wishFor({ pattern: { form: form() }, file: "", rows: undefined, columns: undefined });
    else if (choice.value !== " file") wishFor({ pattern: choice.value || null, file: "", rows: undefined, columns: undefined });
    tell();
  });
  tell();
  return el("form.card", { submit: (event) => event.preventDefault(), "aria-label": "What the bundle is to be enough for" },
    field("Pattern", choice), says, more, size, seam(now), precuts(now));
}

function form() {
  return { ...OWN, ...wish().pattern?.form };
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

/** The small form in which a pattern is described. */
function own() {
  const said = form();
  const title = el("input", { value: said.title, maxlength: 80 });
  const rows = whole(said.rows, 200);
  const columns = whole(said.columns, 200);
  const count = choices([2, 3, 4].map((value) => [value, String(value)]), said.set_size);
  const unit = choices(state.start.units.map((one) => [one.name, one.says]), said.unit);
  const says = el("p.hint");
  const ground = choices([["yardage", "bought as yardage"], ["bundle", "from the bundle"]], said.background);
  const fits = () => {
    const known = state.start.units.find((one) => one.name === unit.value)?.set_sizes ?? [];
    says.textContent = unit.selectedOptions[0]?.textContent ?? "";
    for (const option of count.options) option.disabled = !known.includes(Number(option.value));
    if (count.selectedOptions[0]?.disabled) count.value = String(known[0]);
  };
  const send = debounced(() => {
    if (!rows.checkValidity() || !columns.checkValidity()) return;
    wishFor({
      rows: undefined, columns: undefined, file: "",
      pattern: { form: { title: title.value, rows: Number(rows.value), columns: Number(columns.value),
        set_size: Number(count.value), unit: unit.value, background: ground.value } },
    });
  }, PAUSE);
  fits();
  const box = el("div", { input: () => { fits(); send(); } },
    field("Title", title), el("div.row", {}, field("Rows of blocks", rows), field("Columns", columns)),
    field("Each set is sewn as", unit), says, field("Squares in a set", count), field("Background", ground));
  return box;
}

function whole(value, most) {
  return el("input", { type: "number", min: 1, max: most, required: true, inputmode: "numeric", value });
}

function choices(options, chosen) {
  return el("select", {}, ...options.map(([value, text]) => el("option", { value, text, selected: value === chosen })));
}

/** A pattern file from this computer. */
function file() {
  const input = el("input", { type: "file", accept: ".toml,text/plain" });
  const now = wish();
  input.addEventListener("change", async () => {
    const [picked] = input.files;
    if (!picked) return;
    try {
      const text = await picked.text();
      box.querySelector(".hint").textContent = `${picked.name} is open.`;
      input.value = "";
      await wishFor({ pattern: { text }, file: picked.name, rows: undefined, columns: undefined });
    } catch (error) {
      complain(error);
    }
  });
  const box = field("The file", input, now.file ? `${now.file} is open.` : "Ends in .toml; the example among the patterns explains each field.");
  return box;
}
