"""What finding works out by itself is what SciPy says, which is slow to load."""

import numpy as np
from scipy.interpolate import barycentric_interpolate
from scipy.ndimage import convolve1d, gaussian_filter, gaussian_filter1d
from scipy.special import expit, softmax

from catalog.finding.edges import edge_profile, offset_consensus
from catalog.finding.smoothing import gaussian, logistic, smoothed
from catalog.finding.smoothing import softmax as shares

MADE = np.random.default_rng(3)


def test_probabilities_and_shares():
    logits = MADE.normal(0, 9, (30, 40))
    np.testing.assert_allclose(logistic(logits), expit(logits), rtol=1e-14)
    assert logistic(np.array([-1e4, 1e4])).tolist() == [0.0, 1.0]
    some = logits.astype(np.float32)
    np.testing.assert_allclose(shares(some), softmax(some, axis=-1), rtol=1e-6)


def test_smoothed_along_any_axis_with_nothing_beyond():
    votes = MADE.random((7, 4, 41))
    told = gaussian_filter1d(votes, 2.3, axis=-1, mode="constant")
    np.testing.assert_allclose(smoothed(votes, gaussian(2.3, 9)), told, rtol=1e-12)
    cube = MADE.random((9, 8, 7))
    for axis in range(3):
        told = smoothed(told if axis else cube, gaussian(1.2, 3), axis=axis)
    np.testing.assert_allclose(told, gaussian_filter(cube, 1.2, mode="constant", radius=3))


def test_a_growth_counts_for_those_beside_it():
    ballot = MADE.random((6, 21))
    told = convolve1d(ballot, offset_consensus.BLUR, mode="nearest")
    np.testing.assert_allclose(offset_consensus._blurred(ballot), told, rtol=1e-14)


def test_weights_of_knots_carry_any_polynomial_through_them():
    knots, at = np.linspace(-0.6, 0.6, 5), np.linspace(-0.7, 0.7, 33)
    told = barycentric_interpolate(knots, np.eye(5), at)
    np.testing.assert_allclose(edge_profile._lagrange(knots, at), told, atol=1e-6)
