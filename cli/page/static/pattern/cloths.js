/** The cloth of the pattern: what each piece is for, where it comes from, what goes together, quotas. */

import { button, el, fill } from "../frame/dom.js";
import { icon, iconButton } from "../frame/icons.js";
import { addCloth, change, draft, edit, tint } from "./draft.js";
import { choiceField, folded, numberField, textField } from "./fields.js";
import { edited } from "./places.js";
import { hexOf } from "./tones.js";

const ROLES = ["feature", "background", "small"];
const SOURCES = { feature: [[null, "squares of the bundle"], ["yardage", "cloth you buy"]], background: [["yardage", "cloth you buy"], ["bundle", "squares of the bundle"]], small: [[null, "squares left over"], ["yardage", "cloth you buy"]] };
const ROLE_WORDS = [["feature", "the figure"], ["background", "behind the figure"], ["small", "small, from what is left"]];

/** Where the tables of pieces of one cloth stand. @param {string[]} names */
function placesOf(names) {
  return ROLES.flatMap((role) => (draft.data[role] ?? []).map((piece, number) => [piece.name ?? role, [role, number]])
    .filter(([name]) => names.includes(name)).map(([, place]) => place));
}

/** @param {{choices: any}} parts */
export function clothForm(parts) {
  const box = el("div.cloth-forms");
  const drawCloths = () => {
    const counted = ROLES.flatMap((role) => (draft.data[role] ?? []).map((piece, number) => ({ piece, role, number }))).filter(({ piece }) => "in_all" in piece || !draft.data.block);
    fill(box, ...draft.cloths.filter((cloth) => cloth.pieces.length && draft.data.block).map((cloth) => group(cloth, parts)),
      ...counted.map(({ piece, role, number }) => card(piece.name ?? role, [[role, number]], role, piece, parts)),
      el("div.row", {}, button("Another cloth for the block", () => addCloth(fresh("background"))), button("Pieces counted in all", addCounted)));
  };
  return { box, draw: drawCloths };
}

function fresh(role) {
  const names = new Set(draft.cloths.map(({ name }) => name));
  const name = ["ground", "second ground", "third ground", "fourth ground"].find((one) => !names.has(one)) ?? `cloth ${names.size}`;
  return { name, role, from: "yardage" };
}

function addCounted() {
  const small = draft.data.small ?? [];
  const name = ["small square", "second small square", "third small square"].find((one) => !small.some((piece) => piece.name === one)) ?? `small ${small.length}`;
  edit([{ place: ["small", small.length], value: { name, size: "1 1/2", in_all: 4 } }]);
}

function group(cloth, parts) {
  return card(cloth.name, placesOf(cloth.pieces), cloth.role, cloth, parts);
}

/** @param {string} name @param {any[]} places of the tables of its pieces */
function card(name, places, role, piece, parts) {
  const [first] = places;
  if (!first) return null;
  const all = (key) => (value) => edit(places.map((place) => ({ place: [...place, key], value })));
  const own = "in_all" in piece || !draft.data.block;
  const bought = (piece.from ?? (role === "background" ? null : "")) === "yardage";
  const colour = el("input", { type: "color", value: hexOf(role, name), "aria-label": `How ${name} is shown`, change: () => tint(name, colour.value) });
  const matched = !bought && role !== "small";
  return el("section.cloth-form", { "aria-label": name },
    el("div.row", {}, colour, textField([...first, "name"], "Name", { size: 16, maxlength: 40, change: (value) => value && renamed(name, value) }),
      choiceField([...first, "role"], "For", roleOptions(role), { change: (value) => moved(places, role, value) }),
      choiceField([...first, "from"], "From", SOURCES[role], { change: all("from") })),
    el("div.row", {},
      own ? textField([...first, "size"], "Cut, inches") : null,
      own ? numberField([...first, "in_all"], "Pieces in all", { change: (value) => edit([{ place: [...first, "in_all"], value }, ...(value ? [{ place: [...first, "per_block"], value: null }] : [])]) }) : null,
      !draft.data.block ? numberField([...first, "per_block"], "In each block", { change: (value) => edit([{ place: [...first, "per_block"], value }, ...(value ? [{ place: [...first, "in_all"], value: null }] : [])]) }) : null,
      matched ? choiceField([...first, "match"], "That go together", [[null, "each by itself"], [2, "2 of like tone"], [3, "3 of like tone"], [4, "4 of like tone"]], { change: (value) => edit(places.flatMap((place) => [{ place: [...place, "match"], value }, ...(value ? [] : [{ place: [...place, "match_by"], value: null }])])) }) : null,
      matched && piece.match > 1 ? choiceField([...first, "match_by"], "Alike in", [[null, "as you choose"], ...parts.choices.match_by], { change: all("match_by") }) : null,
      !own && places.length < 2 ? null : textField([...first, "piece"], "What is cut, in your words", { size: 18, maxlength: 80 })),
    folded(`cloth ${name}`, "Colour, value, quotas, print", Boolean(piece.family || piece.value || draft.data[first[0]]?.[first[1]]?.quota || piece.cloth || piece.directional),
      el("div.row", {},
        bought ? textField([...first, "cloth"], "One cloth with", { size: 14, list: { id: "cloth-names" }, maxlength: 40, change: all("cloth") }) : null,
        bought ? null : textField([...first, "family"], "Of the family", { size: 10, maxlength: 40, change: all("family") }),
        bought ? null : choiceField([...first, "value"], "Value", [[null, "any"], ...parts.choices.value], { change: all("value") }),
        role === "small" ? null : choiceField([...first, "directional"], "Print", [[null, "as the photo shows"], [true, "has an up and a down"], [false, "may lie any way"]], { change: all("directional") })),
      matched ? quotas(first, parts) : null),
    own ? button("Take out", () => edit([{ place: first, value: null }, ...postGone(name)])) : null);
}

