/** Looking through all bundles: squares of a colour, or partners of one square. */

import { button, debounced, el, field, fill } from "../frame/dom.js";
import { get } from "../frame/api.js";
import { complain, state } from "../frame/store.js";

const PAUSE = 350;

/** @param {HTMLElement} main */
export function search(main) {
  const given = new URLSearchParams(location.hash.split("?")[1] ?? "");
  const rooms = { told: el("p", { role: "status" }), found: el("ul.found", { "aria-label": "Squares found" }) };
  const fields = {
    what: el("input", { type: "search", size: 28, value: given.get("what") ?? "", autocomplete: "off" }),
    bundle: choice(["", ...state.start.bundles.map((one) => one.name)], given.get("bundle"), "all bundles"),
    value: choice(["", "light", "medium", "dark"], given.get("value"), "any value"),
    all: box("all", "used ones too", given), left_over: box("left_over", "only what a count left over", given),
  };
  const asked = () => new URLSearchParams([
    ["what", fields.what.value.trim()], ["bundle", fields.bundle.value], ["value", fields.value.value],
    ["all", fields.all.input.checked ? "1" : ""], ["left_over", fields.left_over.input.checked ? "1" : ""],
  ].filter(([, value]) => value));
  const look = async () => {
    const query = asked();
    window.history.replaceState(null, "", `#search${query.size ? `?${query}` : ""}`);
    if (!query.size) return draw(rooms, null);
    try {
      const found = await get(`/api/near?${query}`);
      if (asked().toString() === query.toString()) draw(rooms, found, partners);
    } catch (error) {
      rooms.told.textContent = error.message;
      fill(rooms.found);
    }
  };
  const partners = async (one) => {
    try {
      const found = await get(`/api/square/${one.id}/partners`);
      draw(rooms, { ...found, note: "", hint: "buy a cloth that goes with it", of: found.square }, partners);
      main.scrollIntoView({ block: "start" });
    } catch (error) {
      complain(error);
    }
  };
  const soon = debounced(look, PAUSE);
  fill(main, el("form.search-form.card", { role: "search", submit: (event) => { event.preventDefault(); look(); }, input: soon },
    field("A colour in words, a square, or a code", fields.what, "dusty teal · blues:R3C2 · 5R 3/2 · #4f7f86"),
    field("In", fields.bundle), field("Value", fields.value), fields.all.box, fields.left_over.box), rooms.told, rooms.found);
  look();
  fields.what.focus();
}

function choice(names, chosen, none) {
  return el("select", {}, ...names.map((name) => el("option", { value: name, text: name || none, selected: name === (chosen ?? "") })));
}

function box(name, words, given) {
  const input = el("input", { type: "checkbox", id: `search-${name}`, checked: given.get(name) === "1" });
  return { input, box: el("div.check", {}, input, el("label", { for: input.id, text: words })) };
}

function draw({ told, found }, answer, partners) {
  if (!answer) {
    told.textContent = "Name what you look for: the nearest squares of all your bundles are shown.";
    fill(found);
    return;
  }
  const number = answer.squares.length;
  const near = answer.of ? `Best partners of ${answer.of.label} of ${answer.of.bundle}`
    : answer.asked ? `Nearest to ${answer.asked.words}` : `${number} squares`;
  told.textContent = [number ? `${near}, the best first. ${answer.note}` : `No square is like that; ${answer.hint}.`].join(" ").trim();
  fill(found, answer.squares.map((one) => square(one, partners)));
}

function square(one, partners) {
  const name = `${one.label} of ${one.bundle}`;
  return el("li", {},
    el("a", { href: `#bundle/${one.bundle_id}/photo?square=${one.id}`, "aria-label": `${name}: open it` },
      el("img.crop", { src: `/api/crop/${one.id}.jpg`, alt: "", width: 112, height: 112, loading: "lazy", decoding: "async" })),
    el("div", {}, el("strong", { text: name }), el("span", { text: one.colour_name }), el("span", { text: [one.value, one.state || "free"].join(", ") }),
      one.words ? el("span", { text: `${one.words} (${one.difference})` }) : null,
      button("Partners", () => partners(one), { class: "plain", "aria-label": `Partners of ${name}` })));
}
