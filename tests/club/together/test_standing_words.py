"""What is to be settled, in sentences that say what to do."""

from datetime import datetime, timedelta

from obslog.club.night.nights import start_night
from obslog.club.register.named_records import add
from obslog.club.storeroom.kits import add_kit
from obslog.club.together.writing import WhatToTell
from obslog.records.bundles.choosing import mark_told
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


def test_of_many_that_wait_for_the_same_one_is_told(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    write_nothing = WhatToTell(untold=True)
    give(there, here)
    add(there, "site", "Hut", {"lat_deg": 51.0, "lon_deg": 1.0, "zone": "Europe/London"}, now)
    with there.write(now) as session:
        mark_told(session)  # as if the bundle with the site had been lost
    for days in range(3):
        start_night(there, "Hut", now + timedelta(days=days))
    (one,) = give(there, here, write_nothing).to_settle
    missing = one.sentence.split("a record ")[1][:6]
    assert one.sentence == (
        f"Night {one.reference} (and 2 more) belongs to a record {missing} that is not here: it was removed, or did "
        "not come along."
    )
    assert give(there, here).to_settle == []
