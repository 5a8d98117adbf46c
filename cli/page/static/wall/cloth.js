/** Pictures of cloth to draw a quilt from: all squares on one sheet, and larger ones when they are looked at closely. */

const CLOSER = 1.4;
const MOST = 250;
const sheets = new Map();
const single = new Map();

/**
 * The pictures that a quilt is drawn from.
 * @param {any} geometry @param {() => void} [changed] called when more of them are there
 */
export function clothOf(geometry, changed = () => {}) {
  const { sheet, squares } = geometry;
  const place = new Map(sheet.squares.map((id, n) => [id, n]));
  const whole = loaded(sheets, sheet.href, 3, changed);
  return {
    /** A square's picture for so many pixels; null until there is one. */
    square: (id, pixels) => {
      const inches = squares[id]?.[0];
      const n = place.get(id);
      if (!inches || n === undefined) return null;
      if (pixels > CLOSER * sheet.side && sheet.side < 144) {
        const own = loaded(single, `/api/crop/${id}.jpg?v=${encodeURIComponent(geometry.marks[squares[id][2]] ?? "")}`, MOST, changed);
        if (own.ready) return new Picture(own, 0, 0, own.image.width, inches);
      }
      if (!whole.ready) return null;
      return new Picture(whole, (n % sheet.columns) * sheet.side, Math.floor(n / sheet.columns) * sheet.side, sheet.side, inches);
    },
    /** A bought cloth's picture, if it has one. */
    bought: (n) => {
      const shown = geometry.cloths[n]?.picture;
      if (!shown) return null;
      const own = loaded(single, shown.href, MOST, changed);
      return own.ready ? new Repeated(own, shown.inches) : null;
    },
    /** Whether the sheet is there. */
    ready: () => whole.ready,
  };
}

/** Part of a picture that shows a square's cloth. */
class Picture {
  constructor(source, left, top, side, inches) {
    Object.assign(this, { source, left, top, side, inches });
  }

  /** Cloth laid over a face that is an upright rectangle, which is drawn in half the time. @returns {boolean} whether it was */
  onto(pen, face, turn) {
    face.whole ??= face.p.length === 8 && isCell(face);
    if (!face.whole || turn % 90) return false;
    const [across, down, wide, high] = this.window(face, turn);
    pen.save();
    pen.translate(face.m[0], face.m[1]);
    if (turn) pen.rotate((turn * Math.PI) / 180);
    pen.drawImage(this.source.image, this.left + (this.side - across) / 2, this.top + (this.side - down) / 2, across, down, -wide / 2, -high / 2, wide, high);
    pen.restore();
    return true;
  }

  /** Pixels across and down of what is shown, and the inches that they are laid over. */
  window(face, turn) {
    const [wide, high] = turn % 180 ? [face.s[1], face.s[0]] : face.s;
    const inch = (this.side - 1) / this.inches;
    return [Math.min(wide, this.inches) * inch, Math.min(high, this.inches) * inch, wide, high];
  }

  /** Cloth laid over a face: from the middle of the square at its true scale, stretched where the square is too small. */
  over(pen, face, turn) {
    const [across, down, wide, high] = this.window(face, turn);
    const laid = new DOMMatrix().translateSelf(face.m[0], face.m[1]).rotateSelf(turn).scaleSelf(wide / across, high / down)
      .translateSelf(-this.left - this.side / 2, -this.top - this.side / 2);
    return patternOf(pen, this.source, "no-repeat", laid);
  }
}

/** Cloth by the yard: its picture again and again, at its true scale. */
class Repeated {
  constructor(source, inches) {
    Object.assign(this, { source, inches });
  }

  over(pen) {
    const scale = this.inches / this.source.image.width;
    return patternOf(pen, this.source, "repeat", new DOMMatrix().scaleSelf(scale, scale));
  }
}

/** Whether a face is its whole cell. */
function isCell({ p, m, s }) {
  return p.every((one, n) => Math.abs(Math.abs(one - m[n % 2]) - s[n % 2] / 2) < 0.002);
}

function patternOf(pen, source, how, laid) {
  source[how] ??= pen.createPattern(source.image, how);
  source[how].setTransform(laid);
  return source[how];
}

function loaded(shelf, address, most, changed) {
  const known = shelf.get(address);
  if (known) {
    if (!known.ready) known.waiting.add(changed);
    return known;
  }
  const fresh = { image: new Image(), ready: false, waiting: new Set([changed]) };
  shelf.set(address, fresh);
  if (shelf.size > most) shelf.delete(shelf.keys().next().value);
  fresh.image.src = address;
  // A bitmap is drawn from several times as fast as an image.
  fresh.image.decode().then(() => createImageBitmap(fresh.image)).then((bitmap) => {
    fresh.image = bitmap;
    fresh.ready = true;
    for (const one of fresh.waiting) one();
    fresh.waiting.clear();
  }, () => shelf.delete(address));
  return fresh;
}
