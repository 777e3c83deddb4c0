"""Lists as bars: what was seen of each, with a whole entry or with less."""

from datetime import date

from matplotlib.patches import Rectangle

from obslog.club.targets.list_progress import Progress, SeenObject
from obslog.club.targets.programmes import Needed
from obslog.report.overviews.lists_picture import lists_picture, seen_of
from tests.report.pictures.drawn_on import figure_of

DAY = date(2026, 3, 2)


def progress_with(done: int, lacking: int, total: int = 110) -> Progress:
    return Progress(
        listed="messier",
        programme="any",
        source="",
        remark="",
        member="Ines",
        total=total,
        done=[SeenObject(f"M {n}", DAY, []) for n in range(done)],
        lacking=[SeenObject(f"M {n}", DAY, [Needed.SEEING]) for n in range(lacking)],
        incomplete=[],
        to_see=[f"M {n}" for n in range(total - done - lacking)],
        steps={},
        quotas=[],
        next_month=None,
        up_next=None,
        unknown=[],
    )


def test_bars_are_shares_of_the_whole_list() -> None:
    """11 of 110 with a whole entry are 10 %; 22 more are 20 %."""
    one = progress_with(11, 22)
    picture = lists_picture([one])
    assert seen_of(one) == 33
    assert picture.rows == (("Messier", "110", "33", "11", "77"),)
    widths = [bar.get_width() for bar in figure_of(picture).axes[0].patches if isinstance(bar, Rectangle)]
    assert widths == [100, 10, 20]


def test_it_says_what_is_seen() -> None:
    assert lists_picture([progress_with(1, 0)]).description == (
        "Messier: 1 of 110 objects seen, 1 of them with a whole entry."
    )
