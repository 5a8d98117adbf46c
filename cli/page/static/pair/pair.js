/** All squares on one board: looked over, found, chosen, paired. */

import { button, el, fill, typing } from "../frame/dom.js";
import { icon } from "../frame/icons.js";
import { placeIn } from "../frame/place.js";
import { canChooseAnew, chooseAnew } from "./better.js";
import { board } from "./board.js";
import { boardKeys } from "./keys.js";
import { changes } from "./changes.js";
import { choice } from "./choice.js";
import { finding } from "./finding.js";
import { looks } from "./fit.js";
import { glance } from "./glance.js";
import { groupsOf } from "./groups.js";
import { handling } from "./handling.js";
import { key } from "./key.js";
import { many } from "./many.js";
import { preview } from "./preview.js";
import { rules } from "./rules.js";
import { called, hear, loadSets, say, square, state } from "../frame/store.js";

/** @param {HTMLElement} main */
export function pair(main) {
  const place = placeIn("board");
  const last = place.get();
  const setOf = (id) => sets.get(id);
  let sets = new Map();
  let held = 0;
  let late = false;

  const on = board();
  const chosen = choice(() => showChosen());
  const found = finding({ changed: () => draw(), setOf }, last.find);
  const seen = changes({
    find: (numbers) => showSets(numbers), all: () => chosen.all(on.tiles().filter((one) => !one.classList.contains("passed")).map(idOf)),
  });
  const ahead = preview({ setOf, mark: (broken) => markSets("breaking", broken) });
  const side = glance({
    setOf, pick: (id) => pick(id), ahead,
  });
  const all = many({ ids: () => chosen.ids, setOf, none: () => chosen.none(), ahead, anew: (ids) => chooseAnew(ahead, ids) });
  const asked = rules();
  const legend = key();
  const hands = handling(on.box, {
    click: clicked, press: (id) => chosen.toggle(id), aim, drop: (a, b) => ahead.drop(a, b),
    frame: (ids, more) => (more ? chosen.all([...new Set([...chosen.ids, ...ids])]) : chosen.all(ids)),
    glance: rested,
    free: () => { if (late) draw(); },
  });
  const keys = boardKeys(on.box, {
    tiles: on.tiles, to: (id, more) => moved(id, more), enter: entered, space: (id) => chosen.toggle(id), escape: letGo,
    all: () => chosen.all(on.tiles().map(idOf)),
    letters: Object.fromEntries(["lock", "apart", "others", "swap"].map((what) => [what[0], (id) => press(id, what)])),
  });

  const { bar, rulesShown } = toolbar({ found, on, seen, anew: () => chooseAnew(ahead, []), rules: () => { ruled.hidden = !rulesShown(); arrange(); } });
  const ruled = el("section.rules", { "aria-label": "How sets are chosen", hidden: true }, asked.box);
  const grow = iconButton("up", "More of it", () => setTall(!sides.classList.contains("tall")));
  const setTall = (tall) => {
    sides.classList.toggle("tall", tall);
    grow.setAttribute("aria-expanded", String(tall));
  };
  grow.classList.add("grow");
  grow.setAttribute("aria-expanded", "false");
  const sides = el("aside.side", { "aria-label": "The square at hand" }, ahead.box, el("div.side-room.panel", {}, grow, ruled, all.box, side.box, legend.box));
  fill(main, el("div.pairing", {}, el("div.pairing-board", {}, bar, on.box), sides));

  function draw() {
    late = hands.busy();
    if (late) return;
    const told = state.sets;
    if (!told || told.bundle !== state.view?.id) {
      seen.waiting();
      return;
    }
    sets = new Map(told.sets.flatMap((one) => one.squares.map((id) => [id, one])));
    chosen.keep((id) => square(id) && !square(id).dropped);
    const shown = new Set(state.view.squares.filter(found.shows).map((one) => one.id));
    const lie = new Set([...told.sets.map((one) => one.squares.join(" ")), ...told.unused.map((one) => String(one.square))]);
    on.draw(groupsOf(told, (id) => shown.has(id)), { changed: seen.take(told) }, (together) => lie.has(together));
    on.box.classList.toggle("narrowed", found.active());
    on.empty(shown.size ? "" : noneShown(found.active()));
    for (const one of on.tiles()) one.classList.toggle("passed", !shown.has(idOf(one)));
    seen.count(shown.size, found.active());
    keys.refresh();
    showChosen();
  }
  function showChosen() {
    for (const one of on.tiles()) {
      const is = String(chosen.has(idOf(one)));
      if (one.getAttribute("aria-pressed") !== is) one.setAttribute("aria-pressed", is);
      one.classList.toggle("picked", idOf(one) === held);
    }
    side.hold(chosen.hand);
    all.draw();
    legend.draw();
    arrange();
    place.keep({ find: found.keep(), square: chosen.hand });
  }
  /** One thing at a time stands beside the board. */
  function arrange() {
    all.box.hidden ||= rulesShown();
    side.box.hidden = rulesShown() || chosen.many || !side.shown();
    legend.box.hidden = rulesShown() || chosen.many || !side.box.hidden;
    sides.classList.toggle("bare", !rulesShown() && !chosen.many && !side.shown());
  }
  function rested(id) {
    if (held) aim(held, id === held ? 0 : id);
    else {
      side.look(id || chosen.hand);
      arrange();
    }
  }
  function clicked(event, id) {
    const touch = event.pointerType === "touch";
    if (held) {
      if (held === id) letGo();
      else if (touch) ahead.show(held, id, true);
      else put(id);
    } else if (event.shiftKey) chosen.upTo(id, on.tiles().map(idOf));
    else if (event.ctrlKey || event.metaKey || (touch && chosen.many)) chosen.toggle(id);
    else chosen.only(id);
  }
  function pick(id) {
    held = id;
    showChosen();
    say(`${called(id)} is picked up. Choose another square to change places, Escape to let go.`);
  }
  function put(id) {
    const one = held;
    held = 0;
    ahead.show(0, 0);
    showChosen();
    ahead.drop(one, id);
  }
  function aim(a, b) {
    markTarget(b);
    ahead.show(a, b);
  }
  function letGo() {
    if (held) say("Put back.");
    else if (chosen.many) chosen.only(chosen.hand);
    else if (chosen.hand) chosen.only(0);
    held = 0;
    aim(0, 0);
    showChosen();
  }
  function entered(id) {
    if (!held) pick(id);
    else if (held === id) letGo();
    else put(id);
  }
  function moved(id, more) {
    if (held) aim(held, id === held ? 0 : id);
    else if (more) chosen.upTo(id, on.tiles().map(idOf));
    else if (!chosen.many) chosen.only(id);
    else chosen.hold(id);
  }
  /** Press a button of the square's panel. */
  function press(id, what) {
    if (chosen.hand !== id) chosen.only(id);
    const control = side.box.querySelector(`[data-does="${what}"]`);
    control?.click();
    if (what !== "others") return;
    setTall(true);
    requestAnimationFrame(() => side.box.querySelector("details.partners")?.scrollIntoView({ block: "nearest" }));
  }
  function markTarget(id) {
    on.box.querySelector(".target")?.classList.remove("target");
    on.tileOf(id)?.classList.add("target");
  }
  function markSets(name, some) {
    for (const one of on.box.querySelectorAll(`.${name}`)) one.classList.remove(name);
    for (const one of some) on.setAt(one.squares[0])?.classList.add(name);
  }
  function showSets(numbers) {
    const ids = state.sets.sets.filter((one) => numbers.includes(one.number)).flatMap((one) => one.squares);
    chosen.all(ids);
    on.tileOf(ids[0])?.scrollIntoView({ block: "center" });
  }
  const typed = (event) => {
    if (event.key !== "/" || typing(event) || event.ctrlKey || event.metaKey || document.querySelector("dialog[open]")) return;
    event.preventDefault();
    found.focus();
  };
  addEventListener("keydown", typed);
  const deaf = hear((what, more) => {
    if (what === "sets") draw();
    if (what === "working") seen.working(more);
    if (what === "stopped") seen.stopped();
    if (what === "view" && state.view) {
      if (!held && !hands.busy()) ahead.hide();
      asked.refresh();
      draw();
      loadSets();
    }
  });
  if (last.square && square(last.square)) chosen.only(last.square);
  draw();
  loadSets().then(place.back);
  const scrolling = place.follow();
  return () => {
    deaf();
    scrolling();
    hands.end();
    keys.end();
    removeEventListener("keydown", typed);
  };
}

