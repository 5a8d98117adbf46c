/** Fields of a pattern's data by their places: keys, and numbers in lists from 0. */

/** @typedef {(string|number)[]} Place */
/** @typedef {{place: Place, value: any}} Edit null leaves the field out */

/** @param {any} data @param {Place} place */
export function at(data, place) {
  return place.reduce((here, key) => here?.[key], data);
}

/** Data with edits made in their order; the given stay as they are. @param {any} data @param {Edit[]} edits */
export function edited(data, edits) {
  return edits.reduce((made, { place, value }) => put(made, place, value), data);
}

function put(here, [key, ...rest], value) {
  if (key === undefined) return value;
  if (Array.isArray(here)) {
    const own = rest.length ? put(here[key], rest, value) : value;
    const gone = own === null || own === undefined;
    if (Number(key) >= here.length) return gone ? here : [...here, own];
    return [...here.slice(0, Number(key)), ...(gone ? [] : [own]), ...here.slice(Number(key) + 1)];
  }
  const { [key]: old, ...others } = here ?? {};
  const own = rest.length ? put(old ?? (typeof rest[0] === "number" ? [] : {}), rest, value) : value;
  if (own === null || own === undefined || own === "") return others;
  return Object.fromEntries([...Object.entries(here ?? {}).map(([name, one]) => [name, name === key ? own : one]),
    ...(key in (here ?? {}) ? [] : [[key, own]])]);
}

/** @param {Place} place */
export function spelled(place) {
  return place.join(".");
}
