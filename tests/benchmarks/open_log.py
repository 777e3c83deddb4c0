"""How long it takes to give 10,000 observations out as a log, against lxml writing the same elements.

lxml is handed the finished texts: its side is building the tree, element by element, and writing it into a file. Ours
reads the database, looks every target up and writes.
"""

import random
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from lxml import etree

from obslog.club.bring_in.intake import Intake
from obslog.club.open_log.log_out import LogChoice, write_log_to
from obslog.club.register import named_records
from obslog.records.database import Database
from obslog.records.opening import open_database
from obslog.records.tables.logbook_tables import (
    Eyepiece,
    Member,
    Mount,
    Night,
    Observation,
    Setup,
    Site,
    Tube,
)
from tests.benchmarks.measuring import Report, in_turn

OBSERVATIONS, A_NIGHT = 10_000, 20
NOW = datetime(2026, 3, 2, tzinfo=UTC)
WORDS = (
    "oval",
    "glow",
    "brighter middle",
    "at once",
    "with averted vision",
    "a faint star beside it",
    "& nothing < else",
)


def fill(database: Database) -> None:
    """Nights of twenty observations by four members of the hundred and ten Messier objects."""
    things: list[tuple[str, str, dict[str, Any]]] = [
        ("site", "Tarn", {"lat_deg": 52.2, "lon_deg": 0.12, "elevation_m": 20.0, "zone": "Europe/London"}),
        *(("member", f"Observer Number{n}", {}) for n in range(4)),
        ("mount", "Heron", {"mount_type": "german", "controller": "shift"}),
        ("tube", "Long tube", {"aperture_mm": 212.0, "focal_mm": 1000.0}),
        *(("eyepiece", f"Wide {mm}", {"focal_mm": float(mm), "field_deg": 60.0}) for mm in (10, 16, 25)),
    ]
    for kind, name, values in things:
        named_records.add(database, kind, name, values, NOW)
    chance = random.Random(1)
    with database.write(NOW, "made") as session:
        keys = {
            kind: [record.id for record in session.query(kind)]
            for kind in (Site, Member, Mount, Tube, Eyepiece)
        }
        intake = Intake(session=session, rows=(), now=NOW)
        for place in range(OBSERVATIONS):
            if place % A_NIGHT == 0:
                dusk = datetime(2020, 1, 1, 19, tzinfo=UTC) + timedelta(days=3 * place // A_NIGHT)
                night = intake.add(
                    Night,
                    site_id=keys[Site][0],
                    night_of=dusk.date(),
                    started_utc=dusk,
                    open=False,
                    note=None,
                )
                setup = intake.add(
                    Setup,
                    night_id=night,
                    mount_id=keys[Mount][0],
                    tube_id=keys[Tube][0],
                    ordinal=1,
                    open=False,
                )
            intake.add(
                Observation,
                night_id=night,
                at_utc=dusk + timedelta(minutes=10 * (place % A_NIGHT)),
                target=f"M {chance.randrange(1, 111)}",
                sighting="seen",
                setup_id=setup,
                member_id=chance.choice(keys[Member]),
                eyepiece_id=chance.choice(keys[Eyepiece]),
                magnification=40.0,
                rating=chance.randrange(1, 6),
                description=" ".join(chance.choices(WORDS, k=12)),
            )
        intake.write()


def by_lxml(root: Any, file: Path) -> None:
    """Build the same elements anew, with their texts and attributes, and write them."""

    def put(parent: Any, told: Any) -> None:
        tag, attributes, text, children = told
        made = etree.SubElement(parent, tag, attributes)
        made.text = text
        for child in children:
            put(made, child)

    tag, attributes, _, children = root
    top = etree.Element(tag, attributes, nsmap={"oal": "http://groups.google.com/group/openastronomylog"})
    for child in children:
        put(top, child)
    etree.ElementTree(top).write(str(file), xml_declaration=True, encoding="UTF-8")


def told(element: Any) -> tuple[str, dict[str, str], str | None, list[Any]]:
    """An element as plain values."""
    return element.tag, dict(element.attrib), element.text, [told(child) for child in element]


def main(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        database = open_database(str(folder / "club.db"), NOW, lambda _text: None)
        fill(database)
        log, other = folder / "log.xml", folder / "lxml.xml"

        def ours() -> None:
            log.unlink(missing_ok=True)
            assert write_log_to(database, log, LogChoice()).observations == OBSERVATIONS

        ours()
        elements = told(etree.parse(str(log)).getroot())
        mine, lxmls = in_turn([ours, lambda: by_lxml(elements, other)], runs=3)
        assert len(etree.parse(str(other)).getroot()) == len(elements[3])
        database.close()
        report.add(
            f"giving {OBSERVATIONS:,} observations out as a log, from the database",
            "lxml building and writing the same elements",
            mine / lxmls,
            at_most=3,
        )
