"""The club's steps: their order, its own words, what is left out, and what is known of a step by its key alone."""

import pytest

from obslog.club.routine.club_steps import CAUTIONS, LEFT_OUT, StepEntry, Steps, read_steps
from obslog.club.routine.step_guides import steps_for
from obslog.errors import UnknownName
from obslog.grammar.name_choice import SeveralNamesFit
from obslog.records.database import Database
from obslog.vocabulary.mounts import Controller, MountType
from obslog.vocabulary.steps import PEOPLE_DO, Step

HEATERS = StepEntry(step="dew-heaters", title="Unplug the dew heaters", do="Pull them.")
WEDGE = StepEntry(
    step="wedge", title="Tighten the wedge", do="Both bolts.", mounts=(MountType.FORK,), about_the_mount=True
)
OWN = Steps(
    [
        StepEntry(step=Step.PACK.value),
        StepEntry(step=Step.POLAR_AXIS.value, title="Point it at the pole"),
        HEATERS,
        WEDGE,
        StepEntry(step=Step.LEVEL.value, left_out=True),
    ]
)  # fmt: skip


@pytest.mark.parametrize("mount_type", [None, *MountType])
@pytest.mark.parametrize("controller", [None, *Controller])
def test_without_a_file_the_steps_are_those_that_ship(
    mount_type: MountType | None, controller: Controller | None
) -> None:
    steps = Steps()
    assert not steps.own
    assert steps.known == list(Step)
    assert steps.guides(mount_type, controller) == steps_for(mount_type, controller)
    assert steps.left_out(mount_type, controller) == ()
    assert steps.people_do == set(PEOPLE_DO)


def test_the_clubs_order_with_its_own_words_for_each_type_of_mount() -> None:
    titles = {kind: [guide.title for guide in OWN.guides(kind)] for kind in MountType}
    assert titles[MountType.GERMAN] == ["Pack box by box", "Point it at the pole", "Unplug the dew heaters"]
    assert titles[MountType.FORK] == [*titles[MountType.GERMAN], "Tighten the wedge"]
    assert titles[MountType.ALTAZ] == ["Pack box by box", "Unplug the dew heaters"]  # it has no polar axis
    polar = next(guide for guide in OWN.guides(MountType.GERMAN) if guide.step == Step.POLAR_AXIS)
    shipped = next(guide for guide in steps_for(MountType.GERMAN) if guide.step == Step.POLAR_AXIS)
    assert (polar.do, polar.tolerance, polar.why) == (shipped.do, shipped.tolerance, shipped.why)


@pytest.mark.parametrize("step", [Step.FINDER, Step.POWER, Step.COOL])
def test_a_caution_stays_whatever_the_club_puts_around_it(step: Step) -> None:
    (guide,) = Steps([StepEntry(step=step.value, do="As we like it.")]).guides(MountType.GERMAN)
    (shipped,) = [one for one in steps_for(MountType.GERMAN) if one.step == step]
    kept = [one for one in CAUTIONS if one in shipped.do]
    assert guide.do == " ".join(("As we like it.", *kept))
    assert kept


def test_what_is_left_out_is_still_known_and_says_so() -> None:
    assert OWN.keys == ["pack", "polar-axis", "dew-heaters", "wedge"]
    assert OWN.known[-1] == "level"
    assert [guide.title for guide in OWN.left_out(MountType.GERMAN)] == [f"Level the tripod ({LEFT_OUT})"]
    assert [guide.title for guide in OWN.left_out(MountType.ALTAZ)] == [f"Level the base ({LEFT_OUT})"]
    assert OWN.title("level") == f"Level the tripod ({LEFT_OUT})"
    assert OWN.title("given-up-long-ago") == "given up long ago"
    assert OWN.in_order({"wedge", "level", "pack", "old-step"}) == ["pack", "wedge", "level", "old-step"]


def test_a_step_of_the_clubs_own_speaks_of_people_unless_it_says_otherwise() -> None:
    assert OWN.of_people("dew-heaters")
    assert not OWN.of_people("wedge")
    assert OWN.people_do == {"pack", "polar-axis", "dew-heaters", "level"}


def test_when_the_turn_of_a_step_is_follows_from_the_one_that_ships_before_it() -> None:
    assert OWN.beside("pack") == "pack"
    assert OWN.beside("wedge") == "polar-axis"
    assert Steps([HEATERS, StepEntry(step="pack")]).beside("dew-heaters") == "pack"
    assert OWN.beside("level") == "level"
    assert Steps([HEATERS]).beside("dew-heaters") is None


def test_a_step_by_its_key_or_a_beginning_that_only_one_has() -> None:
    assert OWN.meant("Dew-Heaters") == "dew-heaters"
    assert OWN.meant("wed") == "wedge"
    with pytest.raises(SeveralNamesFit):
        OWN.meant("p")
    with pytest.raises(UnknownName) as refused:
        OWN.meant("sleep")
    assert "dew-heaters" in refused.value.hint


def test_of_an_empty_record_the_steps_are_those_that_ship(club: Database) -> None:
    assert read_steps(club).entries == Steps().entries
