"""The exact search for pairs: trees of alternating pairs grow from squares that are left over.

Edmonds's method (1965) with prices (see `certificate`): a tree's even nodes raise their prices and
its odd ones lower them, at one rate, until a pair costs no more than its prices. Then the tree
grows, or folds an odd round up into a blossom, or two squares left over find each other. What a
square isn't in a tree of stays as it is: where most pairs are right from the start, the search
looks at a small part of them. Events wait in a heap for their time (W. Cook, A. Rohe, "Computing
minimum-weight perfect matchings", INFORMS J. Computing 11, 1999, tell how such trees are grown).
"""

from __future__ import annotations

from collections.abc import Iterable
from heapq import heappop, heappush
from typing import Final

from catalog.matching.solver.near_squares import ALL, NEVER, Near, NearSquares
from catalog.matching.solver.nested_blossoms import Link, NestedBlossoms

OPEN_BLOSSOM: Final = -1
STAY_SPARE: Final = -2
"""In place of a square in an event: of a blossom in the tree, of a square that may stay spare."""
FURTHER: Final = 4
"""Times further that near squares are sought where few were found the last time."""
FEW_FOUND: Final = 2
"""For each square that they were sought for: of 5,000 squares of one fabric hundreds lie within
twice as far, and all that are known take memory."""
MAX_STEPS_FURTHER: Final = 6
"""Times that is done while a tree grows before all squares are near that may be partners."""

Event = tuple[int, int, int, int]
"""When, which square of an even node, which other one, what the two cost."""


