"""Of small faults in what counts, cuts, matches and guards nine in ten are noticed."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import mutation


@pytest.mark.parametrize("area", mutation.AREAS.values(), ids=list(mutation.AREAS))
def test_areas_name_modules_and_tests_that_are_there(area):
    assert all(any(mutation.ROOT.glob(modules)) for modules in area.modules)
    assert all((mutation.ROOT / "tests" / f"test_{name}.py").exists() for name in area.tests)


@pytest.mark.slow
@pytest.mark.parametrize("name", mutation.AREAS)
def test_nine_of_ten_faults_are_noticed(name, tmp_path):
    pytest.importorskip("mutmut", reason="needs the extra `mutation`")
    outcome = mutation.run_area(mutation.AREAS[name], 40, 1, tmp_path)
    assert outcome.share >= mutation.AIM, mutation.told(name, outcome)
