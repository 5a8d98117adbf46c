"""The library behind calicount: from a photograph of cloth squares to a tally.

For programmers and notebooks, `count` and `open_catalogue` give tables as pandas data frames; see
`catalog.dataframes`. Errors are `catalog.errors.CalicountError` and say what to do.
"""

from typing import TYPE_CHECKING

__all__ = ["CatalogueFrames", "CountFrames", "count", "open_catalogue"]

if TYPE_CHECKING:
    from catalog.dataframes import CatalogueFrames, CountFrames, count, open_catalogue
else:

    def __getattr__(name: str) -> object:
        """Import the Python face when it is first asked for: it brings numpy and OpenCV along."""
        if name not in __all__:
            msg = f"module 'catalog' has no attribute '{name}'"
            raise AttributeError(msg)
        from catalog import dataframes

        return getattr(dataframes, name)

    def __dir__() -> list[str]:
        return sorted({*globals(), *__all__})
