/** The rooms of the table's page: which bundle, and the parts of it that are seen. */

import { post } from "../frame/api.js";
import { el, fill } from "../frame/dom.js";
import { hold, letGo, progress } from "./crops.js";
import { asking, begin, hear, knows, open, stop } from "./knows.js";
import { lists } from "./lists.js";
import { photos } from "./photos.js";
import { send } from "./send.js";
import { sets } from "./sets.js";
import { sew } from "./sew.js";
import { goOn, howMany } from "./sending.js";
import { waiting } from "./ticks.js";
import { wall } from "./wall.js";

const PARTS = [["sew", "Sew", sew], ["wall", "Wall", wall], ["sets", "Sets", sets], ["photos", "Photos", photos], ["lists", "Lists", lists], ["send", "Send", send]];
const HEARD = 5000;

/**
 * @param {HTMLElement} main @param {(why: string) => void} ask shows the way in again
 */
export async function room(main, ask) {
  const nav = el("nav", { "aria-label": "What is seen" });
  const name = el("select", { "aria-label": "Bundle", change: () => choose(Number(name.value)) });
  const line = el("p.line", { role: "status" });
  const here = el("div.here", { tabindex: 0, role: "region", "aria-label": "What is seen here" });
  const foot = el("div.foot");
  let part = "sew";
  let leave = () => {};
  let out = false;

  const over = (why) => {
    if (out) return;
    out = true;
    leave();
    deaf();
    letGo();
    stop();
    document.body.classList.remove("inside");
    ask(why);
  };
  const show = (which) => {
    leave();
    part = which;
    fill(nav, ...PARTS.map(([key, words]) => el("button.plain", { type: "button", text: words, "aria-current": key === part ? "page" : null, data: { key }, click: () => show(key) })));
    here.replaceChildren();
    here.className = `here part-${part}`;
    foot.replaceChildren();
    foot.hidden = part !== "sew";
    leave = PARTS.find(([key]) => key === part)[2](here, foot, show) ?? (() => {});
    here.scrollTop = 0;
  };
  const choose = async (id) => {
    letGo();
    await open(id).catch((error) => say(error.message));
    show(part);
  };
  const list = () => {
    fill(name, ...knows.start.bundles.map((one) => el("option", { value: one.id, text: one.name, selected: one.id === knows.bundle?.id })));
  };
  let silence = 0;
  const say = (text) => {
    const said = document.getElementById("said");
    said.textContent = text;
    clearTimeout(silence);
    silence = setTimeout(() => { said.textContent = ""; }, HEARD);
  };
  const status = () => { line.textContent = standing(); };
  const deaf = hear((what, more) => {
    if (what === "said") say(more);
    if (["away", "ticks", "held", "plan", "photos"].includes(what)) status();
    if (what === "near") hold([]);
    if (what === "start") {
      list();
      if (!knows.bundle && knows.start.bundles.length) choose(knows.start.bundles[0].id);
    }
  });

  const start = await begin(over);
  if (out) return undefined;
  if (!start) {
    deaf();
    return void setTimeout(() => room(main, ask), 2000);
  }
  document.body.classList.add("inside");
  main.className = "inside";
  const away = el("button.plain", { type: "button", text: "Leave", click: async () => { await asking(() => post("/api/leave")); over("You have left the table."); } });
  list();
  fill(main, el("header.top", {}, name, away), nav, line, here, foot);
  const first = start.bundles.find((one) => one.id === start.open) ?? start.bundles[0];
  if (!first) {
    goOn();
    return show("send");
  }
  name.value = first.id;
  goOn();
  await choose(first.id);
  return undefined;
}

/** How it stands with the network, in words; nothing where all is well. */
function standing() {
  const left = waiting().length;
  const ticks = left ? `${left} tick${left === 1 ? " waits" : "s wait"} and will be sent` : "";
  const { held, wanted } = progress();
  if (knows.away) return ["The computer doesn't answer. Go on: what is shown stays here.", ticks ? `${ticks}.` : ""].filter(Boolean).join(" ");
  if (held < wanted) return `Fetching cloth for sewing without the network: ${held} of ${wanted}`;
  return [ticks, howMany()].filter(Boolean).join("; ");
}
