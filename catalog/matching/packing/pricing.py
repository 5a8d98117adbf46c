"""Sets that cost little more than their prices, for one demand."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.matching.packing.exchange import Pick
from catalog.matching.packing.set_columns import Columns, Prices
from catalog.matching.packing.set_enumeration import sets_under

Bools = NDArray[np.bool_]


def sets_priced(
    columns: Columns, prices: Prices, at: int, limit: float, most: int, free: Bools | None = None
) -> tuple[list[tuple[Pick, float]], bool]:
    """Find a demand's sets, known or not, that cost less than a limit over their prices.

    Parameters
    ----------
    columns : Columns
    prices : Prices
    at : int
        The demand, by its place.
    limit : float
    most : int
        Sets that are kept at most.
    free : array of bool, (n,), optional
        The squares that may be used.

    Returns
    -------
    list of Pick and float
        Each with what it costs more than its prices.
    bool
        Whether these are all.
    """
    rules, demand = columns.rules, columns.demands[at]
    where = np.nonzero(demand.members if free is None else demand.members & free)[0]
    price = prices.square[where] + prices.demand[at] / demand.size
    if demand.size == 1:
        alone = zip(where.tolist(), price.tolist(), strict=True)
        return [((at, (v,)), -p) for v, p in alone if -p < limit], True
    cost = rules.cost_for(at)[np.ix_(where, where)]
    found = sets_under(cost, price, demand.size, limit, most, prices.cut.among(where))
    rows = zip(where[found.members].tolist(), found.excess.tolist(), strict=True)
    picks: list[tuple[Pick, float]] = [((at, tuple(squares)), excess) for squares, excess in rows]
    return [item for item in picks if rules.step_fits(item[0][1])], found.complete
