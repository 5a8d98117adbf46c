/** What a deed plainly does to what is shown, so that it shows before the server has answered; the rest waits for it. */

const EACH = {
  mark: (one, { mark, on }) => marked(one, [...one.marks.filter((each) => each !== mark), ...(on === false ? [] : [mark])]),
  role: (one, { role }) => ({ ...one, role }),
  name: (one, { text }) => ({ ...one, said: text.trim().replace(/\s+/g, " ") }),
  "right as found": (one, { on }) => (on === false ? one : { ...one, right: true, asked: false, doubt: 0 }),
};

const NONE = "not a square";
const OF_SETS = ["lock", "unlock"];

/** Whether a deed's effect is known without the server. */
export function isPlain({ kind }) {
  return kind in EACH || kind === NONE || OF_SETS.includes(kind);
}

/**
 * A bundle as it will plainly stand when deeds are done; itself where that can't be told.
 * @param {any} view as the server told it last @param {any[]} deeds
 */
export function viewAfter(view, deeds) {
  return deeds.reduce(viewWith, view);
}

function viewWith(view, deed) {
  const of = new Set(deed.squares);
  if (deed.kind === NONE) return without(view, of);
  const does = EACH[deed.kind];
  if (!does) return view;
  const change = (one) => (of.has(one.id) ? does(one, deed) : one);
  return { ...view, squares: view.squares.map(change) };
}

/** @param {any} view @param {Set<number>} gone */
function without(view, gone) {
  const out = view.squares.filter((one) => gone.has(one.id)).map((one) => ({ ...one, dropped: NONE, state: NONE }));
  return { ...view, squares: view.squares.filter((one) => !gone.has(one.id)), out: [...view.out, ...out] };
}

/** What keeps it from being used is told by its marks, but where that is something else. */
function marked(one, marks) {
  return { ...one, marks, state: one.state === one.marks.join(", ") ? marks.join(", ") : one.state };
}

/** The sets as they will plainly stand when deeds are done: those that are locked or unlocked as they are. */
export function setsAfter(told, deeds) {
  return deeds.reduce(setsWith, told);
}

function setsWith(told, deed) {
  if (deed.kind === "lock") {
    const kept = new Set(deed.sets.map(keyOf));
    return locked(told, true, (one) => kept.has(keyOf(one.squares)));
  }
  if (deed.kind !== "unlock") return told;
  const freed = new Set(deed.squares);
  return locked(told, false, (one) => one.squares.some((id) => freed.has(id)));
}

function locked(told, to, meant) {
  return { ...told, sets: told.sets.map((one) => (meant(one) ? { ...one, locked: to } : one)) };
}

function keyOf(squares) {
  return [...squares].sort((a, b) => a - b).join(" ");
}
