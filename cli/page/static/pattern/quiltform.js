/** What is round the blocks: how they are set, sashing, borders, and all that finishes the quilt. */

import { button, el, fill } from "../frame/dom.js";
import { draft, edit } from "./draft.js";
import { choiceField, flagField, folded, numberField, textField } from "./fields.js";
import { resizing } from "./resizing.js";

const TURNS = [[null, "not"], [90, "a quarter"], [180, "a half"], [270, "three quarters"]];
const CLOTH = { size: 14, list: { id: "cloth-names" }, maxlength: 40 };

/** @param {{units: any[], choices: any}} parts */
export function quiltForm(parts) {
  const sizes = resizing();
  const boxes = { setting: el("div"), sashing: el("div"), borders: el("div"), finish: el("div") };
  const drawForm = () => {
    const { data } = draft;
    fill(boxes.setting, setting(data, parts, sizes));
    fill(boxes.sashing, sashing(data, parts));
    fill(boxes.borders, borders(data, parts));
    fill(boxes.finish, finish(data, parts));
  };
  return { boxes, draw: drawForm };
}

function setting(data, parts, sizes) {
  const layout = data.layout ?? {};
  const several = Array.isArray(data.block) && data.block.length > 1;
  const { choices } = parts;
  return [
    el("div.row", {}, textField(["title"], "Title", { size: 24, maxlength: 80 }), textField(["description"], "In a line", { size: 32, maxlength: 200 })),
    el("div.row", {},
      "blocks" in layout ? numberField(["layout", "blocks"], "Blocks") : numberField(["layout", "rows"], "Rows of blocks"),
      "blocks" in layout ? null : numberField(["layout", "columns"], "Columns of blocks"),
      choiceField(["layout", "set"], "Set", [[null, "straight"], ...choices.set.filter((one) => one !== "straight")])),
    sizes.draw(),
    folded("turns", "How blocks lie and turn", Boolean(several || layout.turn_rows || layout.turn_columns || layout.edge_cloth),
      el("div.row", {}, choiceField(["layout", "turn_rows"], "Each row turned further", TURNS), choiceField(["layout", "turn_columns"], "Each column turned further", TURNS),
        layout.set && layout.set !== "straight" ? textField(["layout", "edge_cloth"], "Cloth of the edges", CLOTH) : null),
      several ? el("div.row", {}, choiceField(["layout", "alternate"], "Blocks take turns", [[null, "chequered"], ...choices.alternate.filter((one) => one !== "chequered")], { change: (value) => edit([{ place: ["layout", "map"], value: null }, { place: ["layout", "alternate"], value }]) }), mapField(layout)) : null),
  ];
}

/** Rows of letters, each a block, as the eye sees them. */
function mapField(layout) {
  return textField(["layout", "map"], "Or a map of letters", {
    size: 22, hint: "rows with / between them, such as A B / B A90",
    placeholder: (layout.map ?? []).join(" / "),
    change: (value) => edit([{ place: ["layout", "map"], value: value ? value.split("/").map((one) => one.trim()).filter(Boolean) : null }, ...(value ? [{ place: ["layout", "alternate"], value: null }] : [])]),
  });
}

/** A part of the quilt that may be left out. */
function optional(there, words, add, ...rest) {
  return there ? rest : [button(words, add)];
}

function sashing(data, parts) {
  const strips = data.sashing;
  const own = (key) => ["sashing", key];
  const posts = strips && strips.posts !== false;
  const units = parts.units.filter((one) => one.free || one.name === "square-sashing").map((one) => [one.name, one.says]);
  return optional(strips, "Add sashing", () => edit([{ place: ["sashing"], value: { width: "1", ...(draft.data.layout?.set === "offset rows" ? { posts: false } : {}) } }]),
    el("div.row", {}, textField(own("width"), "Width, finished"), strips?.pieced ? null : textField(own("cloth"), "Cloth", CLOTH),
      choiceField(own("posted"), "Posts where strips meet", postOptions(strips, posts), { change: (value) => edit(postEdits(data, value)) }),
      posts && !strips?.post_piece ? textField(own("post_cloth"), "Cloth of the posts", CLOTH) : null),
    el("div.row", {}, flagField(own("outer"), "Strips round the outside too"),
      data.layout?.set === "on point" ? choiceField(own("edge_posts"), "Posts at the edge", [[null, "whole"], "half"]) : null,
      choiceField(own("pieced"), "Strips pieced as", [[null, "plain strips"], ...units], { change: (value) => edit([{ place: own("pieced"), value }, { place: own("fabrics"), value: null }, ...(value ? [{ place: own("cloth"), value: null }] : [])]) })),
    strips?.pieced ? fabrics(["sashing", "fabrics"], strips.pieced, parts) : null,
    button("Leave sashing out", () => edit([{ place: ["sashing"], value: null }])));
}

