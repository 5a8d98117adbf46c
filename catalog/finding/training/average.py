"""Average the weights of a network before and after it was trained further.

average.py BEFORE.onnx AFTER.onnx OUT.onnx [SHARE]

What further training gains on what it was shown it can lose elsewhere; halfway between the weights
most of the gain is kept and the loss is gone (M. Wortsman and others, "Robust fine-tuning of
zero-shot models", CVPR 2022).
"""

from __future__ import annotations

import argparse

import numpy as np
import onnx
from onnx import numpy_helper


def averaged(before: str, after: str, share: float) -> onnx.ModelProto:
    """The network whose weights lie so far (0 to 1) from those before to those after."""
    one, other = onnx.load(before), onnx.load(after)
    for first, second in zip(one.graph.initializer, other.graph.initializer, strict=True):
        a, b = numpy_helper.to_array(first), numpy_helper.to_array(second)
        if b.dtype.kind == "f":
            mean = (1 - share) * a.astype(np.float32) + share * b.astype(np.float32)
            second.CopyFrom(numpy_helper.from_array(mean.astype(b.dtype), second.name))
    return other


def main() -> None:
    """Average two files."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("before")
    options.add_argument("after")
    options.add_argument("out")
    options.add_argument("share", nargs="?", type=float, default=0.5)
    given = options.parse_args()
    onnx.save(averaged(given.before, given.after, given.share), given.out)


if __name__ == "__main__":
    main()
