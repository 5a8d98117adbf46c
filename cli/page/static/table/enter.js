/** Coming in: by the code that the computer shows, or by its picture, whose address holds a longer one. */

import { el, fill } from "../frame/dom.js";

const WARNING = "What goes between this device and the computer is not encrypted: whoever is on the same network "
  + "could read it. Use it on your own network at home.";

/** Whether this device was let in already. */
export async function isIn() {
  const answer = await fetch("/api/enter", { credentials: "same-origin" }).catch(() => null);
  return Boolean((await answer?.json())?.in);
}

/** The long code of the address, if it has one. */
export function tokenOf() {
  return /^#[\w-]{22}$/.test(location.hash) ? location.hash.slice(1) : "";
}

/**
 * Show the field for the code until one is right.
 * @param {HTMLElement} main @param {string} why what happened, in words
 * @returns {Promise<void>}
 */
export function enter(main, why) {
  return new Promise((done) => {
    const code = el("input", { id: "code", inputmode: "numeric", autocomplete: "one-time-code", maxlength: 20, required: true,
      "aria-describedby": "code-said", placeholder: "000 000" });
    const said = el("p", { id: "code-said", role: "status", text: why });
    const come = el("button.primary", { type: "submit", text: "Come in" });
    const tell = async (body) => {
      come.disabled = true;
      const { ok, words, wait } = await asked(body);
      if (ok) return done();
      code.value = "";
      said.textContent = words;
      await pause(wait, (left) => { come.textContent = left ? `Wait ${left} s` : "Come in"; });
      come.disabled = false;
      code.focus();
    };
    const form = el("form.card", { submit: (event) => { event.preventDefault(); tell({ code: code.value }); } },
      el("h1", { text: "Come to the table" }),
      el("div.field", {}, el("label", { for: "code", text: "The six digits that the computer shows" }), code),
      said, come);
    main.className = "entrance";
    fill(main, form, el("p.caution", { text: WARNING }));
    const token = tokenOf();
    if (token) {
      history.replaceState(null, "", "/");
      tell({ token });
    } else code.focus();
  });
}

/** Ask whether a code is right. @returns {Promise<{ok: boolean, words: string, wait: number}>} */
async function asked(body) {
  try {
    const answer = await fetch("/api/enter", {
      method: "POST", credentials: "same-origin", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
    });
    if (answer.ok) return { ok: true, words: "", wait: 0 };
    const told = await answer.json();
    return { ok: false, words: `${told.problem.charAt(0).toUpperCase()}${told.problem.slice(1)}; ${told.cure}.`, wait: told.wait ?? 0 };
  } catch {
    return { ok: false, words: "The computer doesn't answer. Is the table still open there, and is this device on the same network?", wait: 2 };
  }
}

async function pause(seconds, tell) {
  for (let left = seconds; left > 0; left -= 1) {
    tell(left);
    await new Promise((go) => { setTimeout(go, 1000); });
  }
  tell(0);
}
