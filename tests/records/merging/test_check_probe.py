"""What the CHECKs of the tables say of a row, without a table that holds anything."""

from obslog.records.merging.check_probe import CheckProbe
from obslog.records.merging.kinds import kinds
from tests.records.merging.test_checks import ARRIVAL, KEY


def test_what_the_tables_refuse_over_several_columns_is_asked_of_them() -> None:
    probe = CheckProbe()
    half = {**ARRIVAL, "ra_hours": 1.0}
    assert probe.breaks(kinds()["Arrival"], half)
    assert not probe.breaks(kinds()["Arrival"], {**half, "dec_deg": 2.0})
    assert not probe.breaks(kinds()["Arrival"], {**ARRIVAL, "note": "with what it is searched by"})
    assert not probe.breaks(
        kinds()["Mount"], {"id": KEY, "name": "Heron", "name_key": "heron", "kind": "mount"}
    )
    probe.close()
