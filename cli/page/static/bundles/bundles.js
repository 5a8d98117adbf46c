/** The list of bundles, each with its cloth; photos dropped on the page or chosen; the first minute. */

import { button, el, fill } from "../frame/dom.js";
import { complain, hear, state } from "../frame/store.js";
import { icon } from "../frame/icons.js";
import { askWhich } from "./whichbundle.js";
import { bundleMenu } from "./bundlemenu.js";
import { checkUp, takeIn } from "./keeping.js";
import { send, showIn } from "./uploads.js";
import { welcome } from "./welcome.js";

/** @param {HTMLElement} main */
export function bundles(main) {
  const rooms = {
    list: el("ul.bundle-list", { "aria-label": "Your bundles" }), welcome: el("div"),
    jobs: el("ul.jobs", { "aria-label": "Photos being read" }),
  };
  const begin = (photos, bundle) => start(photos, rooms.jobs, bundle).catch(complain);
  const files = chooser((photos) => begin(photos));
  const head = el("div.bundles-head", {}, el("h2", { text: "Your bundles" }), files.box);
  const foot = el("div.row.bundles-foot", {}, takeIn(), button("Check that all is well", checkUp, { class: "plain" }));
  const leaveDrop = dropping(main, (photos) => begin(photos));
  fill(main, head, rooms.welcome, rooms.jobs, rooms.list, foot, el("p.caution", { text: state.start.caution }));

  let shown = "";
  const draw = () => {
    const kept = state.start.bundles;
    const told = JSON.stringify(kept);
    if (told === shown) return; // a menu that is open stays open, and what has the focus keeps it
    shown = told;
    head.hidden = !kept.length;
    fill(rooms.welcome, kept.length ? null : welcome(chooser((photos) => begin(photos)).box, rooms.jobs));
    fill(rooms.list, kept.map((one) => item(one, (photos) => begin(photos, one))));
  };
  draw();
  showIn(rooms.jobs);
  const deaf = hear((what) => { if (what === "start") draw(); });
  return () => {
    deaf();
    leaveDrop();
  };
}

/** Send photos to a bundle; without one, ask to which. */
async function start(chosen, jobs, bundle) {
  const photos = [...chosen].filter((one) => one.size);
  if (!photos.length) return;
  const which = bundle ? { name: bundle.name, side: "" } : await askWhich(photos);
  if (which) await send(photos, which.name, which.side, jobs);
}

/** What chooses photos, in the looks of a button. */
function chooser(does) {
  const input = el("input", {
    type: "file", multiple: true, accept: "image/*,.heic,.heif", "aria-label": "Add photos",
    change: () => {
      const chosen = [...input.files];
      input.value = "";
      does(chosen);
    },
  });
  return { box: el("span.chooser.button.primary", {}, icon("photo"), "Add photos", input) };
}

/** Take photos that are dropped anywhere on the page. @returns {() => void} */
function dropping(main, does) {
  const over = (event) => { event.preventDefault(); main.classList.add("over"); };
  const out = (event) => { event.preventDefault(); main.classList.remove("over"); };
  const drop = (event) => { out(event); does(event.dataTransfer?.files ?? []); };
  const heard = [["dragenter", over], ["dragover", over], ["dragleave", out], ["drop", drop]];
  for (const [kind, hears] of heard) main.addEventListener(kind, hears);
  return () => {
    for (const [kind, hears] of heard) main.removeEventListener(kind, hears);
    main.classList.remove("over");
  };
}

function item(one, add) {
  const used = one.squares - one.free;
  const words = [
    `${one.squares} squares of ${one.side}`, `${one.photos} photo${one.photos === 1 ? "" : "s"}`,
    used ? `${one.free} free` : "", one.projects.length ? `for ${one.projects.join(", ")}` : "",
  ].filter(Boolean).join(" · ");
  return el("li.bundle-card", {},
    el("a.bundle", { href: `#bundle/${one.id}/photo`, data: { key: `bundle-${one.id}` } },
      el("img.cloth", { src: `/api/bundle/${one.id}/thumb.jpg?v=${one.version}`, alt: "", width: 240, height: 150, loading: "lazy", decoding: "async", error: bare }),
      el("strong", { text: one.name }), el("span", { text: words })),
    bundleMenu(one, add));
}

/** Where there is no picture yet, its room stays, empty. */
function bare(event) {
  event.target.classList.add("bare");
}
