/** Bundles as files, and whether all that is kept is whole. */

import { button, el, fill } from "../frame/dom.js";
import { post, uploadTo } from "../frame/api.js";
import { begin, complain, say } from "../frame/store.js";
import { icon } from "../frame/icons.js";

/** What takes in a bundle that was taken out as a file. */
export function takeIn() {
  const input = el("input", {
    type: "file", accept: ".zip,application/zip", "aria-label": "Take in a bundle's file",
    change: async () => {
      const [file] = input.files;
      input.value = "";
      try {
        const { name } = await uploadTo("/api/import", file);
        await begin();
        say(`${name} is kept`);
      } catch (error) {
        complain(error);
      }
    },
  });
  return el("span.chooser.button", {}, icon("take"), "Take in a bundle's file", input);
}

/** Check everything that is kept, and tell how it stands. */
export async function checkUp() {
  const dialog = /** @type {HTMLDialogElement} */ (document.getElementById("dialog"));
  const told = el("div", { role: "status" }, el("p.waiting", { text: "Reading everything through …" }));
  fill(dialog, el("div.dialog-head", {}, el("h2", { id: "dialog-title", text: "Check-up" }), button("Close", () => dialog.close())), told);
  dialog.showModal();
  try {
    const found = await post("/api/check-up");
    const counts = `${found.bundles} bundles, ${found.photos} photos, ${found.squares} squares and ${found.deeds} notes of yours`;
    fill(told, el("p", { text: found.well ? `All is well: ${counts} are whole and agree with each other.` : "Something is not as it should be:" }),
      found.faults.length ? el("ul", {}, ...found.faults.map((one) => el("li", { text: `${one.what}; ${one.cure}.` }))) : null,
      el("p.hint", { text: `They are kept in ${found.file}; a copy of that file is a copy of everything.` }));
  } catch (error) {
    dialog.close();
    complain(error);
  }
}
