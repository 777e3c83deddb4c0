"""What is to be settled, in sentences that say what to do."""

from datetime import datetime, timedelta

from obslog.club.register.named_records import add
from obslog.club.storeroom.kits import add_kit
from obslog.records.opening import Database
from tests.club.together.conftest import Give


def test_two_of_one_name_two_tags_and_an_item_in_two_kits(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    for database, kit, at in ((here, "Kit one", now), (there, "Kit two", now + timedelta(minutes=1))):
        add(database, "mount", "Otter", {}, at)
        add_kit(database, kit, ["Lead battery"], at)
    told = {one.kind: one for one in give(there, here).to_settle}
    mount = told["mount"]
    assert mount.sentence == f"Two were called Otter; the second stands as Otter ({mount.reference})."
    assert mount.settle == (
        f'If they are one: obslog same Otter "Otter ({mount.reference})". '
        f'If two: obslog mount edit "Otter ({mount.reference})" --rename NAME'
    )
    part = told["kit part"]
    assert part.sentence.startswith(
        f"Kit part {part.reference} of Lead battery cannot stand beside kit part "
    )
    assert part.settle.endswith(f"drop the other: obslog conflicts drop {part.reference}")
