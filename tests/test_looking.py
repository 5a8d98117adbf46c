import os
import pickle
import signal
from dataclasses import replace
from functools import partial

import cv2
import joblib
import numpy as np
import psutil
import pytest
from waiting import LONG

from catalog import errors
from catalog.analysis import (
    analyse_photo,
    analyse_photos,
    photo_batch,
    remeasure_photo,
    with_joined_lights,
)
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.errors import PhotoError, UsageError, WorkerError
from catalog.light import estimate_light
from catalog.measuring import measure
from catalog.models import LightHints
from catalog.photo import read_photo


@pytest.fixture(scope="module")
def files(two_photos):
    return [path.read_bytes() for path in two_photos]


@pytest.fixture(scope="module")
def both(files):
    return [analyse_photo(content, name, 5.0) for content, name in zip(files, "ab", strict=True)]


def facts(looked):
    return looked.name, looked.digest, looked.found, looked.swatches, looked.crops


def colours(looked):
    return np.array([swatch.lab for swatch in looked.swatches])


# ---------------------------------------------------------------- one photo


def test_a_photo_gives_what_the_stages_give(both, two_photos):
    looked = both[0]
    photo = replace(read_photo(two_photos[0]), name="a")
    assert looked.problem is None
    assert (looked.high, looked.wide) == photo.pixels.shape[:2]
    assert len(looked.digest) == 64
    light = estimate_light(photo, looked.found)
    assert looked.light.evidence == light.evidence
    assert looked.swatches == measure(photo, looked.found, light)


def test_what_comes_back_is_small(both):
    assert len(pickle.dumps(both[0])) < 300_000


def test_the_small_pictures_have_the_measured_colours(both):
    for swatch, crop in zip(both[0].swatches, both[0].crops, strict=True):
        pixels = cv2.imdecode(np.frombuffer(crop, np.uint8), cv2.IMREAD_COLOR_RGB)
        mean = lab.linear_to_lab(lab.srgb_to_linear(pixels).reshape(-1, 3).mean(axis=0))
        assert float(ciede2000(mean, swatch.lab)) < 2.0


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "'x?.jpg' is empty; copy it"),
        (b"no photo", "'x?.jpg' is not a photo that can be read; save it"),
        (b"\xff\xd8\xff\xe0", "'x?.jpg' is "),
    ],
)
def test_a_photo_that_cannot_be_read_is_told_and_not_raised(content, said):
    looked = analyse_photo(content, "x\n.jpg", 5.0)
    assert isinstance(looked.problem, PhotoError)
    assert str(looked.problem).startswith(said)
    assert (looked.swatches, looked.crops, looked.found.squares, looked.light) == ((), (), (), None)


def test_a_photo_without_squares_has_no_light_and_no_problem(no_squares):
    looked = analyse_photo(no_squares.read_bytes(), "cloth.png", 5.0)
    assert (looked.problem, looked.light, looked.swatches) == (None, None, ())
    assert (looked.wide, looked.high) == (640, 480)


def test_what_is_said_of_a_square_counts(files, both):
    palest = max(both[0].swatches, key=lambda swatch: swatch.lab[0])
    looked = analyse_photo(files[0], "a", 5.0, LightHints(white=palest.label))
    assert palest.label in looked.light.evidence
    assert (
        analyse_photo(files[0], "a", 5.0, LightHints(white="R9C9"))
        .problem.args[0]
        .startswith("--white R9C9: no square")
    )


def test_known_squares_are_measured_as_they_were_found(files, both):
    one = both[0]
    assert facts(remeasure_photo(files[0], "a", one.found, one.light)) == facts(one)
    assert facts(remeasure_photo(files[0], "a", one.found, None)) == facts(one)


def test_squares_that_a_person_puts_in_one_place_keep_their_own_pictures(files, both):
    one = both[0]
    squares = tuple(replace(square, row=1, col=1) for square in one.found.squares[:3])
    looked = remeasure_photo(files[0], "a", replace(one.found, squares=squares), one.light)
    assert [swatch.label for swatch in looked.swatches] == ["R1C1"] * 3
    assert looked.crops == one.crops[:3]


