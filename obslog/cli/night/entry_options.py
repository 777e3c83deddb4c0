"""What can be told of an arrival and of an observation, when it is recorded and when it is corrected."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from obslog import fields
from obslog.cli.terminal.options import Note
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision

if TYPE_CHECKING:
    from obslog.club.night.arrival_entries import ArrivalEntry
    from obslog.club.night.observations import ObservationEntry
    from obslog.offsets import OffsetOrLanding

EyepieceOption = Annotated[
    str | None, typer.Option("--eyepiece", "-e", help="The eyepiece, if not the set-up's; none.")
]

ObjectWords = Annotated[
    list[str],
    typer.Argument(
        metavar="OBJECT [TEXT]",
        help="The object; then, in any order, not seen, suspected, averted, direct, 150x, rating 4, filter NAME, "
        "sketch FILE, eyepiece NAME, by NAME; then what it looked like.",
        show_default=False,
    ),
]
Observers = Annotated[
    list[str] | None,
    typer.Option(
        "--observer", "-o", help="Who; once for each, an entry each.", show_default="the set-up's, or you"
    ),
]
MountSeenWith = Annotated[
    str | None,
    typer.Option("--mount", "-m", help="The mount, where several are set up; none: without a set-up."),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class SightingOptions:
    """Whether it was seen at all."""

    suspected: Annotated[bool, typer.Option("--suspected", help="Not sure that it was seen.")] = False
    missed: Annotated[bool, typer.Option("--not-seen", help="Looked for, not seen: that counts too.")] = False

    def sighting(self) -> Sighting | None:
        """None where nothing of it was said: then it was seen, unless the words say otherwise."""
        return Sighting.NOT_SEEN if self.missed else Sighting.SUSPECTED if self.suspected else None


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalOptions:
    """With what an arrival was seen and by whom, and the place of an object that is not listed."""

    pier: Annotated[
        PierSide | None, typer.Option("--pier", "-p", help="The side of the pier the TUBE is on.")
    ] = None
    eyepiece: EyepieceOption = None
    field: Annotated[
        float | None,
        typer.Option("--field", help=f"The diameter of the true field, {fields.FIELD_ARCMIN.range_words}."),
    ] = None
    centring: Annotated[
        float | None,
        typer.Option("--centring", help=f"How well it was centred, {fields.CENTRING_ARCMIN.range_words}."),
    ] = None
    ra: Annotated[
        float | None,
        typer.Option(
            "--ra", help=f"Right ascension J2000, {fields.RA_HOURS.range_words}, for an unlisted object."
        ),
    ] = None
    dec: Annotated[
        float | None,
        typer.Option(
            "--dec", help=f"Declination J2000, {fields.DEC_DEG.range_words}, for an unlisted object."
        ),
    ] = None
    observer: Annotated[
        str | None, typer.Option("--observer", "-o", help="Who, if not the set-up's observer.")
    ] = None
    note: Note = None

    def entry(
        self, target: str | None, where: "OffsetOrLanding | None", at: str | None, role: Role | None = None
    ) -> "ArrivalEntry":
        """The arrival of that target, with what was told."""
        from obslog.club.night.arrival_entries import ArrivalEntry

        return ArrivalEntry(
            target=target,
            where=where,
            at=at,
            pier_side=self.pier,
            eyepiece=self.eyepiece,
            field_arcmin=self.field,
            centring_arcmin=self.centring,
            ra_hours=self.ra,
            dec_deg=self.dec,
            observer=self.observer,
            role=role,
            note=self.note,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ObservationOptions:
    """What an object looked like, and how it was found and seen."""

    text: Annotated[str | None, typer.Option("--note", "-n", "--text", help="What it looked like.")] = None
    found_by: Annotated[FindingMethod | None, typer.Option("--by", help="How it was found.")] = None
    averted: Annotated[
        bool | None,
        typer.Option("--averted/--direct", help="With averted vision only, or looked at straight."),
    ] = None
    eyepiece: EyepieceOption = None
    magnification: Annotated[
        float | None,
        typer.Option(
            "--magnification",
            help=f"The magnification, {fields.MAGNIFICATION.range_words}.",
            show_default="of the tube and the eyepiece",
        ),
    ] = None
    filter: Annotated[str | None, typer.Option("--filter", help="The filter, in your words.")] = None
    rating: Annotated[int | None, typer.Option("--rating", help=f"{fields.RATING.range_words}.")] = None
    sketch: Annotated[str | None, typer.Option("--sketch", help="Where the drawing is: a file, a page.")] = (
        None
    )

    def entry(self, sighting: Sighting | None, at: str | None) -> "ObservationEntry":
        """The observation, with what was told."""
        from obslog.club.night.observations import ObservationEntry

        return ObservationEntry(
            sighting=sighting,
            description=self.text,
            found_by=self.found_by,
            vision=_vision(self.averted),
            eyepiece=self.eyepiece,
            magnification=self.magnification,
            filter=self.filter,
            rating=self.rating,
            sketch=self.sketch,
            at=at,
        )


def _vision(averted: bool | None) -> Vision | None:
    return None if averted is None else Vision.AVERTED if averted else Vision.DIRECT
