"""A picture drawn on a figure at hand, so that a test can ask its artists what they show."""

import numpy as np
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from obslog.report.pictures.ink import LIGHT, Ink
from obslog.report.pictures.picture import Picture


def figure_of(picture: Picture, ink: Ink = LIGHT) -> Figure:
    """The figure with the picture on it, laid out as in a file."""
    figure = Figure(figsize=(picture.width_mm / 25.4, picture.height_mm / 25.4), layout="constrained")
    picture.draw(figure, ink)
    return figure


def xs(line: Line2D) -> list[float]:
    """Where the points of a line stand from left to right, as numbers."""
    return np.asarray(line.get_xdata(), float).tolist()  # type: ignore[no-any-return]


def ys(line: Line2D) -> list[float]:
    """How high they stand."""
    return np.asarray(line.get_ydata(), float).tolist()  # type: ignore[no-any-return]


def texts_of(figure: Figure) -> list[str]:
    """All that is written in the figure, tick labels too."""
    from matplotlib.text import Text

    figure.canvas.draw()
    found = [one for one in figure.findobj(Text) if isinstance(one, Text) and one.get_visible()]
    return [one.get_text() for one in found if one.get_text()]
