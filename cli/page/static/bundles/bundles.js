/** The list of bundles, and photos dropped on the page. */

import { button, el, field, fill } from "../frame/dom.js";
import { post } from "../frame/api.js";
import { complain, hear, say, state } from "../frame/store.js";
import { follow, send } from "./uploads.js";
import { words } from "../pattern/words.js";

/** @param {HTMLElement} main */
export function bundles(main) {
  const list = el("ul.bundle-list", { "aria-labelledby": "kept" });
  const name = el("input", { required: true, maxlength: 80, autocomplete: "off", list: "bundle-names" });
  const side = el("input", { required: true, value: "5", inputmode: "text", size: 8 });
  const files = el("input", { id: "photos", type: "file", multiple: true, accept: "image/*,.heic,.heif" });
  const progress = el("ul.jobs", { "aria-label": "Photos being read" });
  const drop = el("div.drop", {},
    el("label", { for: "photos", text: "Drop photos of one bundle here, or choose them:" }), files);
  const form = el("form.card", { submit: (event) => event.preventDefault() },
    el("h2", { text: "Add photos" }),
    el("p.hint", { text: "Lay the squares out flat and photograph them whole, from above. Several photos "
      + "of one bundle go together; a new name makes a new bundle." }),
    el("div.row", {}, field("Name of the bundle", name), field("Side of the squares", side, "such as 5, 2 1/2 or 12.5 cm")),
    el("datalist", { id: "bundle-names" }), drop, progress);

  const start = async (chosen) => {
    const photos = [...chosen].filter((one) => one.size);
    if (!photos.length) return;
    if (!name.value.trim()) name.value = suggested(photos[0].name);
    try {
      const known = state.start.bundles.some((one) => one.name.toLowerCase() === name.value.trim().toLowerCase());
      const fit = known ? { name: name.value.trim(), side: side.value }
        : await post("/api/bundles", { name: name.value, side: side.value });
      const given = known ? "" : side.value;
      await send(photos, fit.name, given, progress);
    } catch (error) {
      complain(error);
    }
    files.value = "";
  };
  files.addEventListener("change", () => start(files.files));
  for (const kind of ["dragenter", "dragover"]) {
    main.addEventListener(kind, (event) => { event.preventDefault(); drop.classList.add("over"); });
  }
  const out = (event) => { event.preventDefault(); drop.classList.remove("over"); };
  main.addEventListener("dragleave", out);
  const dropped = (event) => { out(event); start(event.dataTransfer?.files ?? []); };
  main.addEventListener("drop", dropped);

  const draw = () => {
    const kept = state.start.bundles;
    fill(form.querySelector("datalist"), kept.map((one) => el("option", { value: one.name })));
    fill(list, kept.length ? kept.map((one) => item(one, () => {
      name.value = one.name;
      side.value = one.side;
      files.click();
    }))
      : el("li.none", { text: "No bundle is kept yet. Add photos to begin." }));
  };
  fill(main, el("section", { "aria-labelledby": "kept" }, el("h2", { id: "kept", text: "Your bundles" }), list), form, words(),
    el("p.caution", { text: state.start.caution }));
  draw();
  for (const job of state.start.jobs ?? []) follow(job, progress);
  const deaf = hear((what) => { if (what === "start") draw(); });
  return () => {
    deaf();
    main.removeEventListener("drop", dropped);
  };
}

function item(one, add) {
  const used = one.squares - one.free;
  const words = [
    `${one.squares} squares of ${one.side}`, `${one.photos} photo${one.photos === 1 ? "" : "s"}`,
    used ? `${one.free} free` : "", one.projects.length ? `for ${one.projects.join(", ")}` : "",
  ].filter(Boolean).join(" · ");
  return el("li", {},
    el("a.bundle", { href: `#bundle/${one.id}/photo` }, el("strong", { text: one.name }), el("span", { text: words })),
    button("Add photos", add, { "aria-label": `Add photos to ${one.name}` }),
    el("details.more", {}, el("summary", { text: "Rename or remove", "aria-label": `Rename or remove ${one.name}` }),
      ...changing(one)));
}

function changing(one) {
  const name = el("input", { value: one.name, maxlength: 80 });
  const typed = el("input", { placeholder: one.name, autocomplete: "off" });
  return [
    el("div.row", {}, field("New name", name),
      button("Rename", () => changed(post(`/api/bundle/${one.id}/rename`, { name: name.value }), `${one.name} is now ${name.value}`))),
    el("div.row", {}, field("To remove it with its photos, type its name", typed),
      button("Remove for good", async () => {
        const { remove } = await import("../frame/api.js");
        await changed(remove(`/api/bundle/${one.id}`, { name: typed.value }), `${one.name} is removed`);
      })),
  ];
}

async function changed(asked, said) {
  try {
    await asked;
    const { begin } = await import("../frame/store.js");
    await begin();
    say(said);
  } catch (error) {
    complain(error);
  }
}

function suggested(file) {
  return file.replace(/\.[^.]+$/, "").replace(/[_-]+/g, " ").trim().slice(0, 80) || "New bundle";
}
