"""A pairing with its blossoms: odd groups of squares, nested, paired inside but for one square.

After Edmonds (1965); the words are his.
"""

from __future__ import annotations

from collections.abc import Sequence

Link = tuple[int, int]
"""Two squares, one of each of two neighbours in a blossom's round."""
EXPOSED = -1
"""In place of a partner: not paired yet. A square that stays spare is its own partner."""


class NestedBlossoms:
    """Squares 0 to n - 1 and blossoms from n on, called nodes together.

    Parameters
    ----------
    partner : list of int
        Of each square, or itself where it stays spare, or `EXPOSED`.
    """

    def __init__(self, partner: list[int]) -> None:
        n = self.n = len(partner)
        self.partner = partner
        self.outer = list(range(n))
        """The outermost node that each square is in."""
        self.squares = [[v] for v in range(n)]
        """Of each outermost node; of one inside they are a part of those of the outermost."""
        self.size = [1] * n
        """Squares of each node."""
        self._first = [0] * n
        """Of each node inside another where its squares begin among those of that one."""
        self.base = list(range(n))
        """Of each node the square that isn't paired inside."""
        self.parent = [-1] * n
        """The blossom that a node is in."""
        self.kids: list[list[int]] = [[] for _ in range(n)]
        """Of a blossom its nodes in their round, the one with the base first."""
        self.links: list[list[Link]] = [[] for _ in range(n)]
        """Pairs that lead from each of them to the next."""
        self.weight = [0] * n
        """How much a blossom's price is, 0 or more: what its pairs cost more for being inside."""

    def is_free(self, node: int) -> bool:
        """Tell whether a node's base is exposed or spare."""
        base = self.base[node]
        return self.partner[base] in (EXPOSED, base)

    def above(self, plus: int) -> tuple[Link, int] | None:
        """Return the pair that leads out of a node and the node that it leads to, if any."""
        base = self.base[plus]
        other = self.partner[base]
        return None if other in (EXPOSED, base) else ((base, other), self.outer[other])

    def shrink(self, kids: list[int], links: list[Link]) -> int:
        """Make a blossom of nodes, the one with the base first, and return it."""
        made = len(self.base)
        squares: list[int] = []
        for kid in kids:
            self.parent[kid], self._first[kid] = made, len(squares)
            squares += self.squares[kid]
            self.squares[kid] = []  # nested a thousand deep each square would stand in all
        for v in squares:
            self.outer[v] = made
        self.squares.append(squares)
        self.size.append(len(squares))
        self._first.append(0)
        self.base.append(self.base[kids[0]])
        self.parent.append(-1)
        self.kids.append(kids)
        self.links.append(links)
        self.weight.append(0)
        return made

    def open(self, blossom: int) -> list[int]:
        """Take an outermost blossom apart, and return its nodes."""
        kids, squares = self.kids[blossom], self.squares[blossom]
        for kid in kids:
            self.parent[kid], first = -1, self._first[kid]
            self.squares[kid] = squares[first : first + self.size[kid]]
            for v in self.squares[kid]:
                self.outer[v] = kid
        self.kids[blossom], self.squares[blossom] = [], []
        return kids

    def kid_with(self, square: int, blossom: int) -> int:
        """Return the node just inside a blossom that holds a square."""
        node = square
        while self.parent[node] != blossom:
            node = self.parent[node]
        return node

    def rebase(self, node: int, square: int) -> None:
        """Pair a node inside so that a square of it is left."""
        waiting = [(node, square)]  # thousands of squares of one fabric nest a thousand deep
        while waiting:
            node, square = waiting.pop()
            if node < self.n or self.base[node] == square:
                continue
            kid = self.kid_with(square, node)
            at = self.kids[node].index(kid)
            kids = self.kids[node] = self.kids[node][at:] + self.kids[node][:at]
            links = self.links[node] = self.links[node][at:] + self.links[node][:at]
            waiting.append((kid, square))
            for k in range(1, len(kids), 2):
                one, two = links[k]
                waiting += (kids[k], one), (kids[k + 1], two)
                self.partner[one], self.partner[two] = two, one
            self.base[node] = square

    def way_in(self, blossom: int, kid: int) -> tuple[list[int], list[Link]]:
        """Return the way of an even number of steps from a node of a blossom to its base's."""
        kids, links = self.kids[blossom], self.links[blossom]
        at = kids.index(kid)
        if at % 2:
            return [*kids[at:], kids[0]], links[at:]
        return kids[at::-1], [(two, one) for one, two in reversed(links[:at])]

    def weighed(self) -> Sequence[int]:
        """Return the blossoms that stand, outer ones before those in them."""
        return [b for b in range(len(self.base) - 1, self.n - 1, -1) if self.kids[b]]
