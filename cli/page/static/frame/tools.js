/** What is always at hand: undo, redo, the value view, and a menu of the rest. */

import { button, el, fill, typing } from "./dom.js";
import { back, state } from "./store.js";
import { showHelp } from "./help.js";
import { icon, iconButton } from "./icons.js";
import { table } from "../table/owner.js";

const THEMES = [["", "As the system"], ["light", "Light"], ["dark", "Dark"]];

/** Of the menu: picture, words, what it does with the dialog, and whether it wants a bundle. */
const MENU = [
  ["history", "What was done", () => { location.hash = `#bundle/${state.view.id}/history`; }, true],
  ["phone", "Phone or tablet", table, false],
  ["help", "How it works", showHelp, false],
];

/**
 * Fill the toolbar and its menu, and heed their keys.
 * @param {HTMLElement} bar @param {HTMLElement} menu @param {HTMLDialogElement} dialog
 * @returns {{draw: () => void}}
 */
export function tools(bar, menu, dialog) {
  const undo = iconButton("undo", "Undo", () => back("undo"), { id: "undo" });
  const redo = iconButton("redo", "Redo", () => back("redo"), { id: "redo", class: "icon wide-only" });
  const grey = iconButton("grey", "Value view", () => seeValues(grey), { id: "grey", "aria-pressed": "false" });
  const more = iconButton("more", "More", () => {}, { id: "more-open", popovertarget: menu.id, "aria-haspopup": "menu" });
  fill(bar, undo, redo, grey, more);
  const draw = () => {
    for (const [what, one] of [["undo", undo], ["redo", redo]]) {
      const words = state.view?.[what];
      one.disabled = !words;
      one.hidden = !state.view;
      one.title = words ? `${what === "undo" ? "Undo" : "Redo"}: ${words}` : one.getAttribute("aria-label");
    }
    grey.hidden = !state.view;
    fillMenu(menu, dialog);
  };
  addEventListener("keydown", (event) => keys(event, grey, dialog));
  theme(localStorage.getItem("theme") ?? "");
  if (sessionStorage.getItem("grey")) seeValues(grey);
  draw();
  return { draw };
}

function fillMenu(menu, dialog) {
  const lines = MENU.filter(([, , , wants]) => !wants || state.view).map(([picture, words, does]) => {
    const one = button("", () => { menu.hidePopover(); does(dialog); });
    one.append(icon(picture), words);
    return one;
  });
  const redo = state.view?.redo ? button("", () => { menu.hidePopover(); back("redo"); }, { class: "narrow-only" }) : null;
  redo?.append(icon("redo"), "Redo");
  const chosen = document.documentElement.dataset.theme ?? "";
  fill(menu, redo, lines, el("div.segments", { role: "group", "aria-label": "Light or dark" }, ...THEMES.map(([name, words]) =>
    button(words, () => { theme(name); fillMenu(menu, dialog); }, { "aria-pressed": String(name === chosen), data: { key: `theme-${name}` } }))));
}

function theme(name) {
  if (name) document.documentElement.dataset.theme = name;
  else delete document.documentElement.dataset.theme;
  localStorage.setItem("theme", name);
}

function seeValues(grey) {
  const on = document.body.classList.toggle("value-view");
  grey.setAttribute("aria-pressed", String(on));
  sessionStorage.setItem("grey", on ? "1" : "");
}

function keys(event, grey, dialog) {
  if (typing(event) || dialog.open) return;
  const command = event.ctrlKey || event.metaKey;
  const key = event.key.toLowerCase();
  if (command && (key === "z" || key === "y")) {
    event.preventDefault();
    const what = key === "y" || event.shiftKey ? "redo" : "undo";
    if (state.view?.[what]) back(what);
  } else if (event.key === "?" && !command) showHelp(dialog);
  else if (key === "v" && !command && !event.altKey && state.view) seeValues(grey);
}
