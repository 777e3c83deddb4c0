"""What is said of each line of a count."""

import pytest

from obslog.cli.shelves.stocktake_show import ticked_words
from obslog.club.shelves.seen import Seen, SeenOutcome
from obslog.club.storeroom.custody import StoreStatus

SAID = [
    (
        Seen(text="m", outcome=SeenOutcome.SEEN, name="Heron", tag="M-01", status=StoreStatus.IN),
        "Heron (M-01): seen",
    ),
    (
        Seen(text="m", outcome=SeenOutcome.SEEN, name="Heron", status=StoreStatus.OUT),
        "Heron: seen. On record it is on loan.",
    ),
    (
        Seen(text="m", outcome=SeenOutcome.ELSEWHERE, name="Heron", kept_at="hall", seen_at="attic"),
        "Heron: seen elsewhere at attic, kept at hall",
    ),
    (
        Seen(text="heron", outcome=SeenOutcome.SEVERAL, name="Heron", kinds=("mount", "item")),
        "heron: not ticked: the name is that of several, mount, item. Use the tag, or --kind mount.",
    ),
    (
        Seen(text="cap", outcome=SeenOutcome.A_PART, of_kits=("Kit", "Other kit")),
        "cap: not ticked, for it is a part of Kit and Other kit. Look through the kit, then tick that by its name.",
    ),
    (
        Seen(text="Kit", outcome=SeenOutcome.A_KIT, name="Kit"),
        "Kit: not ticked, for it is a kit. Tick its parts.",
    ),
    (
        Seen(
            text="Kit", outcome=SeenOutcome.A_KIT, name="Kit", parts_there=("cap", "bag"), to_tick=("Heron",)
        ),
        "Kit: there: cap, bag. Still to be ticked by themselves: Heron.",
    ),
    (
        Seen(
            text="Kit",
            outcome=SeenOutcome.A_KIT,
            name="Kit",
            parts_there=("bag",),
            parts_missing=("cap",),
            status=StoreStatus.OUT,
        ),
        "Kit: there: bag; missing: cap. On record it is on loan.",
    ),
]


@pytest.mark.parametrize(("seen", "said"), SAID)
def test_a_line_says_what_came_of_it(seen: Seen, said: str) -> None:
    assert ticked_words(seen) == said
