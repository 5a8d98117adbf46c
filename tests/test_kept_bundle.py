"""What the commands on kept bundles share."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.errors import CatalogueError, UsageError
from cli.bundles.named_squares import number_of, numbers_of, photo_of
from cli.bundles.open_bundle import change, quoted
from cli.options import Manner


@pytest.fixture
def blues(kept_file):
    with Catalogue(kept_file) as catalogue:
        return catalogue.bundle("blues")


def test_labels_are_taken_in_any_case_and_joined_by_a_plus(blues):
    assert numbers_of(blues, ["r1c1+R1C2", " R1C1 "]) == (
        blues.by_label["R1C1"].id,
        blues.by_label["R1C2"].id,
    )


def test_labels_that_no_square_has_are_named_with_where_to_look(blues):
    with pytest.raises(
        CatalogueError, match=r"blues has no squares R9C9, S001; calicount show blues"
    ):
        numbers_of(blues, ["R1C1", "R9C9", "S001"])


def test_one_square_is_one_square(blues):
    with pytest.raises(UsageError, match="names 2 squares"):
        number_of(blues, "R1C1+R1C2")


def test_a_photo_is_named_where_there_are_several(kept_file):
    with Catalogue(kept_file) as catalogue:
        both = catalogue.bundle("both halves")
    assert photo_of(both, 2).name == "right.jpg"
    with pytest.raises(CatalogueError, match=r"--photo: 1 \(left.jpg\), 2 \(right.jpg\)"):
        photo_of(both, None)
    with pytest.raises(CatalogueError, match="has no photo 3"):
        photo_of(both, 3)


@pytest.mark.parametrize(
    ("name", "typed"),
    [("blues", "blues"), ("both halves", '"both halves"'), ("-x", '"-x"'), ('a"b', '"a\\"b"')],
)
def test_names_as_they_are_typed(name, typed):
    assert quoted(name) == typed


def test_two_at_once_lose_nothing(kept_file):
    labels = [f"R{row}C{col}" for row in range(1, 5) for col in range(1, 4)]

    def call(label):
        change(
            "blues",
            Manner(kept_file, quiet=True),
            lambda _, kept: [say.NamedSquares.of(numbers_of(kept, [label]), f"mine {label}")],
        )

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(call, labels))
    with Catalogue(kept_file) as catalogue:
        after = catalogue.bundle("blues")
    assert [after.by_label[label].said for label in labels] == [f"mine {label}" for label in labels]
    assert len(after.events) == len(labels)
