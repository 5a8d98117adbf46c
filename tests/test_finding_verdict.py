"""Which candidates stay: evidence of their own, and company."""

import numpy as np
import pytest

from catalog.finding.layout.neighbours import ways
from catalog.finding.shared_plane import UNIT, Poses
from catalog.finding.verification import (
    MAX_GUESSED_CONFIDENCE,
    MIN_CONFIDENCE,
    confidence,
    with_guesses,
)


def judged(scores, seen=0.8, misfit=0.01, bare=0.0, beside=1):
    """Confidence of squares alike but for what is given as an array."""
    n = len(scores)
    told = Poses(np.zeros((n, 2)), np.zeros(n), np.ones(n), np.full(n, misfit))
    neighbours = np.full((n, 4), -1)
    neighbours[:, :beside] = (np.arange(n)[:, None] + np.arange(1, beside + 1)) % n
    return confidence(
        np.asarray(scores, float), np.full((n, 4), seen), told, np.full(n, bare), neighbours
    )


def test_hot_squares_with_clear_sides_are_sure():
    assert judged(np.full(12, 0.8)).min() > 0.99


@pytest.mark.parametrize(
    "worse", [{"seen": 0.1}, {"misfit": 0.2}, {"bare": 1.3}, {"beside": 0}], ids=str
)
def test_each_kind_of_evidence_counts(worse):
    scores = np.full(12, 0.4)
    assert judged(scores, **worse).max() < judged(scores).min() - 0.05


def test_a_few_that_fit_badly_do_not_vouch_for_each_other():
    """As on pictures without squares: four warm places in one plane by chance."""
    assert judged(np.full(4, 0.45), misfit=0.06).max() < MIN_CONFIDENCE
    assert judged(np.full(30, 0.45), misfit=0.06).min() > MIN_CONFIDENCE


def test_neighbours_vouch_only_as_far_as_they_are_sure():
    squares = np.array([[x, y] for y in range(3) for x in range(4)], float) * 1.1
    alone = squares.max(axis=0) + 3
    corners = np.concatenate([squares, alone[None]])[:, None] + UNIT
    beside = np.stack([row.ahead for row in ways(corners)], axis=1)
    n = len(corners)
    told = Poses(corners.mean(axis=1), np.zeros(n), np.ones(n), np.full(n, 0.01))
    scores = np.full(n, 0.35)
    sure = confidence(scores, np.full((n, 4), 0.7), told, np.zeros(n), beside)
    assert sure[:-1].min() > sure[-1]
    scores[:-1] = 0.01
    unsure = confidence(scores, np.full((n, 4), 0.7), told, np.zeros(n), beside)
    assert unsure.max() < MIN_CONFIDENCE


def test_guessed_sides_cap_the_confidence():
    seen, shown = np.ones((10, 4)), np.ones((10, 4))
    seen[3, 1] = 0.1
    sure = with_guesses(np.full(10, 0.99), seen, shown)
    assert sure[3] == MAX_GUESSED_CONFIDENCE
    assert np.delete(sure, 3).min() == 0.99
    shown[:4, 2] = 0.0
    assert with_guesses(np.full(10, 0.99), np.ones((10, 4)), shown).max() == MAX_GUESSED_CONFIDENCE
