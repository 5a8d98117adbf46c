"""The least cost of carrying what some places have to others: many small problems at once."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

REACHED: Final = 1e-9
"""What a price may miss a cost by and still count as at it."""
MAX_ROUNDS: Final = 200
"""Rounds of raising prices: problems of five by five took 40 at most of 100,000 at random."""


def least_costs(cost: Floats, supply: Floats, demand: Floats) -> Floats:
    """Return the least total cost of carrying supplies to demands, exact to `REACHED`.

    Parameters
    ----------
    cost : array, (n, a, b)
        From each of ``a`` places to each of ``b``, for n problems; a and b up to eight or so.
    supply, demand : array, (n, a) and (n, b)
        0 or more; each row adds up to the same.

    Returns
    -------
    array, (n,)

    Notes
    -----
    One place or two on a side have closed forms. Else prices of the supplies are raised, those of
    the group whose raise gains most first, as far as the gain lasts: steepest ascent of the
    problem's dual, which is L-convex, so that no group to raise means that none is better
    (K. Murota, Discrete Convex Analysis, SIAM 2003, chapter 10; from memory).
    """
    if cost.shape[1] > cost.shape[2]:
        cost, supply, demand = cost.transpose(0, 2, 1), demand, supply
    if cost.shape[1] == 1:
        return np.asarray((cost[:, 0] * demand).sum(axis=1))
    if cost.shape[1] == 2:
        return _from_two(cost, supply, demand)
    return _from_several(cost, supply, demand)


def _from_two(cost: Floats, supply: Floats, demand: Floats) -> Floats:
    """Give the first place what it carries most cheaply beside the second."""
    spared = cost[:, 0] - cost[:, 1]
    order = np.argsort(spared, axis=1, kind="stable")
    spared, room = (np.take_along_axis(one, order, axis=1) for one in (spared, demand))
    before = np.cumsum(room, axis=1) - room
    taken = np.clip(supply[:, :1] - before, 0.0, room)
    return np.asarray((cost[:, 1] * demand).sum(axis=1) + (taken * spared).sum(axis=1))


def _from_several(cost: Floats, supply: Floats, demand: Floats) -> Floats:
    """Raise prices until no group of supplies gains by it; a problem that is done drops out."""
    places = cost.shape[1]
    groups = (np.arange(1, 2**places - 1)[:, None] >> np.arange(places)) & 1 > 0
    touched = (np.arange(2**places)[:, None] & np.arange(1, 2**places - 1)) > 0
    bits = (1 << np.arange(places))[:, None]
    best, going = np.empty(len(cost)), np.arange(len(cost))
    usual = (cost * supply[:, :, None]).sum(axis=1)
    price = (cost - usual[:, None]).min(axis=2)  # a quarter fewer rounds than from nothing
    held = supply @ groups.T.astype(np.float64)
    for _ in range(MAX_ROUNDS):
        reach = cost - price[:, :, None]
        least = reach.min(axis=1)
        best[going] = (supply * price).sum(axis=1) + (demand * least).sum(axis=1)
        reach -= least[:, None]
        near = touched[((reach <= REACHED) * bits).sum(axis=1)]
        gain = held - np.matmul(demand[:, None, :], near)[:, 0]
        group = gain.argmax(axis=1)
        top = gain[np.arange(len(gain)), group]
        more = top > REACHED
        if not more.any():
            break
        going, price, held, cost, supply, demand, reach, near, group, top = (
            one[more] for one in (going, price, held, cost, supply, demand, reach, near, group, top)
        )
        raised = groups[group]
        gap = np.where(raised[:, :, None], reach, np.inf).min(axis=1)
        gap[np.take_along_axis(near, group[:, None, None], axis=2)[:, :, 0]] = np.inf
        price = price + raised * _how_far(gap, demand, top)[:, None]
    return best


def _how_far(gap: Floats, demand: Floats, gain: Floats) -> Floats:
    """Return by how much to raise: past each gap the gain is less by what is demanded there."""
    order = np.argsort(gap, axis=1)
    left = gain[:, None] - np.cumsum(np.take_along_axis(demand, order, axis=1), axis=1)
    last = order[np.arange(len(gap)), (left > REACHED).sum(axis=1)]
    return np.asarray(gap[np.arange(len(gap)), last])
