/** A square that was missed: proposed where it must lie, kept on a second click or Enter. */

import { button, el, fill, svg } from "../frame/dom.js";
import { pointsOf } from "./marks.js";
import { post } from "../frame/api.js";
import { act, complain, limits, say, state } from "../frame/store.js";

/**
 * @param {import("./stage.js").Stage} at @param {any} photo
 * @param {{done: (id: number) => void, room: HTMLElement}} given
 */
export function missed(at, photo, given) {
  const shape = svg("polygon", { class: "proposed" });
  const told = el("p.hint");
  const row = number("Row");
  const col = number("Column");
  const box = el("div.draft", { role: "group", "aria-label": "Draw a missed square", hidden: true }, told,
    el("div.row", {}, row.field, col.field, button("Show", () => propose({ row: Number(row.input.value), col: Number(col.input.value) })),
      button("Keep it", keep), button("Let it be", end)));
  let on = false;
  let found = null;
  given.room.replaceChildren(box);

  function begin() {
    on = true;
    found = null;
    box.hidden = false;
    at.box.classList.add("drawing");
    row.input.value = col.input.value = "";
    told.textContent = "Click in the middle of the square that was missed, or give its row and column.";
    row.input.focus();
    say(told.textContent);
  }
  function end() {
    on = false;
    found = null;
    shape.remove();
    if (box.contains(document.activeElement)) at.box.focus();
    box.hidden = true;
    at.box.classList.remove("drawing");
  }
  async function propose(where) {
    try {
      found = await post(`/api/bundle/${state.view.id}/propose`, { photo: photo.id, ...where });
    } catch (error) {
      complain(error);
      return;
    }
    shape.setAttribute("points", pointsOf(found.corners));
    at.marks.append(shape);
    if (found.row) [row.input.value, col.input.value] = [found.row, found.col];
    told.textContent = `${found.label || "A square"} would lie here. Click again or press Enter to keep it, Escape to let it be.`;
    say(told.textContent);
    if (!("x" in where)) at.flyTo(found.corners);
  }
  async function keep() {
    if (!found) return;
    const { corners, row: r, col: c, label } = found;
    const known = new Set(state.view.squares.map((one) => one.id));
    end();
    const done = await act([{ kind: "missed", photo: photo.id, corners, row: r, col: c }], `${label || "The square"} is drawn.`);
    const fresh = done && state.view.squares.find((one) => !known.has(one.id));
    given.done(fresh ? fresh.id : 0);
  }
  return {
    begin,
    busy: () => on,
    click: (event) => {
      const [x, y] = at.toPhoto(event.clientX, event.clientY);
      if (found && inside([x, y], found.corners)) keep();
      else propose({ x, y });
    },
    key: (event) => {
      if (!on) return false;
      if (event.key === "Escape") end();
      else if (event.key === "Enter" && found && !(event.target instanceof HTMLButtonElement)) keep();
      else return false;
      return true;
    },
  };

  function number(name) {
    const input = el("input", { type: "number", ...limits("place", "row"), inputmode: "numeric" });
    input.addEventListener("keydown", (event) => {
      if (event.key === "Escape") end();
      else if (event.key === "Enter" && row.input.value && col.input.value) {
        const same = found?.row === Number(row.input.value) && found?.col === Number(col.input.value);
        if (same) keep();
        else propose({ row: Number(row.input.value), col: Number(col.input.value) });
      } else return;
      event.preventDefault();
      event.stopPropagation();
    });
    const id = `missed-${name.toLowerCase()}`;
    input.id = id;
    return { input, field: el("div.field", {}, el("label", { for: id, text: name }), input) };
  }
}

/** Whether a point lies in an outline. */
function inside([x, y], points) {
  return points.every(([ax, ay], place) => {
    const [bx, by] = points[(place + 1) % points.length];
    return (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0;
  });
}
