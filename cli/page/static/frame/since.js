/** What the server tells of a view that the page has in an older state: only what differs. */

/** The end of an address that says which view the page has. @param {any} had null for none @param {string} [before] what comes before it */
export function since(had, before = "?") {
  return had?.digest ? `${before}since=${had.digest}` : "";
}

/**
 * The whole of a view. What didn't change stays the very same object, so that it needn't be drawn anew.
 * @param {any} told as the server answered @param {any} had the view that the page had when it asked
 */
export function whole(told, had) {
  if (!told.since) return told;
  const view = { ...had, ...told.parts, digest: told.digest };
  for (const [name, change] of Object.entries(told.lists)) view[name] = changed(had[name], change);
  return view;
}

function changed(had, { key, fresh, order }) {
  const known = new Map([...had, ...fresh].map((one) => [one[key], one]));
  return (order ?? had.map((one) => one[key])).map((one) => known.get(one));
}
