/** The page: the parts of a bundle and the places beside them, and the way between all of these. */

import { el, fill } from "./dom.js";
import { begin, close, complain, hear, keepUp, open, state } from "./store.js";
import { icon } from "./icons.js";
import { tools } from "./tools.js";
import { onContact } from "./contact.js";
import { drawLine } from "./line.js";
import { bundles } from "../bundles/bundles.js";
import { goOn } from "../bundles/uploads.js";
import { patterns } from "../pattern/patterns.js";
import { search } from "../search/search.js";
import { photo } from "../photo/photo.js";
import { pair } from "../pair/pair.js";
import { plan } from "../plan/plan.js";
import { wall } from "../wall/wall.js";
import { take } from "../along/take.js";
import { history } from "../along/history.js";

/** Of a bundle: name in the address, words, what draws it, and whether the header leads there. */
const PARTS = [
  ["photo", "Photo", photo, true], ["pair", "Pair", pair, true], ["plan", "Plan", plan, true],
  ["wall", "Wall", wall, true], ["take", "Take along", take, true], ["history", "What was done", history, false],
];
/** Beside the bundles: the address after #, words, what draws it, the picture of its button. */
const PLACES = [
  ["bundles", "Bundles", bundles, "home"],
  ["patterns", "Patterns", patterns, "pattern"], ["search", "Search", search, "search"],
];
const HEARD = 6000;
const $ = (id) => document.getElementById(id);
const main = $("main");
let leave = null;
let shown = "";
let silence = 0;

/** Where the address points: a bundle's part, or a place. */
function where() {
  const [, id, part] = /^#bundle\/(\d+)(?:\/([a-z]+))?/.exec(location.hash) ?? [];
  if (id) return { id: Number(id), part: PARTS.some(([name]) => name === part) ? part : "photo" };
  const [, place] = /^#([a-z]+)/.exec(location.hash.replace(/^#pattern(?=\/|$)/, "#patterns")) ?? [];
  return { place: PLACES.some(([name]) => name === place) ? place : "bundles" };
}

/** Show what the address points to. @param {boolean} [fresh] whether what there is was told just now */
async function go(fresh = false) {
  $("banner").hidden = true;
  const at = where();
  const key = location.hash;
  try {
    if (at.place) {
      leave?.();
      leave = null;
      close();
      if (!fresh) await begin();
      show(at.place, PLACES.find(([name]) => name === at.place)[2]);
    } else {
      if (state.view?.id !== at.id) {
        leave?.();
        leave = null;
        fill(main, el("p.waiting", { text: "Opening the bundle …" }));
        await open(at.id);
      }
      if (location.hash !== key) return;
      show(`${at.id}/${at.part}`, PARTS.find(([name]) => name === at.part)[2]);
    }
  } catch (error) {
    if (at.id && error.status === 404) {
      window.history.replaceState(null, "", "#");
      await go();
    }
    complain(error);
  }
}

function show(key, part) {
  leave?.();
  const moved = shown && shown !== key;
  shown = key;
  main.className = `part-${key.split("/").pop()}`;
  leave = part(main) ?? null;
  head();
  if (moved) {
    main.focus({ preventScroll: true });
    $("said").textContent = "";
    scrollTo(0, 0);
  }
}

function head() {
  const view = state.view;
  const at = where();
  const title = view ? view.name : "calicount";
  $("title").textContent = title;
  $("title").title = title;
  document.title = view ? `${view.name} – calicount` : "calicount";
  const links = view
    ? PARTS.filter(([, , , led]) => led).map(([name, words]) => link(`#bundle/${view.id}/${name}`, words, name, at.part === name))
    : PLACES.map(([name, words, , picture]) => link(`#${name}`, words, picture, at.place === name));
  fill($("parts"), links);
  bar.draw();
}

function link(href, words, picture, here) {
  return el("a", { href, "aria-current": here ? "page" : null }, icon(picture), el("span", { text: words }));
}

hear((what, more) => {
  if (what === "view") head();
  if (what === "said") {
    $("said").textContent = more;
    clearTimeout(silence);
    silence = setTimeout(() => { $("said").textContent = ""; }, HEARD);
    $("banner").hidden = true;
  }
  if (what === "problem") problem(more);
});

function problem(error) {
  const banner = $("banner");
  const away = () => { banner.hidden = true; };
  const shut = el("button", { type: "button", text: "Close", click: away });
  const text = error.status === 409 ? `${error.message} It is shown as it is now.` : error.message;
  fill(banner, el("span", { text }), shut);
  banner.hidden = false;
}

$("home").append(icon("home"));
$("skip").addEventListener("click", (event) => { event.preventDefault(); main.focus(); });
const bar = tools($("tools"), $("more"), $("dialog"));
addEventListener("hashchange", () => go());
addEventListener("unhandledrejection", (event) => complain(event.reason));

const start = () => begin().then(() => {
  if (!location.hash && state.start.open) location.replace(`#bundle/${state.start.open}/photo`);
  go(true);
}, complain);
onContact((back) => { if (back && !state.start) start(); });
keepUp();
drawLine();
goOn();
start();
