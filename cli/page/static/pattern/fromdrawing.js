/** A block from a picture of it: what was read is shown beside the picture, and laid when it is confirmed. */

import { uploadTo } from "../frame/api.js";
import { button, el, field, fill, svg } from "../frame/dom.js";
import { drawnTile } from "./blockstage.js";
import { tilesOf } from "./tiles.js";

const CELL = 100;
const DOUBTFUL = 0.8;

/**
 * A field for the picture, and below it the proposal.
 * @param {Map<string, any>} units @param {(block: object) => void} take called with the block that was confirmed
 */
export function fromDrawing(units, take) {
  const input = el("input", { type: "file", accept: "image/*", change: () => input.files[0] && look(input.files[0]) });
  const status = el("p", { role: "status" });
  const found = el("div");

  async function look(file) {
    input.disabled = true;
    fill(found);
    status.textContent = `Looking at ${file.name} …`;
    try {
      const told = await uploadTo("/api/patterns/drawing", file);
      status.textContent = "Hold it against the picture.";
      show(told, file);
    } catch (error) {
      status.textContent = error.message;
    } finally {
      input.disabled = false;
      input.value = "";
    }
  }

  function show({ proposal, doubts }, file) {
    const picture = el("img.known-picture", { alt: "The picture", src: URL.createObjectURL(file), load: () => URL.revokeObjectURL(picture.src) });
    fill(found, el("div.row", {}, picture, proposed(proposal, units)),
      el("ul.plain-list", {}, ...doubts.map((text) => el("li", { text: `${text.charAt(0).toUpperCase()}${text.slice(1)}.` }))),
      button("Lay it", () => take({ ...proposal, name: "The drawing" }), { class: "primary" }));
  }

  return el("div", {}, field("From a picture", input, "A photo or a scan of one block's diagram, its frame whole."), status, found);
}

/** The proposal in the drawing's own colours; what is hard to make out has a line round it. */
function proposed(block, units) {
  const looks = new Map(block.colours.map(({ name, look }) => [name, look]));
  const { across, down, tiles } = tilesOf(block, new Map(block.colours.map(({ name }) => [name, name])));
  const shown = tiles.map((tile) => {
    const group = drawnTile(tile, units);
    for (const one of group.querySelectorAll("polygon")) one.style.fill = looks.get(tile.paints[one.dataset.part]?.piece) ?? "none";
    return group;
  });
  const unsure = block.cells.filter(({ certainty }) => certainty < DOUBTFUL);
  const round = ["chosen-light", "chosen-dark"].flatMap((line) => unsure.map((cell) =>
    svg("rect", { class: line, x: cell.column * CELL, y: cell.row * CELL, width: cell.wide * CELL, height: cell.high * CELL })));
  const says = `What was read: ${down} by ${across} cells${unsure.length ? `, ${unsure.length} of its units hard to make out` : ""}`;
  return svg("svg", { viewBox: `0 0 ${across * CELL} ${down * CELL}`, class: "known-picture", role: "img", "aria-label": says }, ...shown, ...round);
}
