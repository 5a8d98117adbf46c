"""Precision and recall of cutting instructions read from texts whose truth lies beside them.

``python tests/bench/pattern_words.py FOLDER [--mistakes]``: FOLDER holds NAME.txt and NAME.json
with ``pieces`` and ``buys`` as ``calicount pattern read --json`` prints them, ``wrong`` (what
disagrees in
the text on purpose) and ``aliases`` (other names that a cloth has in the text). A strip that the
truth marks ``subcut`` may be left out or listed. Sizes count as right within 0.01 in.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter
from pathlib import Path

from catalog.pattern.words.instruction_reading import read_instructions

NEAR = 0.01
"""Inches; half a millimetre is 0.02."""


def near(one, other):
    if one is None or other is None:
        return one is None and other is None
    return abs(one - other) <= NEAR


def same_cloth(truth, read, aliases):
    names = {truth.lower(), *(alias.lower() for alias in aliases.get(truth, ()))}
    return (read or "").lower() in names


def same_piece(truth, piece):
    return (
        truth["count"] == piece.count
        and truth["shape"] == piece.shape
        and near(truth["width_in"], float(piece.width))
        and near(truth["length_in"], None if piece.length is None else float(piece.length))
        and truth["diagonal_cuts"] == piece.diagonal_cuts
    )


def matched(truths, found, alike):
    """Pair truths with what was found, each once; return the pairs and what is left of both."""
    left, pairs, missed = list(found), [], []
    for truth in truths:
        hit = next((one for one in left if alike(truth, one)), None)
        if hit is None:
            missed.append(truth)
        else:
            left.remove(hit)
            pairs.append((truth, hit))
    return pairs, missed, left


def score(text, truth):
    """Return counts for one text, and its mistakes in words."""
    read, aliases = read_instructions(text), truth.get("aliases", {})

    def alike(one, piece):
        return same_piece(one, piece) and same_cloth(one["cloth"], piece.cloth, aliases)

    def bought(one, buy):
        near_yards = abs(one["yards"] - float(buy.yards)) < 0.01
        return near_yards and same_cloth(one["cloth"], buy.cloth, aliases)

    pairs, missed, extra = matched(truth["pieces"], read.pieces, alike)
    missed = [one for one in missed if not one.get("subcut")]
    optional = [one for one, _ in pairs if one.get("subcut")]
    sized, _, _ = matched(missed, extra, same_piece)
    buys, no_buys, more_buys = matched(truth["buys"], read.buys, bought)
    marked = " ".join((*read.doubts, *read.unread))
    counts = Counter(
        pieces=len(pairs) - len(optional), missed=len(missed), extra=len(extra),
        only_cloth=len(sized), buys=len(buys), buys_missed=len(no_buys),
        buys_extra=len(more_buys), wrong=bool(truth["wrong"]),
        wrong_told=bool(truth["wrong"]) and bool(read.doubts),
        false_doubts=len(read.doubts) if not truth["wrong"] else 0,
        doubted_in_vain=bool(read.doubts) and not truth["wrong"],
        unmarked=sum(piece.text not in marked for piece in extra), texts=1,
        clean=not (missed or extra or no_buys or more_buys), unread=len(read.unread),
    )  # fmt: skip
    mistakes = [
        *(f"missed {one}" for one in (*missed, *no_buys)),
        *(f"extra {one.cloth} {one.shape} {one.count} {float(one.width):.3f} "
          f"{one.length and float(one.length):} {one.diagonal_cuts} ({one.text})" for one in extra),
        *(f"extra {one.cloth} {float(one.yards)} yd ({one.text})" for one in more_buys),
        *(f"wrong: {one}" for one in truth["wrong"]), *(f"doubt: {one}" for one in read.doubts),
        *(f"unread: {one}" for one in read.unread),
    ]  # fmt: skip
    return counts, mistakes


def share(part, *rest):
    whole = part + sum(rest)
    return f"{part}/{whole} = {part / whole:.3f}" if whole else "-"


def table(total):
    right = total["pieces"] + total["only_cloth"]
    wrongly, lost = (total[name] - total["only_cloth"] for name in ("extra", "missed"))
    rows = (
        ("pieces", total["pieces"], total["extra"], total["missed"]),
        ("without the cloth", right, wrongly, lost),
        ("buys", total["buys"], total["buys_extra"], total["buys_missed"]),
    )
    return [
        f"texts {total['texts']}, all right {total['clean']}",
        *(f"{name}: precision {share(hit, extra)}, recall {share(hit, missed)}"
          for name, hit, extra, missed in rows),
        f"wrong pieces without a mark: {total['unmarked']} of {total['extra']}",
        f"texts wrong on purpose: {total['wrong']}, doubted: {total['wrong_told']}; "
        f"other texts doubted: {total['doubted_in_vain']}; unread words: {total['unread']}",
    ]  # fmt: skip


def scored(folder):
    """Return the counts over a folder, and the mistakes of each text."""
    total, mistakes = Counter(), {}
    for path in sorted(folder.glob("*.json")):
        truth = json.loads(path.read_text(encoding="utf-8"))
        text = path.with_suffix(".txt").read_text(encoding="utf-8")
        counts, mistakes[path.stem] = score(text, truth)
        total += counts
    return total, mistakes


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("--mistakes", action="store_true")
    asked = parser.parse_args()
    total, mistakes = scored(asked.folder)
    if asked.mistakes:
        for name, told in mistakes.items():
            print(name, *told, sep="\n    ")  # noqa: T201 - what to look at
    print("\n".join(table(total)))  # noqa: T201 - a table


if __name__ == "__main__":
    main()
