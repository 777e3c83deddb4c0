"""The font of the sheets: DejaVu Sans, in the files that matplotlib brings, found without importing it."""

from importlib.util import find_spec
from pathlib import Path

from obslog.errors import ObslogError

REGULAR, BOLD = "DejaVuSans.ttf", "DejaVuSans-Bold.ttf"


class NoFont(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "The font for PDF is not there: it comes with the package matplotlib.",
            "Install the program anew, or write a page instead: --out FILE.html",
        )


def font_file(name: str) -> Path:
    """The file of a font. Raises NoFont."""
    found = find_spec("matplotlib")
    for folder in found.submodule_search_locations or () if found else ():
        file = Path(folder) / "mpl-data" / "fonts" / "ttf" / name
        if file.is_file():
            return file
    raise NoFont