function postOptions(strips, posts) {
  const all = [["none", "none"], ["cloth", "from cloth"], ["squares", "from squares left over"]];
  const now = !posts ? "none" : strips?.post_piece ? "squares" : "cloth";
  return [...all.filter(([one]) => one === now), ...all.filter(([one]) => one !== now)];
}

function postEdits(data, value) {
  const small = data.small ?? [];
  const name = data.sashing.post_piece;
  const place = small.findIndex((one) => one.name === name);
  const gone = name && place >= 0 ? [{ place: small.length > 1 ? ["small", place] : ["small"], value: null }] : [];
  if (value === "squares") return [{ place: ["small", small.length], value: { name: "post", size: "1 1/2", in_all: 1 } }, { place: ["sashing", "posts"], value: null }, { place: ["sashing", "post_cloth"], value: null }, { place: ["sashing", "post_piece"], value: "post" }];
  return [...gone, { place: ["sashing", "post_piece"], value: null }, { place: ["sashing", "posts"], value: value === "none" ? false : null }, ...(value === "none" ? [{ place: ["sashing", "post_cloth"], value: null }] : [])];
}

/** What each part of a strip's or a border's unit is cut from. */
function fabrics(place, unit, parts) {
  const found = parts.units.find((one) => one.name === unit);
  const names = found ? (found.groups.length && found.parts.length > 5 ? found.group_names : found.parts.map((one) => one.name)) : [];
  const now = place.reduce((here, key) => here?.[key], draft.data) ?? [];
  return el("div.row", {}, ...names.map((name, number) => textField([...place, number], name || "Cloth", { ...CLOTH, change: (value) => {
    const told = names.map((_, part) => (part === number ? value : now[part] ?? "")).map((one, part) => one || `cloth ${part + 1}`);
    edit([{ place, value: value || now.length ? told : null }]);
  } })));
}

function borders(data, parts) {
  const list = data.border ?? [];
  const squares = parts.units.filter((one) => !one.free && one.wide === one.high).map((one) => [one.name, one.says]);
  return [...list.map((border, number) => {
    const own = (key) => ["border", number, key];
    return el("section.border-form", { "aria-label": `Border ${number + 1}` },
      el("div.row", {}, textField(own("width"), `Border ${number + 1}, width finished`),
        choiceField(own("corners"), "Corners", [[null, "butted"], ...parts.choices.corners.filter((one) => one !== "butted")]),
        border.pieced ? null : textField(own("fabrics"), "Cloth", { ...CLOTH, change: (value) => edit([{ place: own("fabrics"), value: value ? [value] : null }]) })),
      folded(`border ${number}`, "Pieced, posts, grain", Boolean(border.pieced || border.cut || border.post_cloth),
        el("div.row", {}, choiceField(own("pieced"), "Pieced as", [[null, "plain strips"], ...squares], { change: (value) => edit([{ place: own("pieced"), value }, { place: own("fabrics"), value: null }, ...(value ? [{ place: own("cut"), value: null }] : [{ place: own("spacer"), value: null }])]) }),
          border.pieced ? textField(own("spacer"), "Spacer inside it", CLOTH) : choiceField(own("cut"), "Strips cut", [[null, "across the cloth"], ["lengthwise", "along the cloth"]]),
          border.corners === "posts" ? textField(own("post_cloth"), "Cloth of its posts", CLOTH) : null),
        border.pieced ? fabrics(own("fabrics"), border.pieced, parts) : null),
      button(`Leave border ${number + 1} out`, () => edit([{ place: list.length > 1 ? ["border", number] : ["border"], value: null }])));
  }), button("Add a border", () => edit([{ place: ["border", list.length], value: { width: list.length ? "4" : "2" } }]))];
}