class AlternatingTrees:
    """A pairing that grows, and prices that prove it.

    Parameters
    ----------
    blossoms : NestedBlossoms
        A pairing; it and its blossoms' weights are changed.
    price : list of int
        Of each square; changed. With the blossoms' weights no pair costs less than its prices, and
        those paired or in a blossom's round no more (but for rounding, a part or two).
    near : NearSquares
        Those sought up to no less than their prices.
    reach : int
        How much further than prices they are sought first.
    """

    def __init__(
        self, blossoms: NestedBlossoms, price: list[int], near: NearSquares, reach: int
    ) -> None:
        self.nodes, self.price, self.near = blossoms, price, near
        self._step = self._least_step = max(reach, 1)
        self._side = [0] * blossoms.n
        """Of each square: 1 in an even node, -1 in an odd one, 0 in none."""
        self._even: dict[int, bool] = {}
        """The nodes in trees. PairPrices of their squares are kept as they were at time 0."""
        self._root: dict[int, int] = {}
        self._via: dict[int, Link] = {}
        """How an odd node was reached, from a square and to one."""
        self._events: list[Event] = []
        self._time = self._end = 0
        """Now, and when one of the events that are known ends the search."""
        self._known = 0
        """Until when all events are known: then a price is what its square was sought up to."""
        self._spare: int | None = None

    def pair_up(self, square: int, spare: int) -> None:
        """Pair an exposed square, or leave one spare for it at a price."""
        self._grow([self.nodes.outer[square]], spare)

    def pair_two_spares(self, spares: Iterable[int]) -> bool:
        """Make one pair more at the least cost, prices of spares rising; False if none can be."""
        return self._grow([self.nodes.outer[square] for square in spares], None)

    def _grow(self, roots: list[int], spare: int | None) -> bool:
        """Let trees grow from their roots until one of them ends the search."""
        self._events, self._time, self._end, self._spare = [], 0, NEVER, spare
        self._known, self._step = NEVER, self._least_step
        self._root.clear()
        self._via.clear()
        for root in roots:
            self._add_even(root, root)
        events = self._events
        while True:
            while self._known < NEVER and (not events or events[0][0] > self._known):
                self._look_further()
            if not events:
                self._stop()
                return False
            event = heappop(events)
            if event[1] >= 0:
                done = self._meet(event)
            elif event[1] == STAY_SPARE:
                done = self._leave_spare(event)
            else:
                done = self._open(event)
            if done:
                return True

    def _look_further(self) -> None:
        """Seek near squares where prices come near what was sought up to, each time further."""
        price, up_to, soon = self.price, self.near.up_to, self._known + self._step // 2
        even = [v for node, even in self._even.items() if even for v in self.nodes.squares[node]]
        all_now = self._step > self._least_step * FURTHER**MAX_STEPS_FURTHER
        sought = {
            v: ALL if all_now else price[v] + self._known + self._step
            for v in even
            if up_to[v] - price[v] <= soon
        }
        fresh = self.near.seek(sought)
        if sum(map(len, fresh.values())) < FEW_FOUND * len(fresh):
            self._step *= FURTHER
        self._known = min((up_to[v] - price[v] for v in even if up_to[v] < ALL), default=NEVER)
        for v, near in fresh.items():
            self._note(v, near)

    def _meet(self, event: Event) -> bool:
        """Do what follows where a pair costs no more than its prices; tell whether that ends it."""
        time, v, w, cost = event
        outer = self.nodes.outer
        one, two = outer[v], outer[w]
        side = self._side[w]
        if one == two or side < 0:
            return False
        ready = cost - self.price[v] - self.price[w]
        if side:
            ready //= 2
        if ready > time:  # prices have changed since, by an odd node that was taken apart
            heappush(self._events, (ready, v, w, cost))
            return False
        self._time = max(self._time, time)
        if side and self._root[one] == self._root[two]:
            self._fold(v, w)
            return False
        if side or self.nodes.is_free(two):
            self._join(v, w)
            return True
        self._reach_node(v, w)
        return False

    def _reach_node(self, v: int, w: int) -> None:
        """Let a tree grow by a node and the one that it is paired with."""
        nodes, time = self.nodes, self._time
        odd = nodes.outer[w]
        _, beyond = nodes.above(odd) or ((v, w), odd)
        self._via[odd] = v, w
        self._even[odd] = False
        for u in nodes.squares[odd]:
            self.price[u] += time
            self._side[u] = -1
        self._weigh_odd(odd)
        self._add_even(beyond, self._root[nodes.outer[v]])

    def _weigh_odd(self, odd: int) -> None:
        """Note when a blossom that loses weight has to be taken apart."""
        if odd >= self.nodes.n:
            weight = self.nodes.weight[odd] = self.nodes.weight[odd] + 2 * self._time
            heappush(self._events, (weight // 2, OPEN_BLOSSOM, odd, 0))

    def _add_even(self, node: int, root: int) -> None:
        """Take in an even node."""
        time, squares = self._time, self.nodes.squares[node]
        self._even[node], self._root[node] = True, root
        if node >= self.nodes.n:
            self.nodes.weight[node] -= 2 * time
        for v in squares:
            self.price[v] -= time
            self._side[v] = 1
        for v in squares:
            self._scan(v)

    def _scan(self, v: int) -> None:
        """Note when pairs of a square in an even node come to cost no more than their prices."""
        own = self.price[v]
        if self._spare is not None and self._spare - own < self._end:
            self._end = self._spare - own
            heappush(self._events, (self._end, STAY_SPARE, v, 0))
        up_to = self.near.up_to[v]
        if up_to < ALL and up_to - own < self._known:
            self._known = up_to - own
        self._note(v, self.near.row(v))

    def _note(self, v: int, near: Iterable[Near]) -> None:
        """Note when some pairs of a square in an even node do so."""
        price, side, outer = self.price, self._side, self.nodes.outer
        events, end, own, mine = self._events, self._end, price[v], outer[v]
        for w, cost in near:
            if side[w] < 0 or outer[w] == mine:
                continue
            ready = cost - own - price[w]
            if side[w]:
                ready //= 2
            if ready < end:
                heappush(events, (ready, v, w, cost))
                if not side[w] and self.nodes.is_free(outer[w]):
                    end = ready
        self._end = end

    def _fold(self, v: int, w: int) -> None:
        """Make a blossom of the round that a pair of one tree closes."""
        nodes, time = self.nodes, self._time
        kids, links = self._round(v, w)
        root = self._root[kids[0]]
        fresh: list[int] = []
        for kid in kids:
            if self._even.pop(kid):
                nodes.weight[kid] += 2 * time if kid >= nodes.n else 0
                continue
            nodes.weight[kid] -= 2 * time if kid >= nodes.n else 0
            fresh += nodes.squares[kid]
        made = nodes.shrink(kids, links)
        nodes.weight[made] = -2 * time
        self._even[made], self._root[made] = True, root
        for u in fresh:
            self.price[u] -= 2 * time
            self._side[u] = 1
        for u in fresh:
            self._scan(u)

    def _round(self, v: int, w: int) -> tuple[list[int], list[Link]]:
        """Return the nodes of the round that two squares close, from where their ways part."""
        (one, down), (two, up) = self._way_up(v), self._way_up(w)
        while len(one) > 1 and len(two) > 1 and one[-2] == two[-2]:
            del one[-1], two[-1], down[-1], up[-1]
        kids = one[::-1] + two[:-1]
        return kids, [(b, a) for a, b in reversed(down)] + [(v, w)] + up

    def _way_up(self, square: int) -> tuple[list[int], list[Link]]:
        """Return the nodes from a square in an even one to the root, and the pairs between them."""
        nodes = self.nodes
        node = nodes.outer[square]
        way = [node]
        links: list[Link] = []
        while (step := nodes.above(node)) is not None:
            pair, odd = step
            v, w = self._via[odd]
            node = nodes.outer[v]
            way += odd, node
            links += pair, (w, v)
        return way, links

    def _open(self, event: Event) -> bool:
        """Take a blossom that has lost its weight apart; what isn't on the way leaves the tree."""
        time, _, blossom, _ = event
        nodes = self.nodes
        if self._even.get(blossom, True) or nodes.weight[blossom] > 2 * time:
            return False
        self._time = max(self._time, time)
        del self._even[blossom]
        nodes.weight[blossom] = 0
        v, w = self._via.pop(blossom)
        way, links = nodes.way_in(blossom, nodes.kid_with(w, blossom))
        loose = [u for kid in nodes.open(blossom) if kid not in way for u in nodes.squares[kid]]
        for u in loose:
            self.price[u] -= self._time
            self._side[u] = 0
        self._put_on_way(way, [(v, w), *links[1::2]])
        for kid in way[1::2]:
            for u in nodes.squares[kid]:
                self._scan(u)
        self._scan_loose(loose)
        return False

    def _put_on_way(self, way: list[int], entries: list[Link]) -> None:
        """Keep in the tree the nodes of a blossom's way, odd and even by turns."""
        nodes, time = self.nodes, self._time
        root = self._root[nodes.outer[entries[0][0]]]
        for kid, entry in zip(way[::2], entries, strict=True):
            self._even[kid], self._via[kid] = False, entry
            self._weigh_odd(kid)
        for kid in way[1::2]:
            self._even[kid], self._root[kid] = True, root
            if kid >= nodes.n:
                nodes.weight[kid] -= 2 * time
            for u in nodes.squares[kid]:
                self.price[u] -= 2 * time
                self._side[u] = 1

    def _scan_loose(self, loose: list[int]) -> None:
        """Note when squares that left the tree are reached again."""
        for w in loose:
            for v, cost in self.near.row(w):
                if self._side[v] > 0:
                    ready = cost - self.price[v] - self.price[w]
                    if ready < self._end:
                        heappush(self._events, (ready, v, w, cost))

    def _leave_spare(self, event: Event) -> bool:
        self._time = max(self._time, event[0])
        self._stop()
        self._flip(event[2], event[2])
        return True

    def _join(self, v: int, w: int) -> None:
        """Pair two squares that both lead to one left over."""
        in_tree = self._side[w] > 0
        self._stop()
        self._flip(v, w)
        if in_tree:
            self._flip(w, v)
        else:
            self.nodes.rebase(self.nodes.outer[w], w)
            self.nodes.partner[w] = v

    def _flip(self, v: int, partner: int) -> None:
        """Give a square of an even node another partner, and all up to the root in turn."""
        nodes = self.nodes
        while True:
            node = nodes.outer[v]
            step = nodes.above(node)
            nodes.rebase(node, v)
            nodes.partner[v] = partner
            if step is None:
                return
            odd = step[1]
            partner, w = self._via[odd]
            nodes.rebase(odd, w)
            nodes.partner[w] = partner
            v, partner = partner, w

    def _stop(self) -> None:
        """Bring all prices up to date; the trees are gone, their blossoms stay."""
        nodes, time = self.nodes, self._time
        for node, even in self._even.items():
            move = time if even else -time
            for v in nodes.squares[node]:
                self.price[v] += move
                self._side[v] = 0
            if node >= nodes.n:
                nodes.weight[node] += 2 * move
        self._even.clear()
