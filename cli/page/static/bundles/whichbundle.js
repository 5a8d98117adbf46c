/** To which bundle photos belong that were dropped or chosen. */

import { button, el, field, fill } from "../frame/dom.js";
import { post } from "../frame/api.js";
import { state } from "../frame/store.js";

/**
 * Ask for the bundle of photos, suggesting the name of the first file.
 * @param {File[]} photos
 * @returns {Promise<{name: string, side: string}|null>} side is empty for a bundle that is kept; null when called off
 */
export function askWhich(photos) {
  const dialog = /** @type {HTMLDialogElement} */ (document.getElementById("dialog"));
  const name = el("input", { required: true, maxlength: 80, autocomplete: "off", list: "bundle-names", value: suggested(photos[0].name) });
  const side = el("input", { required: true, value: "5", inputmode: "text", size: 8 });
  const wrong = el("p.flag", { role: "alert" });
  const known = () => state.start.bundles.find((one) => one.name.toLowerCase() === name.value.trim().toLowerCase());
  const follow = () => {
    side.disabled = Boolean(known());
    if (known()) side.value = known().side;
  };
  name.addEventListener("input", follow);
  return new Promise((tell) => {
    let told = null;
    const add = async () => {
      try {
        told = await fit(name.value, side.value, known());
        dialog.close();
      } catch (error) {
        wrong.textContent = error.message;
      }
    };
    fill(dialog, el("form", { method: "dialog", submit: (event) => { event.preventDefault(); add(); } },
      el("h2", { id: "dialog-title", text: photos.length === 1 ? "Which bundle is it?" : `Which bundle are these ${photos.length} photos of?` }),
      el("p.hint", { text: "Photos of one bundle go together; a new name makes a new bundle." }),
      el("div.row", {}, field("Name of the bundle", name), field("Side of the squares", side, "such as 5, 2 1/2 or 12.5 cm")),
      wrong, el("datalist", { id: "bundle-names" }, ...state.start.bundles.map((one) => el("option", { value: one.name }))),
      el("div.row", {}, el("button.primary", { text: photos.length === 1 ? "Add it" : "Add them" }), button("Not now", () => dialog.close()))));
    dialog.addEventListener("close", () => tell(told), { once: true });
    dialog.showModal();
    follow();
    name.select();
  });
}

async function fit(name, side, known) {
  if (known) return { name: known.name, side: "" };
  const told = await post("/api/bundles", { name, side });
  return { name: told.name, side };
}

function suggested(file) {
  return file.replace(/\.[^.]+$/, "").replace(/[_-]+/g, " ").trim().slice(0, 80) || "New bundle";
}
