/** Which bundles make a pattern, and which patterns a bundle could make. */

import { button, el, fill } from "../frame/dom.js";
import * as api from "../frame/api.js";
import { complain } from "../frame/store.js";

/**
 * A button that shows what fits in a dialog.
 * @param {string} words @param {string} title @param {string} address @param {(one: any) => {text: string, href: string, click?: () => void}} told
 */
export function fitsButton(words, title, address, told) {
  const dialog = el("dialog", { "aria-label": title });
  const show = async () => {
    const list = el("ul.plain-list", { role: "status" }, el("li.waiting", { text: "Counting …" }));
    fill(dialog, el("div.dialog-head", {}, el("h2", { text: title }), button("Close", () => dialog.close())), list);
    dialog.showModal();
    try {
      const { fits } = await api.get(address);
      fill(list, fits.length ? fits.map((one) => line(one, told(one))) : el("li.none", { text: "There is nothing to try yet." }));
    } catch (error) {
      dialog.close();
      complain(error);
    }
  };
  return el("span", {}, button(words, show, { "aria-haspopup": "dialog", "aria-label": title }), dialog);
}

function line(one, { text, href, click }) {
  const short = one.short.map((need) => `${need.short} of ${need.need}`).join(", ");
  const says = one.problem || (one.enough ? "enough" : `short: ${short}`);
  return el("li", {}, el("a", { href, text, click }), ` – ${says}`);
}
