"""What went wrong before at each step, and whose it was."""

from datetime import datetime, timedelta

from obslog.club.checklist.checklist import checklist
from obslog.club.night.snags import add_snag, fix_snag, list_snags
from obslog.records.database import Database
from obslog.vocabulary.steps import Step
from tests.club.checklist.test_checklist import step_of


def test_snags_stand_at_their_step_with_how_often_and_when_last(evening: Database, now: datetime) -> None:
    add_snag(evening, Step.POWER, "plug came loose", now - timedelta(hours=1))
    add_snag(evening, Step.POWER, "battery flat", now)
    (newest,) = [s for s in list_snags(evening) if s.text == "battery flat"]
    fix_snag(evening, newest.reference, "charged it", now)
    made = checklist(evening, "Heron", "Mill Field", now, member_name="Ines")
    past = step_of(made, Step.POWER).snags
    assert [(p.about, p.name) for p in past] == [
        ("mount", "Heron"), ("member", "Ines"), ("site", "Mill Field"),
    ]  # fmt: skip
    for one in past:
        assert (one.count, one.setups, one.last) == (2, 1, now)
        assert (one.last_text, one.last_remedy) == ("battery flat", "charged it")
    assert [s.step for s in made.steps if s.snags] == [Step.POWER]


def test_only_what_is_the_mounts_the_members_or_the_sites_is_told(evening: Database, now: datetime) -> None:
    add_snag(
        evening, Step.LEVEL, "a leg sank", now, mount="Bracken", member="Bram Ostler", site="Kestrel Ridge"
    )
    assert not any(s.snags for s in checklist(evening, "Heron", "Mill Field", now).steps)
    told = [
        [(p.about, p.name) for p in step_of(made, Step.LEVEL).snags]
        for made in (
            checklist(evening, "Bracken", "Mill Field", now),
            checklist(evening, "Heron", "Kestrel Ridge", now),
            checklist(evening, "Heron", "Mill Field", now, member_name="Bram Ostler"),
        )
    ]
    assert told == [[("mount", "Bracken")], [("site", "Kestrel Ridge")], [("member", "Bram Ostler")]]


def test_without_a_member_only_mount_and_site_are_told(evening: Database, now: datetime) -> None:
    add_snag(evening, Step.HOME, "clutch slipped", now)
    made = checklist(evening, "Heron", "Mill Field", now)
    assert [p.about for p in step_of(made, Step.HOME).snags] == ["mount", "site"]