function roleOptions(role) {
  return [...ROLE_WORDS.filter(([one]) => one === role), ...ROLE_WORDS.filter(([one]) => one !== role)];
}

function postGone(name) {
  return draft.data.sashing?.post_piece === name ? [{ place: ["sashing", "post_piece"], value: null }] : [];
}

/** Parts of the squares that must be of one family or value. */
function quotas(first, parts) {
  const place = [...first, "quota"];
  const list = draft.data[first[0]]?.[first[1]]?.quota ?? [];
  const kinds = [["blocks", "blocks"], ["sets", "sets"], ["share", "part, such as 1/2"]];
  return el("div.quotas", {}, ...list.map((quota, number) => {
    const own = kinds.find(([key]) => key in quota)?.[0] ?? "sets";
    const value = own === "share" ? textField([...place, number, "share"], "How many") : numberField([...place, number, own], "How many");
    return el("div.row", {}, value,
      choiceField([...place, number, "of"], "Of them", [kinds.find(([key]) => key === own), ...kinds.filter(([key]) => key !== own)], { change: (key) => edit([{ place: [...place, number, own], value: null }, { place: [...place, number, key], value: key === "share" ? "1/2" : 1 }]) }),
      textField([...place, number, "family"], "Family", { size: 10, maxlength: 40 }),
      choiceField([...place, number, "value"], "Value", [[null, "any"], ...parts.choices.value]),
      iconButton("close", "Take the quota out", () => edit([{ place: list.length > 1 ? [...place, number] : place, value: null }])));
  }), addQuota(place, list));
}

function addQuota(place, list) {
  const made = button("", () => edit([{ place, value: [...list, { sets: 1, value: "dark" }] }]));
  made.append(icon("plus"), "A part of one colour or value");
  return made;
}

/** Give a cloth another role. */
function moved(places, from, to) {
  const tables = places.map(([role, number]) => draft.data[role][number]);
  const source = to === "background" ? "yardage" : null;
  const left = draft.data[from].filter((one) => !tables.includes(one));
  const carried = tables.map((one) => {
    const { from: _, quota, match, match_by: by, ...rest } = one;
    return { ...rest, name: one.name ?? from, ...(source ? { from: source } : {}), ...(to === "feature" && match ? { match, ...(by ? { match_by: by } : {}), ...(quota ? { quota } : {}) } : {}) };
  });
  const made = edited(draft.data, [{ place: [from], value: left.length ? left : null }]);
  change({ ...made, [to]: [...(made[to] ?? []), ...carried] });
}

/** Call a cloth something else wherever it is named. */
function renamed(old, name) {
  const own = draft.cloths.find((one) => one.name === old)?.pieces ?? [old];
  const called = (text) => {
    for (const piece of own) {
      const fresh_ = piece === old ? name : piece.replace(old, name);
      if (text === piece) return fresh_;
      if (text.startsWith(`${piece} `) && /^[1-9][0-9]{0,2}$/.test(text.slice(piece.length + 1))) return `${fresh_}${text.slice(piece.length)}`;
    }
    return text;
  };
  const walk = (value, key) => {
    if (Array.isArray(value)) return value.map((one) => walk(one, key));
    if (value && typeof value === "object") return Object.fromEntries(Object.entries(value).map(([name_, one]) => [name_, walk(one, name_)]));
    return ["name", "fabrics", "post_piece", "cloth", "post_cloth", "edge_cloth", "spacer"].includes(key) && typeof value === "string" ? called(value) : value;
  };
  const data = edited(draft.data, placesOf(own).filter(([role, number]) => !("name" in draft.data[role][number])).map((place) => ({ place: [...place, "name"], value: old })));
  change(walk(data, ""));
}
