/** A pattern's cutting instructions, pasted and read: what is cut, beside the words that say so. */

import { button, el, field, fill } from "../frame/dom.js";
import { post } from "../frame/api.js";
import { complain } from "../frame/store.js";

/** @returns {HTMLElement} the box to paste into, and below it what was read */
export function words() {
  const text = el("textarea", { rows: 8, cols: 80, maxlength: 200000, spellcheck: "false", autocomplete: "off" });
  const found = el("div", { role: "status" });
  const read = async () => {
    try {
      fill(found, ...shown(await post("/api/words", { text: text.value })));
    } catch (error) {
      complain(error);
    }
  };
  return el("form.card", { submit: (event) => event.preventDefault() },
    el("h2", { text: "Read a pattern's words" }),
    field("Cutting instructions", text, "paste them as the pattern prints them: sentences, lists or tables"),
    el("div.row", {}, button("Read them", read)), found);
}

function shown(told) {
  return [
    told.pieces.length ? table("What is cut", "Piece", told.pieces) : el("p.verdict.short", { text: "No piece to cut was read." }),
    told.buys.length ? table("What to buy", "How much", told.buys) : null,
    listed("Look at these again", told.doubts),
    listed("Not understood; read it yourself", told.unread),
  ];
}

function table(caption, what, rows) {
  return el("div.scroll", { tabindex: 0, role: "region", "aria-label": caption }, el("table", {}, el("caption", { text: caption }),
    el("thead", {}, el("tr", {}, ...["Cloth", what, "Read from"].map((text) => el("th", { scope: "col", text })))),
    el("tbody", {}, ...rows.map((one) => el("tr", {}, el("th", { scope: "row", text: one.cloth }),
      el("td", { text: one.says }), el("td", { text: one.text }))))));
}

function listed(head, lines) {
  return lines.length ? el("section", { "aria-label": head }, el("h3", { text: head }),
    el("ul.plain-list", {}, ...lines.map((text) => el("li", { text })))) : null;
}
