/** How large cloth is drawn: all of it on one screen where that can be seen, else by the page's length. */

const SMALLEST = 40;
const SMALLEST_BY_TOUCH = 48;
const LARGEST = 112;
const WHEN_LONG = 56;
const STEP = 1.25;
const BETWEEN = 10;
const ABOVE = 18;
/** Pixels below a set for its number and words, and for its squares' labels. */
const BELOW = 22;
const LABEL = 16;

/** Whether labels stand below the cloth, and how much larger than fitting it is drawn; both are kept. */
export const looks = {
  get labels() { return localStorage.getItem("board labels") !== "away"; },
  set labels(on) { localStorage.setItem("board labels", on ? "" : "away"); },
  get larger() { return Number(localStorage.getItem("board larger") ?? 0); },
  set larger(steps) { localStorage.setItem("board larger", String(Math.max(-3, Math.min(5, steps)))); },
};

/**
 * Pixels of a square's side on the board; 0 where the board isn't shown.
 * @param {number[]} items of each how many squares touch
 * @param {HTMLElement} box the board
 */
export function fitted(items, box) {
  const wide = box.clientWidth - 2 * BETWEEN;
  if (wide <= 0) return 0;
  const high = innerHeight - (box.getBoundingClientRect().top + scrollY) - 3 * BETWEEN;
  const least = matchMedia("(pointer: coarse)").matches ? SMALLEST_BY_TOUCH : SMALLEST;
  const beside = ABOVE + BELOW + (looks.labels ? LABEL : 0);
  let size = largest(least - 1, LARGEST, (each) => rows(items, each, wide) * (each + beside) <= high);
  if (size < least) size = filling(wide, Math.max(...items));
  return Math.round(Math.min(2 * LARGEST, Math.max(least, size * STEP ** looks.larger)));
}

/** The largest of some numbers that fits, where all below it do; the first is taken to. */
function largest(first, last, fits) {
  let [least, most] = [first, last];
  while (least < most) {
    const middle = Math.ceil((least + most) / 2);
    if (fits(middle)) least = middle;
    else most = middle - 1;
  }
  return least;
}

/** How many rows they fill. */
function rows(items, size, wide) {
  let filled = 0;
  let count = items.length ? 1 : 0;
  for (const many of items) {
    const more = many * size + (filled ? BETWEEN : 0);
    if (filled && filled + more > wide) {
      count += 1;
      filled = many * size;
    } else filled += more;
  }
  return count;
}

/** About the usual size, so that sets of so many fill a row. */
function filling(wide, many) {
  const sets = Math.max(1, Math.round((wide + BETWEEN) / (many * WHEN_LONG + BETWEEN)));
  return Math.floor(((wide + BETWEEN) / sets - BETWEEN) / many);
}
