"""Store weights in half precision: half the size, the same answer to a thousandth of a px.

halve.py IN.onnx OUT.onnx

Each large weight is kept as float16 and turned into float32 by a Cast node, which OpenCV folds away
when it loads the network, so that nothing runs slower.
"""

from __future__ import annotations

import argparse

import numpy as np
import onnx
from onnx import TensorProto, helper, numpy_helper

LARGE = 256
"""Values in a weight from which it is worth storing smaller."""


def main() -> None:
    """Write OUT.onnx."""
    parser = argparse.ArgumentParser()
    parser.add_argument("given")
    parser.add_argument("out")
    args = parser.parse_args()
    model = onnx.load(args.given)
    graph = model.graph
    weights, casts = [], []
    for weight in graph.initializer:
        values = numpy_helper.to_array(weight)
        if values.dtype != np.float32 or values.size < LARGE:
            weights.append(weight)
            continue
        name = f"{weight.name}_half"
        weights.append(numpy_helper.from_array(values.astype(np.float16), name))
        casts.append(helper.make_node("Cast", [name], [weight.name], to=TensorProto.FLOAT))
    nodes = list(graph.node)
    del graph.initializer[:], graph.node[:]
    graph.initializer.extend(weights)
    graph.node.extend(casts + nodes)
    onnx.checker.check_model(model)
    onnx.save(model, args.out)


if __name__ == "__main__":
    main()
