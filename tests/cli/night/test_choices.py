"""Which night and which set-up are meant."""

from datetime import date

from obslog.cli.night.choices import WhichNight, WhichSetup
from obslog.club.night.open_night import NightChoice, SetupChoice

NIGHT = date(2026, 3, 2)


def test_what_names_a_night_is_its_choice() -> None:
    assert WhichNight(site="Mill Field", night=NIGHT).choice() == NightChoice(site="Mill Field", night=NIGHT)


def test_what_names_a_setup_is_its_choice() -> None:
    named = WhichSetup(site="Mill Field", night=NIGHT, setup=2)
    assert named.choice("Heron") == SetupChoice(mount="Heron", site="Mill Field", night=NIGHT, ordinal=2)


def test_nothing_named_means_the_open_one() -> None:
    assert WhichNight().choice() == NightChoice()
    assert WhichSetup().choice(None) == SetupChoice()