/** Why the board is empty, and what to do. */
function noneShown(narrowed) {
  if (narrowed) return "No square fits that. Try a colour, a label like R2C3, or switch a word off.";
  return "No squares are left here: take the last step back, or add photos.";
}

function idOf(node) {
  return Number(node.dataset.square);
}

/** What is found, what is told beside the cloth, how large it is, and the rules. */
function toolbar({ found, on, seen, anew, rules }) {
  const labels = iconButton("labels", "Labels", () => {
    looks.labels = !looks.labels;
    put();
    on.resize();
  });
  const put = () => {
    labels.setAttribute("aria-pressed", String(looks.labels));
    on.box.classList.toggle("labelled", looks.labels);
  };
  put();
  const larger = (by) => () => { looks.larger = by ? looks.larger + by : 0; on.resize(); };
  const open = iconButton("rules", "Rules", () => {
    open.setAttribute("aria-expanded", String(open.getAttribute("aria-expanded") !== "true"));
    rules();
  });
  open.setAttribute("aria-expanded", "false");
  const bar = el("div.board-bar", {}, found.field, seen.box, el("div.board-tools", { role: "toolbar", "aria-label": "The board" },
    labels, el("span.size", {}, iconButton("minus", "Smaller cloth", larger(-1)), iconButton("whole", "All on one screen", larger(0)),
      iconButton("plus", "Larger cloth", larger(1))), canChooseAnew() ? iconButton("better", "Better sets", anew) : null, open), found.chips);
  return { bar, rulesShown: () => open.getAttribute("aria-expanded") === "true" };
}

function iconButton(picture, words, does) {
  const made = button("", does, { class: "icon", "aria-label": words, title: words });
  made.append(icon(picture));
  return made;
}
