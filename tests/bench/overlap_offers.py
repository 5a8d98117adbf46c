"""Processor seconds of telling which squares two photos share, by photos of 50 drawn squares.

python tests/bench/overlap_offers.py
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from test_looking_overlap import flat, grid, random_colours

from catalog.analysis import same_squares


def main() -> None:
    """Print a line for each number of photos."""
    photos = [flat(random_colours(50, seed), grid(5, 10)) for seed in range(40)]
    same_squares(photos[:2])
    for count in (5, 10, 20, 40):
        start = time.process_time()
        same_squares(photos[:count])
        sys.stdout.write(f"{count} photos: {time.process_time() - start:.2f} s\n")


if __name__ == "__main__":
    main()
