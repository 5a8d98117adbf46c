"""What photos show, worked out once for all tests of a session and all of its workers.

Squares found, lights judged and colours measured lie in files by what was asked, to the last pixel.
For tests of what becomes of them; those of the looking itself ask for none of this.
"""

from __future__ import annotations

import pickle
import threading
from dataclasses import replace

import joblib
import pytest

NAMELESS = "photo"
"""A photo's name while it is looked at: only a swatch tells it."""


@pytest.fixture(scope="session")
def looks_once(tmp_path_factory, request):
    """The way to have each look taken but once, for as long as a patch holds."""
    from catalog import analysis, pipeline
    from catalog.analysis import photo_batch, single_photo

    own = tmp_path_factory.getbasetemp()
    folder = (own.parent if hasattr(request.config, "workerinput") else own) / "looks"
    folder.mkdir(exist_ok=True)

    ways = [
        (single_photo, "find_squares", _nameless),
        (single_photo, "estimate_light", _nameless),
        (single_photo, "measure", lambda work: _named(_nameless(work))),
        (analysis, "analyse_photo", _as_it_is),
        (analysis, "remeasure_photo", _as_it_is),
    ]
    taken = [
        (name, getattr(place, name), called(_once(getattr(place, name), folder)))
        for place, name, called in ways
    ]

    def apply(patch):
        for place in (pipeline, single_photo, photo_batch, analysis):
            for name, work, once in taken:
                if getattr(place, name, None) is work:  # what stands in for it already stays
                    patch.setattr(place, name, once)

    return apply


def _once(work, folder):
    """Return work that is done but once: the next to ask finds the answer in a folder."""

    def looked(*asked, **more):
        place = folder / joblib.hash((work.__name__, asked, more))
        if not place.exists():
            new = place.with_suffix(f".{threading.get_native_id()}")
            with new.open("wb") as file:  # not by what tests of a full disk stand in for
                pickle.dump(work(*asked, **more), file)
            new.replace(place)
        return pickle.loads(place.read_bytes())

    return looked


def _as_it_is(work):
    return work


def _nameless(work):
    """Return work on a photo that is the same whatever the photo is called."""
    return lambda photo, *said: work(replace(photo, name=NAMELESS), *said)


def _named(measure):
    """Return the way to measure that says of which photo the swatches are."""

    def measured(photo, *said):
        return tuple(replace(one, photo=photo.name) for one in measure(photo, *said))

    return measured