function finish(data, parts) {
  const { choices } = parts;
  const { binding, backing, sleeve, label } = data;
  const part = (key, ...rest) => [key, ...rest];
  const out = (key, words) => button(words, () => edit([{ place: [key], value: null }]));
  const byStrip = binding && !("finished" in binding);
  return [
    el("section", { "aria-label": "Binding" }, ...optional(binding, "Add binding", () => edit([{ place: ["binding"], value: { strip: "2 1/4" } }]),
      el("div.row", {}, byStrip ? textField(part("binding", "strip"), "Binding, strip cut") : textField(part("binding", "finished"), "Binding, that shows"),
        choiceField(part("binding", "by"), "Told by", byStrip ? [["strip", "the strip"], ["finished", "what shows"]] : [["finished", "what shows"], ["strip", "the strip"]], { change: (value) => edit([{ place: ["binding", value], value: value === "strip" ? "2 1/4" : "3/8" }, { place: ["binding", value === "strip" ? "finished" : "strip"], value: null }, ...(value === "strip" ? [{ place: ["binding", "fold"], value: null }] : [])]) }),
        byStrip ? null : choiceField(part("binding", "fold"), "Folded", [[null, "double"], "single"]),
        choiceField(part("binding", "cut"), "Cut", [[null, "straight"], ...choices.binding_cut.filter((one) => one !== "straight")]),
        choiceField(part("binding", "edge"), "Edge", [[null, "straight"], "rounded"]), textField(part("binding", "cloth"), "Cloth", CLOTH)), out("binding", "Leave binding out"))),
    el("section", { "aria-label": "Backing" }, ...optional(backing, "Say more of the backing", () => edit([{ place: ["backing"], value: { overhang: "4" } }]),
      el("div.row", {}, textField(part("backing", "width"), "Backing, width of cloth"), textField(part("backing", "overhang"), "Beyond the quilt"),
        choiceField(part("backing", "last_panel"), "Last panel", [[null, "whole"], ...choices.last_panel.filter((one) => one !== "whole")]), flagField(part("backing", "directional"), "Its print has an up and a down")), out("backing", "As usual"))),
    el("section", { "aria-label": "Sleeve and label" }, el("div.row", {},
      ...optional(sleeve, "Add a sleeve", () => edit([{ place: ["sleeve"], value: { depth: "4" } }]), textField(part("sleeve", "depth"), "Sleeve, depth"), textField(part("sleeve", "cloth"), "Cloth", CLOTH), out("sleeve", "Leave the sleeve out")),
      ...optional(label, "Add a label", () => edit([{ place: ["label"], value: { width: "5", length: "3" } }]), textField(part("label", "width"), "Label, width"), textField(part("label", "length"), "Length"), textField(part("label", "cloth"), "Cloth", CLOTH), out("label", "Leave the label out")))),
    soldAs(data, choices),
  ];
}

/** How each cloth that is named is sold. */
function soldAs(data, choices) {
  const list = data.cloth ?? [];
  return el("section", { "aria-label": "How cloth is sold" }, ...list.map((one, number) => el("div.row", {},
    textField(["cloth", number, "name"], "Cloth", CLOTH), choiceField(["cloth", number, "sold_as"], "Sold as", [[null, "by the yard"], ...choices.sold_as.filter((name) => name !== "yardage")]),
    flagField(["cloth", number, "directional"], "Its print has an up and a down"), button("Leave it out", () => edit([{ place: list.length > 1 ? ["cloth", number] : ["cloth"], value: null }])))),
    draft.cloths.some((one) => one.from === "yardage") ? button("Say how a cloth is sold", () => edit([{ place: ["cloth", list.length], value: { name: soldName(list), sold_as: "fat quarters" } }])) : null);
}

function soldName(list) {
  const names = draft.cloths.filter((one) => one.from === "yardage").map((one) => one.cloth ?? one.name);
  return names.find((name) => !list.some((one) => one.name === name)) ?? names[0];
}
