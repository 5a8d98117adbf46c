import json
from pathlib import Path


def test_demo_counts_thirty_squares(calicount):
    result = calicount("demo")
    assert result.exit_code == 0, result.output
    assert result.stderr == ""
    assert "30 squares found." in result.stdout
    assert "Pinwheels" in result.stdout
    assert sorted(path.name for path in Path("calicount-demo").iterdir()) == [
        "buying.csv",
        "cutting-plan.jpg",
        "cutting.csv",
        "found.jpg",
        "sets.csv",
        "swatches.csv",
        "tally.csv",
        "values.jpg",
        "wall.csv",
        "wall.jpg",
    ]
    again = calicount("demo", "--out", "calicount-demo")
    assert again.exit_code == 2
    assert "--replace" in again.stderr
    assert calicount("demo", "--out", "calicount-demo", "--replace").exit_code == 0


def test_demo_as_json(calicount):
    result = calicount("demo", "--json", "--out", "trial")
    assert result.exit_code == 0, result.output
    told = json.loads(result.stdout)
    assert len(told["swatches"]) == 30
    assert told["tally"]["title"] == "Pinwheels"
