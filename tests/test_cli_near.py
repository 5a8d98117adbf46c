"""``calicount near`` and ``calicount partner``."""

import json

import pytest
from drawn import looked_at, stand_in

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.store.catalogue_file import default_file


@pytest.fixture
def kept(monkeypatch):
    stand_in(monkeypatch.setattr)
    with Catalogue(default_file()) as catalogue:
        catalogue.add("Blues", None, [looked_at(1, 3, 4)])
        catalogue.add("blue scraps", None, [looked_at(2, 2, 3)])
        yield catalogue


def told(ended):
    assert ended.exit_code == 0, ended.output
    return ended.stdout


def squares(ended):
    return [(one["bundle"], one["square"]) for one in json.loads(told(ended))["squares"]]


class TestNear:
    def test_words_need_no_quotes(self, kept, calicount, monkeypatch):
        monkeypatch.setenv("COLUMNS", "160")
        text = told(calicount("near", "dusty", "teal", "--number", "3"))
        assert text.startswith("Nearest to dusty teal (about #5c8c84)")
        assert len(text.splitlines()) == 6
        assert text.count("free") == 3
        assert "clearly different" in text or "a visible step" in text

    def test_a_square_is_not_its_own_neighbour(self, kept, calicount):
        found = squares(calicount("near", "blues:r1c1", "--json"))
        assert ("Blues", "R1C1") not in found
        assert len(found) == 12

    def test_json_tells_all(self, kept, calicount):
        read = json.loads(told(calicount("near", "#4f7f86", "--number", "1", "--json")))
        assert read["asked"]["hex"] == read["asked"]["words"] == "#4f7f86"
        (one,) = read["squares"]
        assert {"bundle", "square", "colour_name", "hex", "value", "state", "size_in"} <= set(one)
        assert {"palette", "palette_at_wall", "print_scale", "directional", "repeat_in"} <= set(one)
        assert all(set(part) == {"hex", "name", "share", "ground"} for part in one["palette"])
        assert one["difference_in_words"]

    def test_only_free_ones_unless_asked(self, kept, calicount):
        (one,) = (kept.bundle("blues").square("R1C1").id,)
        kept.do("blues", [say.MarkedSquares([one], "cut"), say.NamedSquares.of([one], "sea")])
        text = ["near", "--bundle", "blues", "--number", "20"]
        assert "R1C1" not in told(calicount(*text))
        assert "R1C1 (sea)" in told(calicount(*text, "--all"))
        assert "cut" in told(calicount(*text, "--all"))

    def test_by_value_and_bundle(self, kept, calicount):
        found = squares(calicount("near", "--value", "dark", "--bundle", "blues", "--json"))
        assert found
        assert {name for name, _ in found} == {"Blues"}

    def test_by_fabric(self, kept, calicount):
        found = squares(calicount("near", "--fabric", "blues:R2C2", "--json"))
        assert ("Blues", "R2C2") in found

    def test_by_size(self, kept, calicount):
        assert squares(calicount("near", "teal", "--size", "10", "--json")) == []
        assert len(squares(calicount("near", "teal", "--size", "12.7 cm", "--json"))) == 12

    def test_left_over(self, kept, calicount):
        numbers = [one.id for one in kept.bundle("blues").by_label.values()]
        head = {"title": "t", "pattern": "", "rules": "{}", "tally": "[]", "enough": 1}
        sets = [(1, "", 1.0, 1.0, "", "[]", tuple(numbers[:11]))]
        kept.keep_count(kept.bundle("blues"), head, sets)
        found = squares(calicount("near", "--bundle", "blues", "--left-over", "--json"))
        assert found == [("Blues", "R3C4")]

    def test_which_was_meant_is_said(self, kept, calicount):
        kept.rename("blues", "5")
        text = " ".join(told(calicount("near", "5R3C2", "--number", "1")).split())
        assert "taken for the square R3C2 of the bundle 5" in text
        assert "Nearest to R3C2 of 5" in text

    def test_nothing_found_says_what_to_leave_out(self, kept, calicount):
        assert "add --all" in told(calicount("near", "teal", "--size", "10"))

    @pytest.mark.parametrize(
        ("words", "said"),
        [
            (["tael"], "perhaps you mean teal"),
            (["blues:R9C9"], "R9C9 can't be found in blues"),
            ([], "nothing to look for was named"),
            (["teal", "--bundle", "reds"], "no bundle is called 'reds'"),
            (["teal", "--size", "big"], "big"),
            (["5R", "3/40"], "no Munsell colour"),
        ],
    )
    def test_mistakes_are_one_sentence(self, kept, calicount, words, said):
        ended = calicount("near", *words)
        assert ended.exit_code == 2
        assert said in ended.stderr
        assert ended.stderr.count("\n") == 1

    def test_nothing_is_kept_yet(self, calicount):
        ended = calicount("near", "teal")
        assert ended.exit_code == 2
        assert "no bundle is kept yet; keep one with: calicount add" in ended.stderr


class TestPartner:
    @pytest.mark.parametrize("words", [["blue scraps:R1C2"], ["blue scraps", "R1C2"],
                                       ["blue", "scraps", "r1c2"]])  # fmt: skip
    def test_ways_to_name_the_square(self, kept, calicount, words, monkeypatch):
        monkeypatch.setenv("COLUMNS", "160")
        text = told(calicount("partner", *words))
        assert text.startswith("Best partners for R1C2 of blue scraps")
        assert "give or take" in text

    def test_json_tells_how_sure(self, kept, calicount):
        read = json.loads(told(calicount("partner", "blues:R1C1", "--number", "2", "--json")))
        assert read["square"]["square"] == "R1C1"
        assert len(read["partners"]) == 2
        assert all(one["doubt"] > 0 and one["difference"] >= 0 for one in read["partners"])

    def test_none_left(self, kept, calicount):
        kept.remove("blue scraps")
        numbers = [one.id for one in kept.bundle("blues").by_label.values()]
        kept.do("blues", [say.MarkedSquares(numbers[1:], "cut")])
        assert "No free square" in told(calicount("partner", "blues:R1C1"))

    def test_one_that_is_used_already(self, kept, calicount):
        kept.do("blues", [say.MarkedSquares([kept.bundle("blues").square("R1C1").id], "cut")])
        ended = calicount("partner", "blues:R1C1")
        assert ended.exit_code == 2
        assert "R1C1 of Blues is cut" in ended.stderr

    @pytest.mark.parametrize(
        ("text", "said"),
        [
            ("teal", "'teal' names no square"),
            ("", "'' names no square"),
            ("reds R1C2", "no bundle is called 'reds'"),
            ("R1C2", "may be a square of several bundles"),
            ("blues R9C9", "R9C9 can't be found in blues"),
        ],
    )
    def test_no_square(self, kept, calicount, text, said):
        ended = calicount("partner", text)
        assert ended.exit_code == 2
        assert said in ended.stderr
