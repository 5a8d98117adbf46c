/** The table as its owner sees it: open it, let a device in, see who is in, end one or all. */

import { get, post } from "../frame/api.js";
import { button, el, field, fill } from "../frame/dom.js";
import { say } from "../frame/store.js";

const PAUSE = 2000;

/** Show it. @param {HTMLDialogElement} dialog */
export async function table(dialog) {
  const body = el("div.table-owner");
  const wrong = el("p.flag", { role: "alert", hidden: true });
  fill(dialog, el("div.dialog-head", {}, el("h2", { id: "dialog-title", text: "Phone or tablet on the table" }), button("Close", () => dialog.close())), wrong, body);
  dialog.showModal();
  let now = null;
  const draw = (told) => {
    const same = JSON.stringify({ ...told, seconds: 0, devices: told.devices.map((one) => one.id) });
    if (same !== now) fill(body, ...(told.open ? opened(told, doing) : shut(told, doing)));
    now = same;
    const left = body.querySelector(".code-left");
    if (left) left.textContent = `Good once, for ${Math.floor(told.seconds / 60)}:${String(told.seconds % 60).padStart(2, "0")} minutes more.`;
  };
  const doing = async (way, words, more = {}) => {
    try {
      draw(await post(`/api/table${way}`, more));
      wrong.hidden = true;
      say(words);
    } catch (error) {
      wrong.textContent = error.message;
      wrong.hidden = false;
    }
  };
  while (dialog.open && body.isConnected) {
    const told = await get("/api/table").catch(() => null);
    if (told && dialog.open) draw(told);
    await new Promise((go) => { setTimeout(go, PAUSE); });
  }
}

function shut({ offers, warning }, doing) {
  const address = offers.length > 1
    ? el("select", { id: "table-address" }, ...offers.map((one) => el("option", { value: one, text: one }))) : null;
  return [
    el("p", { text: "Let a phone or tablet on your own network in: to send photos straight from its camera, and to see beside "
      + "the sewing machine, block by block, what goes where. It can look and tick what is sewn, and change nothing else." }),
    el("p.caution", { text: warning }),
    address ? field("This computer's address on your network", address, "The first is the likeliest.") : null,
    offers.length ? button("Open the table", () => doing("/open", "The table is open.", address ? { address: address.value } : {}), { class: "primary", data: { key: "table-open" } })
      : el("p.none", { text: "This computer is on no private network at the moment, so no phone can reach it. Join your own network, then open this again." }),
  ];
}

function opened(told, doing) {
  return [
    told.cut_off ? el("p", { role: "alert", text: "This computer's address has changed, so nobody can reach the table any more. Close it and open it anew." }) : null,
    told.code ? invitation(told) : el("p", { text: "No code is good at the moment." }),
    button(told.code ? "Make another code" : "Let one more device in", () => doing("/code", "There is a new code."),
      { class: told.code ? null : "primary", data: { key: "table-code" } }),
    el("h3", { text: told.devices.length ? "On the table" : "Nobody is on the table yet" }),
    el("ul.plain-list", {}, ...told.devices.map((one) => el("li.row", {},
      el("span", { text: `${one.kind.charAt(0).toUpperCase()}${one.kind.slice(1)} at ${one.address}, since ${clock(one.since)}` }),
      button("End", () => doing(`/devices/${one.id}/end`, `The ${one.kind} is on the table no longer.`),
        { "aria-label": `End the ${one.kind} at ${one.address}`, data: { key: `end-${one.id}` } })))),
    button("Close the table", () => doing("/close", "The table is closed."), { data: { key: "table-close" } }),
    el("p.hint", { text: "It also ends when calicount does." }),
    el("p.caution", { text: told.warning }),
  ];
}

function invitation({ address, code }) {
  return el("div.invitation", {},
    el("img", { src: `/api/table/code.svg?v=${code.replace(" ", "")}`, width: 205, height: 205, alt: `QR code of ${address}` }),
    el("div", {}, el("p", { text: "Point the phone's camera at the picture. Or open" }), el("p", {}, el("strong", { text: address })),
      el("p", { text: "on it and type" }), el("p.code", { text: code }), el("p.hint.code-left")));
}

function clock(when) {
  return new Date(when).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
}
