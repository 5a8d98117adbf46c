/** The way between things that lie side by side, by arrow key. */

const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const ASIDE = 3;
const NEAR = 60;

/**
 * The nearest other element in the direction of an arrow key.
 * @param {HTMLElement} node @param {string} key @param {ArrayLike<HTMLElement>} all in reading order
 * @returns {HTMLElement|null}
 */
export function neighbour(node, key, all) {
  const list = [...all];
  const place = list.indexOf(node);
  const near = list.slice(Math.max(0, place - NEAR), place + NEAR);
  const here = middle(node);
  const [right, down] = WAYS[key] ?? [0, 0];
  let best = null;
  let least = Infinity;
  for (const one of near) {
    if (one === node) continue;
    const there = middle(one);
    const along = (there[0] - here[0]) * right + (there[1] - here[1]) * down;
    if (along < 4) continue;
    const across = Math.abs((there[0] - here[0]) * down) + Math.abs((there[1] - here[1]) * right);
    const far = along + ASIDE * across;
    if (far < least) [best, least] = [one, far];
  }
  return best ?? (right ? list[place + right] : null) ?? null;
}

function middle(node) {
  const area = node.getBoundingClientRect();
  return [area.left + area.width / 2, area.top + area.height / 2];
}
