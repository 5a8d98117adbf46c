/** Block, squares and seam: changing one rescales all that follows, and shows old beside new. */

import { button, el, fill } from "../frame/dom.js";
import { post } from "../frame/api.js";
import { change, draft } from "./draft.js";
import { textField } from "./fields.js";

/** @returns {{draw: () => HTMLElement}} */
export function resizing() {
  let rows = [];
  let problem = "";
  const told = el("div", { role: "status" });
  const strips = el("input", { type: "checkbox", id: "scale-strips" });

  async function rescale(asked) {
    problem = "";
    try {
      const made = await post("/api/patterns/rescale", { data: draft.data, strips: strips.checked, ...asked });
      rows = made.rows;
      change(made.data);
    } catch (error) {
      problem = error.message;
      rows = [];
    }
    show();
  }

  function show() {
    fill(told, problem ? el("p.flag", { text: problem }) : null, rows.length ? el("table.old-new", {}, el("caption.quiet", { text: "What followed" }),
      el("thead", {}, el("tr", {}, ...["", "was", "is now"].map((text) => el("th", { scope: "col", text })))),
      el("tbody", {}, ...rows.map((row) => el("tr", {}, el("th", { scope: "row", text: row.what }), el("td", { text: row.old || "–" }), el("td", { text: row.new || "–" }))))) : null);
  }

  const drawSizes = () => {
    const layout = draft.data.layout ?? {};
    const drawn = Boolean(draft.data.block);
    const block = (value) => {
      const wide = value.split(/[x×]/)[0].trim();
      return drawn && wide ? rescale({ block: wide }) : change({ ...draft.data, layout: { ...layout, finished_block: value } });
    };
    return el("div.sizes", {}, el("div.row", {},
      textField(["layout", "finished_block"], "Block, finished", { change: block, hint: "all that follows is made over" }),
      textField(["layout", "seam"], "Seam", { placeholder: "1/4", change: (value) => rescale({ seam: value || "1/4" }) }),
      draft.side && drawn ? button(`Fit it to squares of ${draft.side}`, () => rescale({ square: draft.side })) : null,
      el("div.check", {}, strips, el("label", { for: "scale-strips", text: "Sashing and borders in proportion" }))), told);
  };
  return { draw: drawSizes };
}
