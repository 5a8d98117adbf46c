"""Names of colour families, which never gainsay the colour names of the squares beside them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from catalog.bundle.family_words import contradicts, family_word
from catalog.models import Lab

SHADES = {
    2: ("dark", "light"),
    3: ("dark", "medium", "light"),
    4: ("darkest", "dark", "light", "lightest"),
    5: ("darkest", "dark", "medium", "light", "lightest"),
    6: ("darkest", "very dark", "dark", "light", "very light", "lightest"),
    7: ("darkest", "very dark", "dark", "medium", "light", "very light", "lightest"),
}
COMPARED: Final = {2: ("darker", "lighter")}
"""Words that only compare, for families of one hue of which the above would not be true."""
MIXED: Final = "mixed colours"
"""A family of so many hues that no name is true of all."""


@dataclass(frozen=True)
class Pile:
    """A family before it has a name."""

    mean: Lab
    names: tuple[str, ...]
    """The colour name of each of its colours, by the ISCC-NBS system."""
    words: tuple[str, ...]
    """The family that each of them would be by itself (see `family_word`)."""

    def wrong(self, name: str) -> float:
        """Return the share of its colours that a name contradicts."""
        return sum(contradicts(name, one) for one in self.names) / len(self.names)


def names_of(piles: Sequence[Pile], wrong: float = 0.0) -> list[str]:
    """Name piles by their hues, and by their lightness where two would share a name.

    Parameters
    ----------
    piles : sequence of Pile
    wrong : float
        Share of a pile's colours that its name may contradict.

    Returns
    -------
    list of str
        All different.
    """
    words = [_word(pile, wrong) for pile in piles]
    names = list(words)
    for word in sorted(set(words)):
        same = sorted((i for i, w in enumerate(words) if w == word), key=lambda i: piles[i].mean)
        if len(same) > 1:
            shaded = _shaded(word, [piles[i] for i in same], wrong)
            for i, name in zip(same, shaded, strict=True):
                names[i] = name
    return names


def _word(pile: Pile, wrong: float) -> str:
    """Return the plainest word that is true of enough of a pile."""
    counted = Counter(pile.words)
    usual = sorted(counted, key=lambda word: (-counted[word], word))
    joined = [f"{', '.join(usual[:-1])} and {usual[-1]}"] if 1 < len(usual) < 4 else []
    tried = (family_word(pile.mean), usual[0], *joined)
    return next((word for word in tried if pile.wrong(word) <= wrong), MIXED)


def _shaded(word: str, piles: Sequence[Pile], wrong: float) -> list[str]:
    """Return names for piles of one word, the darkest first."""
    for shades in (SHADES.get(len(piles)), COMPARED.get(len(piles))):
        names = [f"{shade} {word}" for shade in shades or ()]
        if names and all(p.wrong(n) <= wrong for p, n in zip(piles, names, strict=True)):
            return names
    return [f"{word} {rank}" for rank in range(1, len(piles) + 1)]
