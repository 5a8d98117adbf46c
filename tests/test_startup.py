import subprocess
import sys
from pathlib import Path

from waiting import LONG

from catalog.catalogue.bundle_catalogue import Catalogue

ROOT = Path(__file__).parents[1]
HEAVY = {
    "PIL",
    "colour",
    "cv2",
    "jinja2",
    "matplotlib",
    "networkx",
    "numpy",
    "pandas",
    "pillow_heif",
    "platformdirs",
    "rustworkx",
    "scipy",
    "sklearn",
}
"""What the work needs and a start doesn't."""


def loaded(code):
    """Return the packages that a fresh interpreter has loaded after the code."""
    return {name.split(".")[0] for name in modules(code)}


def modules(code):
    """Return the modules that a fresh interpreter has after the code."""
    ended = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys; print('LOADED', *sys.modules)"],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        timeout=LONG,
        check=True,
    )
    return set(ended.stdout.split("LOADED")[1].split())


def test_importing_the_command_loads_nothing_heavy():
    assert loaded("import cli.main") & (HEAVY | {"rich"}) == set()


def after(*commands):
    """Return the packages that are loaded when the commands, one after another, have ended."""
    runs = (f"try:\n    app({words!r})\nexcept SystemExit:\n    pass" for words in commands)
    return loaded("\n".join(("from cli.main import app", *runs)))


def test_help_and_typing_mistakes_load_nothing_heavy():
    assert after(["--help"], ["count", "--help"], ["count"], ["demo", "--x"]) & HEAVY == set()


def started(*words):
    """Return the modules that are loaded when a command as typed in the shell has ended."""
    code = f"""
import sys
from cli import start
start._leave = print  # which ends the process as the command does, be it wrong
sys.argv[1:] = {words!r}
try:
    start.run()
except SystemExit:
    pass
"""
    return modules(code)


def test_help_is_written_without_parsers_of_other_languages():
    seen = started("count", "--help")
    assert "rich.console" in seen
    assert seen & {"markdown_it", "pygments"} == set()


def test_colours_are_looked_up_without_what_numpy_hardly_uses(tmp_path):
    place = tmp_path / "empty.catalogue"
    Catalogue(place).close()
    seen = started("near", "teal", "--catalogue", str(place))
    assert {"numpy", "numpy._typing"} <= seen
    assert seen & {"numpy._typing._dtype_like", "selectors"} == set()


def test_what_waits_at_the_start_is_whole_for_whoever_uses_it():
    code = """
from catalog.system.light_start import WAITING, let_wait
let_wait()
import pickle, random, shutil, subprocess, sys, tempfile, traceback, zipfile
from difflib import get_close_matches
from typing import NamedTuple, get_type_hints
import numpy as np
from numpy.typing import NDArray
Floats = NDArray[np.float64]
class Sums(NamedTuple):
    rows: NDArray[np.intp]
def told(one: Floats | None, *more: list[Floats]) -> "Floats": ...
assert "numpy._typing._dtype_like" not in sys.modules
assert pickle.loads(pickle.dumps(Sums(np.arange(2)))).rows.tolist() == [0, 1]
assert get_close_matches("blu", ["blue", "red"]) == ["blue"]
assert random.Random(1).random() == random.Random(1).random()
with tempfile.TemporaryDirectory() as folder:
    assert zipfile.is_zipfile(shutil.make_archive(folder + "/one", "zip", folder))
assert subprocess.run([sys.executable, "-c", ""], check=True).returncode == 0
try:
    raise ValueError("told")
except ValueError:
    assert "ValueError: told" in traceback.format_exc()
assert Floats.__origin__ is np.ndarray and get_type_hints(told)
"""
    assert "numpy" in loaded(code)


def test_orders_that_make_no_sense_are_refused_before_the_heavy_ones_are_loaded():
    assert after(("count", "x.jpg", "--square", "nonsense")) & HEAVY <= {"numpy", "platformdirs"}


def test_text_and_paths_are_taken_as_typed_and_numbers_and_choices_are_looked_at():
    size = ["size", "half-square-triangle", "--square", "4 1/2"]
    assert after(size, ["count", "x.jpg", "--out", "y", "--square", "n"]) & {"pydantic"} == set()
    assert "pydantic" in after(["count", "x.jpg", "--sets", "3"])


def test_importing_the_library_loads_nothing_heavy():
    assert loaded("import catalog; dir(catalog)") & HEAVY == set()


