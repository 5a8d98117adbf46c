/** Where one was in a part of the page: kept with its entry of the browser's history, so that Back leads there, and over a reload. */

import { debounced } from "./dom.js";
import { state } from "./store.js";

const PAUSE = 150;
/** What comes before one goes elsewhere: nothing may wait then. */
const LEAVING = ["click", "keydown", "pagehide"];
/** Whether the page was loaded anew and nobody has gone elsewhere since: then the last that was kept holds, of
 * which the entry of the history may not have heard before the page was left. */
let reloaded = performance.getEntriesByType("navigation")[0]?.type === "reload";
addEventListener("hashchange", () => { reloaded = false; });

/**
 * The place in one part, of the bundle that is open and the entry of the history that is shown.
 * @param {string} name of the part
 * @returns {{get: () => any, keep: (more: object) => void, follow: () => () => void, back: () => void}}
 */
export function placeIn(name) {
  const key = `${name} ${state.view.id}`;
  const here = location.hash;
  const last = JSON.parse(sessionStorage.getItem(key) ?? "null");
  let now = (reloaded && last) || history.state?.[key] || last || {};
  const scroll = history.state?.[key]?.scroll ?? 0;

  let late = false;
  const note = () => {
    if (late && location.hash === here) history.replaceState({ ...history.state, [key]: now }, "");
    late = false;
  };
  const noted = debounced(note, PAUSE);
  const keep = (more) => {
    now = { ...now, ...more };
    late = true;
    sessionStorage.setItem(key, JSON.stringify({ ...now, scroll: undefined }));
    noted();
  };
  return {
    get: () => now,
    keep,
    /** Note how far the page is scrolled, and all before one leaves. @returns {() => void} what ends it */
    follow: () => {
      const scrolled = () => { if (location.hash === here) keep({ scroll: scrollY }); };
      addEventListener("scroll", scrolled, { passive: true });
      for (const what of LEAVING) addEventListener(what, note, true);
      return () => {
        removeEventListener("scroll", scrolled);
        for (const what of LEAVING) removeEventListener(what, note, true);
      };
    },
    /** Scroll to where it was, once what lies there is drawn. */
    back: () => { if (scroll) requestAnimationFrame(() => scrollTo(0, scroll)); },
  };
}
