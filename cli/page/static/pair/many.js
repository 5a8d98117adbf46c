/** What can be done with all chosen squares at once. */

import { button, el, field, fill } from "../frame/dom.js";
import { icon } from "../frame/icons.js";
import { standing } from "../photo/marks.js";
import { canChooseAnew } from "./better.js";
import { thumb } from "./tile.js";
import { act, limits, square, state } from "../frame/store.js";

const MARKS = [["held back", "Held back"], ["damaged", "Damaged"], ["wrong side", "Wrong side up"], ["cut", "Already cut"]];
const ROLES = [["background", "For the background"], ["feature", "For the feature"], ["", "For either"]];
const SHOWN = 12;

/**
 * @param {{ids: () => number[], setOf: (id: number) => any, none: () => void, ahead: any, anew: (ids: number[]) => void}} given
 * @returns {{box: HTMLElement, draw: () => void}}
 */
export function many(given) {
  const { ahead } = given;
  const heading = el("h2");
  const pictures = el("div.many-cloth", { "aria-hidden": "true" });
  const controls = el("div.many-controls");
  const box = el("section.many", { "aria-label": "All chosen squares", hidden: true }, heading, pictures, controls);
  const ids = () => given.ids();
  const squares = () => ids().map(square).filter(Boolean);
  const sets = () => [...new Map(ids().map(given.setOf).filter(Boolean).map((one) => [one.number, one])).values()];
  const said = (words) => `${count(ids().length)}: ${words}`;

  const mark = ([what, words]) => {
    const deeds = marked(what);
    const [{ on }] = deeds;
    return act(deeds, said(on ? words.toLowerCase() : `no longer ${words.toLowerCase()}`));
  };
  const lock = () => {
    const mine = ids();
    const whole = sets();
    const size = state.view.rules.set_size;
    const apart = mine.length === size && !whole.some((one) => mine.every((id) => one.squares.includes(id)));
    const kept = apart ? [mine] : whole.filter((one) => !one.locked).map((one) => one.squares);
    if (kept.length) act([{ kind: "lock", sets: kept }], kept.length === 1 ? "The set stays together." : `${kept.length} sets stay together.`);
    else act([{ kind: "unlock", squares: mine }], "The sets may change again.");
  };
  const forbidden = () => [{ kind: "forbid", pairs: sets().flatMap((one) => pairs(one.squares)) }];
  const apart = () => act(forbidden(), said("taken apart"));
  const marked = (what) => [{ kind: "mark", squares: ids(), mark: what, on: !squares().every((one) => one.marks.includes(what)) }];
  const reserve = (project) => {
    const free = new Set(squares().filter((one) => standing(one) === "free").map((one) => one.id));
    const whole = sets().filter((one) => one.squares.every((id) => free.has(id)));
    const inWhole = new Set(whole.flatMap((one) => one.squares));
    const alone = [...free].filter((id) => !inWhole.has(id)).map((id) => [id]);
    act([{ kind: "reserve", project, sets: [...whole.map((one) => one.squares), ...alone] }], said(`reserved for ${project}`));
  };

  function draw() {
    const mine = ids();
    box.hidden = mine.length < 2;
    if (box.hidden) return;
    heading.textContent = `${count(mine.length)} chosen`;
    fill(pictures, mine.slice(0, SHOWN).map((id) => thumb(id, 40)), mine.length > SHOWN ? el("span", { text: `and ${mine.length - SHOWN} more` }) : null);
    const whole = sets();
    const name = el("input", { ...limits("reserve", "project"), required: true, list: "board-projects", data: { key: "many-project" } });
    const put = (event) => {
      event.preventDefault();
      if (name.value.trim()) reserve(name.value.trim());
    };
    const all = (what) => squares().every((one) => one.marks.includes(what));
    fill(controls,
      el("div.row", { role: "group", "aria-label": "Their sets" },
        whole.length || mine.length === state.view.rules.set_size
          ? does("lock", whole.length && whole.every((one) => one.locked) ? "Unlock" : "Lock together", lock, "many-lock") : null,
        whole.length ? does("apart", "Take apart", apart, "many-apart", ahead.hinting("Without these sets", forbidden)) : null,
        whole.length && canChooseAnew() ? does("better", "Choose anew", () => given.anew(ids()), "many-anew") : null),
      el("form.row", { submit: put }, field("Reserve for a project", name), el("button", { text: "Reserve" }),
        el("datalist", { id: "board-projects" }, ...state.view.projects.map((one) => el("option", { value: one.name })))),
      el("div.row", { role: "group", "aria-label": "What they are" }, ...MARKS.map((one) =>
        button(one[1], () => mark(one), {
          "aria-pressed": String(all(one[0])), data: { key: `many-${one[0]}` }, ...ahead.hinting(one[1], () => marked(one[0])),
        }))),
      el("div.row", { role: "group", "aria-label": "What they serve as" }, ...ROLES.map(([role, words]) =>
        button(words, () => act([{ kind: "role", squares: ids(), role }], said(words.toLowerCase())),
          { "aria-pressed": String(squares().every((one) => one.role === role)), data: { key: `many-role-${role}` } }))),
      el("div.row", { role: "group", "aria-label": "Whether they are right" },
        "right" in (squares()[0] ?? {}) ? does("tick", "Right as found",
          () => act([{ kind: "right as found", squares: ids(), on: true }], said("right as found")), "many-right") : null,
        does("close", "Not squares", () => act([{ kind: "not a square", squares: ids() }], `${count(ids().length)} taken out.`), "many-none"),
        does("back", "Choose none", given.none, "many-let")));
  }
  return { box, draw };
}

/** All pairs of some squares. */
function pairs(some) {
  return some.flatMap((one, place) => some.slice(place + 1).map((other) => [one, other]));
}

function does(picture, words, action, key, more = {}) {
  const made = button("", action, { data: { key }, ...more });
  made.append(icon(picture), words);
  return made;
}

function count(number) {
  return `${number} square${number === 1 ? "" : "s"}`;
}
