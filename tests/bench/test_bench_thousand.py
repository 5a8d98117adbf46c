"""What the page's server takes with 1,000 squares in 20 photos; run with ``--benchmark-only``.

Processor time of one thread, without the browser: a change kept with its sets, the bundle told to
the page the first time and after a change, the sets, the plan.
"""

from __future__ import annotations

import time

import pytest
from drawn import looked_at, measured

from catalog import analysis
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events.square_events import MarkedSquares
from cli.page import bundle_view
from cli.page.routes.pairing_routes import chosen, sets_view
from cli.page.server_state import ServerState

ROUNDS = 3


@pytest.fixture(scope="module")
def thousand(tmp_path_factory):
    """A server's state with a bundle of 1,000 squares drawn by chance, and the bundle's number."""
    place = tmp_path_factory.mktemp("thousand") / "own.catalogue"
    with pytest.MonkeyPatch.context() as patch, Catalogue(place) as catalogue:
        patch.setattr(analysis, "remeasure_photo", measured)
        patch.setattr(analysis, "with_joined_lights", lambda looked, content_of, **_: tuple(looked))
        photos = [looked_at(seed, 5, 10) for seed in range(20)]
        number = catalogue.add("blues", None, photos).kept.id
    state = ServerState(place)
    yield state, number
    state.close()


def told(benchmark, work):
    """Print the least processor time of some rounds, and hand it to pytest-benchmark."""
    took = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        took.append(1000 * (time.process_time() - start))
    print(f"\n{benchmark.name}: {took[0]:.0f} ms first, {min(took):.0f} ms at best")  # noqa: T201
    benchmark.extra_info["milliseconds"] = [round(one) for one in took]
    benchmark.pedantic(lambda: None, rounds=1)


def test_a_square_is_marked(benchmark, thousand):
    state, number = thousand
    squares = iter(state.kept(number).state.squares)

    def mark():
        event = MarkedSquares((next(squares),), "damaged")
        state.change(number, lambda all_, name: all_.do(name, [event]))

    told(benchmark, mark)


def test_the_bundle_is_told(benchmark, thousand):
    state, number = thousand
    bundle_view._last.clear()
    told(benchmark, lambda: bundle_view.bundle_view(state.kept(number)))


def test_the_sets_are_told(benchmark, thousand):
    state, number = thousand
    kept = state.kept(number)
    told(benchmark, lambda: sets_view(kept, chosen(kept, doubts=False)))
