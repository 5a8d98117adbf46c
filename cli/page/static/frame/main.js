/** The page: its parts, the way between them, and what is always at hand. */

import { el, fill, typing } from "./dom.js";
import { Lost } from "./api.js";
import { back, begin, close, complain, hear, open, state } from "./store.js";
import { showHelp } from "./help.js";
import { bundles } from "../bundles/bundles.js";
import { photo } from "../photo/photo.js";
import { pair } from "../pair/pair.js";
import { plan } from "../plan/plan.js";
import { wall } from "../wall/wall.js";
import { take } from "../along/take.js";
import { history } from "../along/history.js";

const PARTS = [
  ["photo", "Photo", photo], ["pair", "Pair", pair], ["plan", "Count and plan", plan],
  ["wall", "Wall", wall], ["take", "Take along", take], ["history", "History", history],
];
const HEARD = 6000;
const $ = (id) => document.getElementById(id);
const main = $("main");
let leave = null;
let shown = "";
let silence = 0;

/** Where the address points. */
function where() {
  const [, id, part] = /^#bundle\/(\d+)(?:\/([a-z]+))?/.exec(location.hash) ?? [];
  return id ? { id: Number(id), part: PARTS.some(([name]) => name === part) ? part : "photo" } : null;
}

async function go() {
  $("banner").hidden = true;
  const at = where();
  const key = location.hash;
  try {
    if (!at) {
      leave?.();
      close();
      await begin();
      show("bundles", bundles);
    } else {
      if (state.view?.id !== at.id) {
        leave?.();
        leave = null;
        fill(main, el("p.waiting", { text: "Opening the bundle …" }));
        await open(at.id);
      }
      if (location.hash !== key) return;
      const [, , part] = PARTS.find(([name]) => name === at.part);
      show(`${at.id}/${at.part}`, part);
    }
  } catch (error) {
    if (at && error.status === 404) {
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
  $("title").textContent = view ? view.name : "calicount";
  document.title = view ? `${view.name} – calicount` : "calicount";
  const at = where();
  const links = [el("a", { href: "#", text: "Bundles", "aria-current": at ? null : "page" })];
  if (view) {
    for (const [name, words] of PARTS) {
      links.push(el("a", {
        href: `#bundle/${view.id}/${name}`, text: words,
        "aria-current": at?.part === name ? "page" : null,
      }));
    }
  }
  fill($("parts"), links);
  for (const what of ["undo", "redo"]) {
    const words = view?.[what];
    $(what).disabled = !words;
    $(what).title = words ? `${what === "undo" ? "Undo" : "Redo"}: ${words}` : "";
    $(what).hidden = !view;
  }
  $("grey").hidden = !view;
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
  const close = el("button", { type: "button", text: "Close", click: () => { banner.hidden = true; } });
  const again = error instanceof Lost
    ? el("button", { type: "button", text: "Try again", click: () => { banner.hidden = true; go(); } })
    : null;
  const text = error.status === 409 ? `${error.message} It is shown as it is now.` : error.message;
  fill(banner, el("span", { text }), again, close);
  banner.hidden = false;
}

$("undo").addEventListener("click", () => back("undo"));
$("redo").addEventListener("click", () => back("redo"));
$("grey").addEventListener("click", () => {
  const on = document.body.classList.toggle("value-view");
  $("grey").setAttribute("aria-pressed", String(on));
  sessionStorage.setItem("grey", on ? "1" : "");
});
$("help-open").addEventListener("click", () => showHelp($("help")));
$("skip").addEventListener("click", (event) => { event.preventDefault(); main.focus(); });

addEventListener("keydown", (event) => {
  if (typing(event) || $("help").open) return;
  const command = event.ctrlKey || event.metaKey;
  if (command && event.key.toLowerCase() === "z") {
    event.preventDefault();
    if (state.view?.[event.shiftKey ? "redo" : "undo"]) back(event.shiftKey ? "redo" : "undo");
  } else if (command && event.key.toLowerCase() === "y") {
    event.preventDefault();
    if (state.view?.redo) back("redo");
  } else if (event.key === "?" && !command) showHelp($("help"));
  else if (event.key.toLowerCase() === "v" && !command && !event.altKey && state.view) $("grey").click();
});
addEventListener("hashchange", go);
addEventListener("unhandledrejection", (event) => complain(event.reason));
if (sessionStorage.getItem("grey")) $("grey").click();

begin().then(() => {
  if (!location.hash && state.start.open) location.replace(`#bundle/${state.start.open}/photo`);
  go();
}, complain);