@pytest.mark.parametrize(
    "kind",
    [one for one in vars(errors).values() if isinstance(one, type)],
    ids=lambda k: k.__name__,
)
def test_errors_pass_between_processes(kind):
    error = pickle.loads(pickle.dumps(kind("it is wrong", "put it right")))
    assert type(error) is kind
    assert (error.problem, error.cure, str(error)) == (
        "it is wrong",
        "put it right",
        "it is wrong; put it right.",
    )


# ---------------------------------------------------------------- many photos


def copies(files, count):
    """Files that differ by a byte."""
    for number in range(count):
        yield f"{number}.jpg", files[number % 2] + bytes([number])


def workers():
    """Return the processes that this one keeps for photos."""
    kept = []
    for child in psutil.Process().children(recursive=True):
        try:
            words = " ".join(child.cmdline())
        except psutil.Error:
            continue
        if "loky" in words and "resource_tracker" not in words:
            kept.append(child)
    return kept


def all_gone(processes):
    _, alive = psutil.wait_procs(processes, timeout=LONG)
    return not alive


@pytest.fixture(scope="module")
def mixed(two_photos, files, tmp_path_factory):
    """Two photos, between them one that is cut off and one that isn't there."""
    missing = tmp_path_factory.mktemp("empty") / "gone.jpg"
    return [("a", two_photos[0]), ("half", files[0][:9000]), ("gone", missing), ("b", files[1])]


def test_many_photos_come_back_in_order_and_a_bad_one_stops_none(mixed, both):
    told = []
    seen = list(analyse_photos(mixed, 5.0, jobs=2, tell=told.append))
    assert [one.name for one in seen] == ["a", "half", "gone", "b"]
    assert facts(seen[0]) == facts(both[0])
    assert facts(seen[3]) == facts(both[1])
    assert "'half' is cut off" in str(seen[1].problem)
    assert "there is no photo 'gone.jpg'" in str(seen[2].problem)
    assert told[0] == "looked at photo 1 of 4: a"
    assert told[-1] == "looked at photo 4 of 4: b"


def test_one_job_does_the_same_in_this_process(mixed, both, monkeypatch):
    monkeypatch.setattr(joblib, "Parallel", None)
    seen = list(analyse_photos(mixed, 5.0, jobs=1))
    assert [one.problem is None for one in seen] == [True, False, False, True]
    assert facts(seen[3]) == facts(both[1])


def test_a_single_photo_needs_no_other_process(files, both, monkeypatch):
    monkeypatch.setattr(joblib, "Parallel", None)
    (seen,) = analyse_photos(iter([("a", files[0])]), 5.0)
    assert facts(seen) == facts(both[0])
    assert list(analyse_photos([], 5.0)) == []


def test_photos_are_taken_only_as_there_is_work(files):
    taken = []
    sources = (taken.append(name) or (name, b"none") for name, _ in copies(files, 50))
    seen = analyse_photos(sources, 5.0, jobs=1)
    next(seen)
    assert len(taken) == 2


class Deadly(str):
    """A name that ends the process in which it is unpacked, while that sends nothing.

    Of one that is killed while it sends, joblib waits for the rest for ever.
    """

    __slots__ = ()

    def __reduce__(self):
        return os.abort, ()


def test_a_worker_that_is_killed_is_told_in_a_sentence(files):
    sources = [*copies(files, 8), (Deadly("last"), files[0]), *copies(files, 8)]
    seen = analyse_photos(sources, 5.0, jobs=2)
    next(seen)
    with pytest.raises(WorkerError, match="was ended from outside") as caught:
        list(seen)
    assert caught.value.exit_code == 1
    assert "\n" not in str(caught.value)


