/** The sets: looked at, changed, locked, taken apart. */

import { button, el, fill } from "../frame/dom.js";
import { carrying } from "../frame/carry.js";
import { others } from "./others.js";
import { piece, setCard } from "./setcard.js";
import { rules } from "./rules.js";
import { act, called, hear, loadSets, say, square, state } from "../frame/store.js";

const ORDERS = [
  ["number", "as numbered"], ["worst", "the least alike first"], ["family", "by colour family"], ["dark", "from dark to light"],
];
let order = "number";

/** @param {HTMLElement} main */
export function pair(main) {
  const opened = new Set();
  const summary = el("p.summary", { role: "status" });
  const cards = el("div.sets", { role: "list", "aria-label": "Sets" });
  const tray = el("div.tray", { role: "list", "aria-label": "Squares in no set" });
  const trayTitle = el("h2", { text: "In no set" });
  const sort = el("select", { id: "sets-order", change: () => { order = sort.value; draw(); } },
    ...ORDERS.map(([value, text]) => el("option", { value, text, selected: value === order })));
  const asked = rules();
  fill(main, el("div.pairing", {},
    el("aside.rules", { "aria-label": "How sets are chosen" }, asked.box),
    el("section", { "aria-label": "Sets" },
      el("div.row", {}, summary, el("div.field", {}, el("label", { for: "sets-order", text: "Order" }), sort)), cards),
    el("section.tray-room", { "aria-label": "Squares in no set" }, trayTitle, tray)));

  const setOf = (id) => state.sets?.sets.find((one) => one.squares.includes(id));
  const drop = (from, to) => exchange(from, to, setOf);
  let late = false;
  const carry = carrying(main, { drop, name: called, free: () => { if (late) draw(); } });
  main.append(carry.hint);

  const draw = () => {
    late = carry.busy();
    if (late) return;
    const found = state.sets;
    if (!found || found.bundle !== state.view?.id) {
      fill(cards, el("p.waiting", { text: "Choosing the sets …" }));
      return;
    }
    summary.textContent = found.summary.join(" ");
    const sorted = sortedBy(order, found.sets);
    fill(cards, order === "family" ? grouped(sorted) : sorted.map(card));
    fill(tray, found.unused.map(({ square: id, why }) => el("div.spare", { role: "listitem" }, piece(id), el("span.hint", { text: why }))));
    tray.parentElement.classList.toggle("bare", !found.unused.length);
    trayTitle.textContent = found.unused.length ? `In no set (${found.unused.length})` : "Every square is in a set";
    carry.refresh();
  };
  const card = (one) => setCard(one, {
    lock: () => one.locked ? act([{ kind: "unlock", squares: one.squares }], `Set ${one.number} may change again.`)
      : act([{ kind: "lock", sets: [one.squares] }], `Set ${one.number} stays together.`),
    apart: () => act([{ kind: "take apart", squares: one.squares }], `${one.squares.map(called).join(" and ")} are not to be a set.`),
    others: (room) => others(room, one, (from, to) => {
      opened.clear();
      return drop(from, to);
    }),
    opened,
  });
  const grouped = (sets) => {
    const named = new Map();
    for (const one of sets) named.set(one.family, [...(named.get(one.family) ?? []), one]);
    return [...named].map(([name, members]) => el("section.family", { "aria-label": name },
      el("h3", { text: `${name} (${members.length})` }), el("div.sets", { role: "list" }, ...members.map(card))));
  };
  const keys = (event) => {
    if (event.target.closest?.("input, select, textarea") || event.ctrlKey || event.metaKey || event.altKey) return;
    const does = { l: "lock", a: "apart", o: "others" }[event.key.toLowerCase()];
    const control = does && event.target.closest?.(".set")?.querySelector(`[data-does="${does}"]`);
    if (!control) return;
    event.preventDefault();
    control.click();
  };
  main.addEventListener("keydown", keys);
  const deaf = hear((what) => {
    if (what === "sets") draw();
    if (what === "view" && state.view) {
      asked.refresh();
      loadSets();
    }
  });
  draw();
  loadSets();
  return () => {
    deaf();
    carry.end();
    main.removeEventListener("keydown", keys);
  };
}

/** Two squares change places: both in sets, or one of them in none. */
function exchange(a, b, setOf) {
  const [one, two] = [setOf(a), setOf(b)];
  if (one && two && one.number === two.number) {
    say("They are in one set already.");
    return false;
  }
  const words = `${called(a)} and ${called(b)} changed places.`;
  if (one && two) return act([{ kind: "swap", first: one.squares, second: two.squares, a, b }], words);
  if (!one && !two) {
    if (state.view.rules.set_size !== 2) {
      say("Sets of more than two squares begin with a set: put a square in place of one of its own.");
      return false;
    }
    return act([{ kind: "lock", sets: [[a, b]] }], `${called(a)} and ${called(b)} are a set.`);
  }
  const [kept, out, put] = one ? [one, a, b] : [two, b, a];
  if (!square(put).state) {
    return act([{ kind: "lock", sets: [kept.squares.map((id) => (id === out ? put : id))] }], `${called(put)} took the place of ${called(out)}.`);
  }
  say(`${called(put)} is ${square(put).state}.`);
  return false;
}

function sortedBy(how, sets) {
  const sorted = [...sets];
  const lightness = (one) => Math.min(...one.squares.map((id) => square(id)?.lab?.[0] ?? 0));
  if (how === "worst") sorted.sort((a, b) => b.difference - a.difference);
  if (how === "dark") sorted.sort((a, b) => lightness(a) - lightness(b));
  if (how === "family") {
    const places = new Map(state.view.families.map((one, place) => [one.name, place]));
    const place = (one) => places.get(one.family.split("/")[0].trim()) ?? places.size;
    sorted.sort((a, b) => place(a) - place(b) || a.number - b.number);
  }
  return sorted;
}
