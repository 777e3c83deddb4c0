"""A site on record as a place to look from: with its horizon, at sea level and by UTC where nothing else is known."""

from zoneinfo import ZoneInfo

from obslog.club.register.observing_site import place_of, view_from, zone_or_none, zone_or_utc
from obslog.records.tables.logbook_tables import Site
from obslog.values import Place


def test_what_hides_the_sky_comes_with_the_site() -> None:
    view = view_from(
        Site(
            name="Tarn",
            name_key="Tarn",
            lat_deg=54.0,
            lon_deg=-3.0,
            zone="Europe/London",
            horizon="0:10,180:20",
        )
    )
    assert view is not None
    assert view.horizon == ((0.0, 10.0), (180.0, 20.0))
    assert (view.site, view.zone) == ("Tarn", ZoneInfo("Europe/London"))


def test_what_is_not_on_record_is_sea_level_and_utc_but_never_a_place() -> None:
    bare = Site(name="Moor", name_key="Moor", lat_deg=0.0, lon_deg=0.0)
    assert place_of(bare) == Place(0.0, 0.0, 0.0)
    view = view_from(bare)
    assert view is not None
    assert (view.zone, view.horizon, zone_or_none(bare)) == (ZoneInfo("UTC"), (), None)
    for half in (
        Site(name="Half", name_key="Half", lat_deg=50.0),
        Site(name="Half", name_key="Half", lon_deg=5.0),
        Site(name="None", name_key="None"),
    ):
        assert place_of(half) is None
        assert view_from(half) is None
    assert zone_or_utc("Africa/Johannesburg") == ZoneInfo("Africa/Johannesburg")
