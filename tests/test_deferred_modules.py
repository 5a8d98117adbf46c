import importlib
import itertools
import sys
import threading

import numpy as np
import pytest

from catalog.system.deferred_modules import defer, let_all_run
from catalog.system.late_names import LateFrameCheck, LateName

names = (f"waits{number}" for number in itertools.count())


@pytest.fixture
def package(tmp_path, monkeypatch):
    """Return the name of a package of two parts that notes when it runs; it takes its time."""
    name = next(names)
    folder = tmp_path / name
    folder.mkdir()
    (folder / "__init__.py").write_text(
        "import sys, time\n"
        f"sys.ran = [*getattr(sys, 'ran', ()), {name!r}]\n"
        "time.sleep(0.05)\n"
        f"from {name}.slow import SLOW\n"
        f"from {name}.quick import QUICK\n"
        "__all__ = ['QUICK', 'SLOW']\n"
    )
    (folder / "quick.py").write_text("QUICK = 1\n")
    (folder / "slow.py").write_text(f"from {name} import quick\nSLOW = quick.QUICK + 1\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.setattr(sys, "ran", [], raising=False)
    yield name
    for module in [one for one in sys.modules if one.split(".")[0] == name]:
        del sys.modules[module]


@pytest.fixture
def late(package, tmp_path):
    """Return the scope of one that took a function, a class and a check from what waits."""
    (tmp_path / package / "__init__.py").write_text(
        f"import sys\nsys.ran = [{package!r}]\n"
        "def doubled(one): return one * 2\n"
        "class Kind:\n    made = 3\n"
        "def is_frame(one): return one == 'frame'\n"
    )
    defer(package, {"doubled": LateName, "Kind": LateName, "is_frame": LateFrameCheck})
    scope = {}
    exec(f"from {package} import Kind, doubled, is_frame", scope)
    assert sys.ran == []
    return scope


def test_a_function_is_named_before_it_is_called(late):
    assert late["doubled"](2) == 4
    assert len(sys.ran) == 1
    assert type(late["doubled"](2)) is int
    assert len(sys.ran) == 1


@pytest.mark.parametrize(
    "use",
    [
        "assert Kind.made == Kind().made == 3",
        "class Own(Kind): pass\nassert Own.made == 3 and issubclass(Own, Kind)",
        "assert not isinstance(3, Kind)",
        "assert isinstance(3, int | Kind) and not isinstance(3, Kind | None)",
        "class Own(int):\n    twice = doubled\nassert Own(4).twice() == 8",
        "class Own:\n    kind = Kind\nassert Own().kind.made == 3",
        "assert not hasattr(doubled, '__wrapped__')",
    ],
)
def test_it_is_run_for_whoever_uses_what_is_named(late, use):
    exec(use, late)
    assert len(sys.ran) == 1


def test_it_is_not_run_for_what_is_annotated_with_it(late):
    exec("def told(one: Kind | None, *more: list[str | Kind]) -> Kind: ...", late)
    assert sys.ran == []


def test_an_array_is_known_to_be_no_data_frame(late):
    assert late["is_frame"](np.zeros(1)) is False
    assert sys.ran == []
    assert late["is_frame"]("frame")
    assert len(sys.ran) == 1


def test_once_it_is_run_the_names_are_its_own(late, package):
    late["doubled"](1)
    held = importlib.import_module(package)
    assert not isinstance(held.doubled, LateName)
    assert not isinstance(held.Kind, LateName)


def test_where_nothing_is_to_wait_any_more_all_is_run_that_is_imported(package):
    for name in (package, f"{package}.slow"):
        defer(name, {"SLOW": LateName})
    held = importlib.import_module(package)
    let_all_run()
    assert sys.ran == []
    assert (held.SLOW, importlib.import_module(package).SLOW) == (2, 2)
    assert importlib.import_module(f"{package}.slow").SLOW == 2
    assert sys.ran == [package]


def test_what_is_compiled_does_not_wait(monkeypatch):
    monkeypatch.delitem(sys.modules, "_statistics", raising=False)
    defer("_statistics")
    assert "_normal_dist_inv_cdf" in vars(importlib.import_module("_statistics"))


def test_a_part_waits_whose_package_is_not_imported_yet(package):
    defer(f"{package}.slow", {"SLOW": LateName})
    held = importlib.import_module(package)
    assert isinstance(held.SLOW, LateName)
    assert sys.ran == [package]


def test_a_part_is_imported_and_the_package_not_run(package):
    defer(package)
    assert importlib.import_module(f"{package}.quick").QUICK == 1
    assert f"{package}.slow" not in sys.modules
    assert sys.ran == []


def test_what_a_part_gives_is_taken_from_it(package):
    defer(package, {"QUICK": "quick"})
    scope = {}
    exec(f"from {package} import QUICK", scope)
    assert (scope["QUICK"], sys.ran) == (1, [])


@pytest.mark.parametrize("part", ["gone", "slow"])
def test_where_the_part_has_it_no_more_the_package_is_run(package, part):
    defer(package, {"QUICK": part})
    assert importlib.import_module(package).QUICK == 1
    assert sys.ran == [package]


def test_a_part_that_wants_the_whole_package_gets_it(package, tmp_path):
    """Its package then imports the part that is half-made, and fails; it is imported as ever."""
    (tmp_path / package / "quick.py").write_text(f"from {package} import SLOW\nQUICK = SLOW - 1\n")
    (tmp_path / package / "slow.py").write_text("SLOW = 2\n")
    defer(package, {"QUICK": "quick"})
    held = importlib.import_module(package)
    assert (held.QUICK, held.SLOW) == (1, 2)
    assert (importlib.import_module(package).QUICK, sys.modules[f"{package}.quick"].QUICK) == (1, 1)


def test_asked_for_more_it_is_run_once_where_it_is(package):
    defer(package)
    held = importlib.import_module(package)
    assert held.SLOW == 2
    assert held.QUICK == 1
    assert sys.ran == [package]
    assert importlib.import_module(package) is held
    assert importlib.reload(held) is held


def test_all_of_it_can_be_asked_for(package):
    defer(package)
    scope = {}
    exec(f"from {package} import *", scope)
    assert (scope["QUICK"], scope["SLOW"]) == (1, 2)


def test_whoever_looks_what_it_has_sees_all(package):
    defer(package)
    held = importlib.import_module(package)
    assert {"QUICK", "SLOW"} <= set(dir(held))
    assert sys.ran == [package]
    assert not {"__getattr__", "__dir__"} & set(vars(held))


def test_what_it_has_not_is_missing_before_and_after(package):
    defer(package)
    held = importlib.import_module(package)
    assert not hasattr(held, "__wrapped__")
    assert sys.ran == []
    for _ in range(2):
        with pytest.raises(AttributeError, match="'nothing'"):
            _ = held.nothing
    assert sys.ran == [package]


def test_many_threads_that_ask_wait_for_one_run(package):
    defer(package)
    held = importlib.import_module(package)
    given, together = [], threading.Barrier(8)

    def ask():
        together.wait()
        given.append(held.SLOW)

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert given == [2] * 8
    assert sys.ran == [package]


def test_what_is_imported_or_missing_is_left_alone(package):
    importlib.import_module(package)
    held = sys.modules[package]
    defer(package)
    defer("no_such_module_anywhere")
    defer(f"{package}.no_such_part")
    assert sys.modules[package] is held
    assert "no_such_module_anywhere" not in sys.modules


def test_a_fault_of_its_own_is_raised_to_whoever_asks(package, tmp_path):
    (tmp_path / package / "__init__.py").write_text("raise ImportError('broken')\n")
    defer(package)
    with pytest.raises(ImportError, match="broken"):
        _ = importlib.import_module(package).SLOW