def test_an_interrupt_ends_the_workers(files):
    seen = analyse_photos(copies(files, 30), 5.0, jobs=2)
    next(seen)
    running = workers()
    assert running
    with pytest.raises(KeyboardInterrupt):
        seen.throw(KeyboardInterrupt())
    assert all_gone(running)


@pytest.mark.parametrize(
    "processes",
    [False, pytest.param(True, marks=pytest.mark.slow)],
    ids=["threads", "processes"],
)
@pytest.mark.filterwarnings("ignore:Sending large graph:UserWarning")
def test_a_cluster_does_the_same(mixed, both, processes):
    distributed = pytest.importorskip("distributed", reason="the extra 'cluster' is not installed")
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=processes, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster),
        joblib.parallel_config(backend="dask"),
    ):
        seen = list(analyse_photos(mixed, 5.0))
    assert [one.problem is None for one in seen] == [True, False, False, True]
    assert facts(seen[0]) == facts(both[0])
    assert facts(seen[3]) == facts(both[1])


def test_threads_can_look_at_photos_together(files, both):
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(4) as pool:
        several = list(pool.map(analyse_photo, files * 2, "abab", [5.0] * 4))
    assert [facts(one) for one in several] == [facts(one) for one in both] * 2


# ---------------------------------------------------------------- lights brought together


def misjudged(looked, content, by):
    light = replace(looked.light, tint=looked.light.tint * by)
    return remeasure_photo(content, looked.name, looked.found, light)


@pytest.mark.parametrize("jobs", [1, 2])
def test_lights_are_brought_together_by_shared_prints(files, both, jobs, monkeypatch):
    monkeypatch.setattr(photo_batch, "MIN_APART", 1)
    skewed = [both[0], misjudged(both[1], files[1], (1.25, 1.0, 0.85))]
    joined = with_joined_lights(skewed, files.__getitem__, jobs=jobs)
    right = with_joined_lights(both, files.__getitem__)
    before, after = (
        float(np.median(ciede2000(colours(one[1]), colours(right[1])))) for one in (skewed, joined)
    )
    assert before > 4.0
    assert after < 0.7 * before  # both lights are as sure, so each goes half the way
    assert [one.name for one in joined] == ["a", "b"]
    assert [len(one.crops) for one in joined] == [25, 25]


@pytest.mark.parametrize(("photos", "jobs"), [(3, 1), (5, 2)])
def test_processes_measure_again_what_is_worth_them(both, monkeypatch, photos, jobs):
    asked = []

    def done(work, jobs):
        asked.append(jobs)
        yield from (both[0] for _ in work)

    monkeypatch.setattr(photo_batch, "_done", done)
    monkeypatch.setattr(
        photo_batch, "changed_lights", lambda *_: enumerate([both[0].light] * photos)
    )
    again = with_joined_lights([both[0]] * photos, lambda _: b"", jobs=2)
    assert (asked, len(again)) == ([jobs], photos)


def test_photos_that_share_nothing_are_left_as_they_are(both, no_squares):
    def never(place):
        pytest.fail(f"photo {place} was measured again")

    empty = analyse_photo(no_squares.read_bytes(), "none", 5.0)
    broken = analyse_photo(b"", "broken", 5.0)
    alone = [both[0], empty, broken]
    together = with_joined_lights(alone, never)
    assert all(one is other for one, other in zip(together, alone, strict=True))


def test_hints_that_name_no_square_are_no_fault(files):
    (seen,) = analyse_photos([("a", files[0])], 5.0, hints=LightHints(grey="S099"))
    assert isinstance(seen.problem, UsageError)


def test_ctrl_c_is_left_to_the_process_that_gives_out_the_work():
    before = signal.getsignal(signal.SIGINT)
    asked = [partial(signal.getsignal, signal.SIGINT)] * 3
    assert list(photo_batch._done(iter(asked), 2)) == [signal.SIG_IGN] * 3
    assert signal.getsignal(signal.SIGINT) is before