def test_pandas_and_what_clusters_wait_until_they_are_needed(tmp_path):
    """A catalogue is opened without them; a frame brings pandas, and nothing that clusters."""
    place = tmp_path / "empty.catalogue"
    Catalogue(place).close()
    opened = f"import catalog; kept = catalog.open_catalogue({str(place)!r})"
    assert loaded(f"{opened}; catalog.count") & {"pandas", "sklearn", "colour"} == set()
    assert loaded(f"{opened}; kept.bundles") & {"pandas", "sklearn", "colour"} == {"pandas"}


def test_what_clusters_is_not_loaded_for_photos_without_squares(no_squares, tmp_path):
    words = tmp_path / "words.jpg"
    words.write_text("no photo", encoding="utf-8")
    counts = [("count", str(one), "--out", str(tmp_path / "out")) for one in (words, no_squares)]
    found = after(*counts)
    assert "cv2" in found
    assert found & {"pandas", "sklearn", "colour"} == set()


def test_the_guard_sees_what_is_loaded():
    assert "numpy" in loaded("import catalog.models") & HEAVY


def test_no_two_threads_begin_to_import_scipy():
    code = """
import sys, threading
from catalog.system import early_imports
began = []
class Recorded(threading.Thread):
    def start(self):
        began.append(sys.modules["scipy"].__spec__._initializing)
threading.Thread = Recorded
early_imports.import_early()
assert began == [False], began
"""
    assert "scipy" in loaded(code)


def test_imports_wait_for_what_they_are_to_come_after():
    code = """
import sys, threading
from catalog.system import early_imports
early_imports.import_clustering = lambda: None
seen = []
early_imports.import_early("colorsys", after=lambda: seen.append("colorsys" in sys.modules))
[one.join() for one in threading.enumerate() if one is not threading.current_thread()]
assert (seen, "colorsys" in sys.modules) == ([False], True)
"""
    assert "scipy" in loaded(code)


def test_what_clusters_arrays_does_without_data_frames_and_others_find_them():
    """On its thread alone; a thread that asks for pandas meanwhile, or later, has it."""
    code = """
import sys, threading
from catalog.system.early_imports import not_found_here
with not_found_here("pandas"):
    import sklearn.cluster
    assert "pandas" not in sys.modules
    try:
        import pandas
    except ModuleNotFoundError as error:
        assert error.name == "pandas"
    other = threading.Thread(target=__import__, args=("pandas.api",))
    other.start()
    other.join()
    assert "pandas" in sys.modules
del sys.modules["pandas"]
import pandas
assert len(pandas.DataFrame({"a": [1]})) == 1
"""
    assert "pandas" in loaded(code)


def test_clustering_brings_no_statistics_and_leaves_its_libraries_whole_for_others():
    code = """
import sys
import numpy as np
from catalog.system.early_imports import import_clustering
import_clustering()
from sklearn.cluster import AgglomerativeClustering, KMeans
away = np.abs(np.subtract.outer(np.arange(6.0) ** 2, np.arange(6.0) ** 2))
from catalog.bundle.families import _UnstoredTrees
tool = AgglomerativeClustering(2, metric="precomputed", memory=_UnstoredTrees(), linkage="average")
assert tool.fit_predict(away).tolist() == [0, 0, 0, 0, 0, 1]
waited = {"scipy.stats._stats_py", "scipy.interpolate._bsplines", "rich.progress", "pandas",
          "joblib.parallel", "multiprocessing", "narwhals.dataframe", "scipy.linalg._basic"}
seen = waited & set(sys.modules)
import joblib, scipy.linalg, scipy.optimize, scipy.stats
assert joblib.Parallel(n_jobs=1)(joblib.delayed(abs)(one) for one in (-1, 2)) == [1, 2]
assert scipy.linalg.norm([3.0, 4.0]) == 5.0
assert scipy.stats.rankdata([3, 1]).tolist() == [2, 1]
assert scipy.optimize.least_squares(lambda x: x, [1.0]).success
assert len(KMeans(1, n_init=1).fit([[0.0], [2.0]]).labels_) == 2
"""
    no_others = code.replace(", KMeans", "").partition("import joblib")[0]
    assert "sklearn" in loaded(f"{no_others}\nassert not seen, seen")
    assert "sklearn" in loaded(code)


def test_where_a_library_cannot_be_imported_in_part_all_of_it_is():
    code = """
from catalog.system import early_imports
def cannot(fetch):
    raise TypeError("not to be had late")
early_imports.WAITING["sklearn.preprocessing"] = {"normalize": cannot}
early_imports.import_clustering()
import sklearn.preprocessing
from sklearn.cluster import AgglomerativeClustering
assert sklearn.preprocessing.normalize([[3.0, 4.0]]).tolist() == [[0.6, 0.8]]
assert AgglomerativeClustering(2).fit_predict([[0.0], [1.0], [9.0]]).tolist() == [0, 0, 1]
"""
    assert "sklearn" in loaded(code)
