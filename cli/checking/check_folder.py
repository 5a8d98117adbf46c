"""The folder that a check is written to: looked at before the work begins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from cli import console
from cli.checking.checking_options import CHECKED
from cli.counting.output_folder import OutputOptions, check_writable

Contents = Mapping[str, bytes | str]


def folder_of(output: OutputOptions, names: Sequence[str]) -> Path:
    """Return the folder for these files.

    Raises
    ------
    OutputError
        It can't be made or written to, or files of an earlier run are there.
    """
    from catalog.report.output_files import fresh_folder, refuse_taken

    folder = output.out or fresh_folder(Path(output.default_folder))
    check_writable(folder)
    if not output.replace:
        refuse_taken(folder, names)
    return folder


def written_to(folder: Path, contents: Contents, output: OutputOptions) -> tuple[Path, ...]:
    """Write the files; pictures that an earlier check left there go.

    It may have been of more photos, or pictures aren't asked for any more.
    """
    from catalog.report.output_files import write_files

    earlier: list[str] = []
    if output.replace:
        earlier = [f"{CHECKED}.jpg", *(one.name for one in folder.glob(f"{CHECKED}-[0-9]*.jpg"))]
        earlier += ["wall.jpg"] if "wall.csv" in contents else []
    return write_files(folder, contents, ours=earlier, replace=output.replace)


def tell_files(written: Sequence[Path]) -> None:
    """Say what was written."""
    from cli.wording import file_lines

    console.say("")
    console.say(f"Written to the folder {written[0].parent}:")
    for line in file_lines(path.name for path in written):
        console.say(line)
