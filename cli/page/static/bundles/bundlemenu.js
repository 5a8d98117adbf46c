/** What can be done with a bundle as a whole. */

import { button, el, field, fill } from "../frame/dom.js";
import { post, remove } from "../frame/api.js";
import { begin, say } from "../frame/store.js";
import { icon } from "../frame/icons.js";

/**
 * @param {any} one a bundle of the list @param {(photos: File[]) => void} add
 * @returns {HTMLElement} the button that opens the menu, and the menu
 */
export function bundleMenu(one, add) {
  const id = `menu-${one.id}`;
  const shut = () => menu.hidePopover();
  const input = el("input", { type: "file", multiple: true, accept: "image/*,.heic,.heif", "aria-label": `Add photos to ${one.name}`,
    change: () => { const chosen = [...input.files]; input.value = ""; shut(); add(chosen); } });
  const line = (picture, words, does) => {
    const made = button("", () => { shut(); does(); });
    made.append(icon(picture), words);
    return made;
  };
  const menu = el("div.menu.bundle-menu", { id, popover: "auto" },
    el("span.chooser.button", {}, icon("photo"), "Add photos", input),
    line("draw", "Give another name", () => rename(one)),
    el("a.button", { href: `/api/bundle/${one.id}/export`, download: "", click: shut }, icon("take"), "Take out as a file"),
    line("close", "Remove for good", () => removal(one)));
  const opens = el("button.icon", { type: "button", popovertarget: id, "aria-label": `More of ${one.name}`, title: "More" }, icon("more"));
  menu.addEventListener("toggle", (event) => { if (event.newState === "open") place(menu, opens); });
  return el("div", {}, opens, menu);
}

function place(menu, opens) {
  const at = opens.getBoundingClientRect();
  menu.style.top = `${Math.min(at.bottom, innerHeight - menu.offsetHeight - 8)}px`;
  menu.style.left = `${Math.max(8, at.right - menu.offsetWidth)}px`;
}

function rename(one) {
  const name = el("input", { value: one.name, maxlength: 80, required: true });
  ask(`Another name for ${one.name}`, [field("New name", name)], "Rename", async () => {
    await post(`/api/bundle/${one.id}/rename`, { name: name.value });
    return `${one.name} is now ${name.value}`;
  });
}

function removal(one) {
  const typed = el("input", { placeholder: one.name, autocomplete: "off" });
  ask(`Remove ${one.name}`, [
    el("p", { text: "It goes with its photos, its sets and all that was said of it, and can't be had back. Take it out as a file first if in doubt." }),
    field("To remove it, type its name", typed),
  ], "Remove for good", async () => {
    await remove(`/api/bundle/${one.id}`, { name: typed.value });
    return `${one.name} is removed`;
  });
}

/** Ask something in the dialog; it closes when it is done. */
function ask(title, inside, words, does) {
  const dialog = /** @type {HTMLDialogElement} */ (document.getElementById("dialog"));
  const wrong = el("p.flag", { role: "alert" });
  const done = async (event) => {
    event.preventDefault();
    try {
      const said = await does();
      dialog.close();
      await begin();
      say(said);
    } catch (error) {
      wrong.textContent = error.message;
    }
  };
  fill(dialog, el("form", { submit: done }, el("h2", { id: "dialog-title", text: title }), ...inside, wrong,
    el("div.row", {}, el("button.primary", { text: words }), button("Not now", () => dialog.close()))));
  dialog.showModal();
}
