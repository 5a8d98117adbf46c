/** Small helpers for making elements; text is always set as text. */

/**
 * Make an element.
 * @param {string} name tag, with classes after dots: "button.plain"
 * @param {Object<string, any>} [given] attributes; functions become listeners, `text` its text
 * @param {...(Node|string|null|undefined|false)} children
 * @returns {HTMLElement}
 */
export function el(name, given = {}, ...children) {
  const [tag, ...classes] = name.split(".");
  const made = document.createElement(tag);
  if (classes.length) made.className = classes.join(" ");
  dress(made, given);
  made.append(...children.filter((one) => one !== null && one !== undefined && one !== false));
  return made;
}

/** Make an SVG element. @returns {SVGElement} */
export function svg(tag, given = {}, ...children) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
  dress(made, given);
  made.append(...children.filter(Boolean));
  return made;
}

function dress(made, given) {
  for (const [key, value] of Object.entries(given)) {
    if (value === undefined || value === null || value === false) continue;
    if (key === "text") made.textContent = value;
    else if (key === "style") Object.assign(made.style, value);
    else if (key === "data") Object.assign(made.dataset, value);
    else if (typeof value === "function") made.addEventListener(key, value);
    else if (value === true) made.setAttribute(key, "");
    else made.setAttribute(key, String(value));
  }
}

/** Put new children in place of the old; keeps focus where an element of the same data-key comes back. */
export function fill(parent, ...children) {
  const key = document.activeElement?.closest?.("[data-key]")?.dataset.key;
  const had = key && parent.contains(document.activeElement);
  const held = following ? atHand(parent) : [];
  parent.replaceChildren(...children.flat().filter(Boolean));
  for (const putBack of held) putBack();
  if (had) parent.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus({ preventScroll: true });
}

let following = false;

/** Draw anew what somebody else changed: what is typed, opened or looked at stays where it is. */
export function undisturbed(draws) {
  const [x, y] = [scrollX, scrollY];
  const seen = lookedAt();
  const before = seen?.()?.getBoundingClientRect().top;
  following = true;
  try {
    draws();
  } finally {
    following = false;
  }
  const after = seen?.()?.getBoundingClientRect().top;
  const by = before === undefined || after === undefined ? 0 : after - before;
  scrollTo({ left: x, top: y + by, behavior: "instant" });
}

/** What a person looks at, as the way to find it again: where the focus is, else in the middle of the window. */
function lookedAt() {
  const here = document.activeElement === document.body ? document.elementFromPoint(innerWidth / 2, innerHeight / 2) : document.activeElement;
  const key = here?.closest("[data-key]")?.dataset.key;
  return key && (() => document.querySelector(`[data-key="${CSS.escape(key)}"]`));
}

/** What a person has at hand in a part of the page, each as the way to put it back. */
function atHand(parent) {
  const held = [];
  const again = (one) => {
    const [name, value] = one.dataset.key ? ["data-key", one.dataset.key] : one.id ? ["id", one.id] : ["aria-label", one.getAttribute("aria-label")];
    return value ? () => parent.querySelector(`${one.tagName}[${name}="${CSS.escape(value)}"]`) : () => null;
  };
  for (const one of parent.querySelectorAll("input, textarea")) {
    if (one.value === one.defaultValue || /^(checkbox|radio|file|range)$/.test(one.type)) continue;
    const [find, typed, { selectionStart: from, selectionEnd: to }, here] = [again(one), one.value, one, one === document.activeElement];
    held.push(() => {
      const fresh = find();
      if (!fresh || !(here || fresh.defaultValue === one.defaultValue)) return;
      fresh.value = typed;
      if (here) fresh.focus({ preventScroll: true });
      if (here && from !== null) fresh.setSelectionRange(from, to);
    });
  }
  for (const one of parent.querySelectorAll("details, [data-key], [id], [tabindex]")) {
    const { scrollTop, scrollLeft, open } = one;
    const find = again(one.tagName === "DETAILS" ? one.querySelector("summary") ?? one : one);
    if (open) held.push(() => find()?.closest("details")?.setAttribute("open", ""));
    if (scrollTop || scrollLeft) held.push(() => find()?.scrollTo({ top: scrollTop, left: scrollLeft, behavior: "instant" }));
  }
  return held;
}

/** A button. @param {string} text @param {Function} does @returns {HTMLButtonElement} */
export function button(text, does, given = {}) {
  return /** @type {HTMLButtonElement} */ (el("button", { type: "button", click: does, text, ...given }));
}

/**
 * A bar of a square's colours, each as wide as its share, the ground first; greys in the value view.
 * @param {{palette: [string, number][], greys: [string, number][], shares: string}} one
 * @param {boolean} [told] whether its words stand beside it already
 */
export function palette(one, told = false) {
  const made = el("span.palette", { title: one.shares, ...(told ? { "aria-hidden": "true" } : { role: "img", "aria-label": one.shares }) });
  made.style.setProperty("--own", stripes(one.palette));
  made.style.setProperty("--grey", stripes(one.greys));
  return made;
}

function stripes(parts) {
  let from = 0;
  const stops = parts.map(([colour, percent]) => `${colour} ${from}% ${from += percent}%`);
  return stops.length ? `linear-gradient(to right, ${stops.join(", ")})` : "none";
}

/** A labelled field. @param {string} label @param {HTMLElement} input */
export function field(label, input, hint) {
  const id = input.id || `field-${(count += 1)}`;
  input.id = id;
  const told = hint ? el("span.hint", { text: hint, id: `${id}-hint` }) : null;
  if (told) input.setAttribute("aria-describedby", told.id);
  return el("div.field", {}, el("label", { for: id, text: label }), input, told);
}
let count = 0;

/** Call the last of many calls once they pause. */
export function debounced(does, pause) {
  let timer = 0;
  return (...given) => {
    clearTimeout(timer);
    timer = setTimeout(() => does(...given), pause);
  };
}

/** Whether a key event was typed into a field. */
export function typing(event) {
  const at = event.target;
  return at instanceof HTMLElement && (at.isContentEditable || /^(TEXTAREA|SELECT)$/.test(at.tagName)
    || (at.tagName === "INPUT" && !/^(checkbox|radio|button|range)$/.test(at.type)));
}
