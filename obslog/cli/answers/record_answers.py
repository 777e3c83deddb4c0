"""What is on record by its name, as scripts read it; and the rows of the sheets that are exported."""

from datetime import date, datetime
from typing import Literal, NotRequired, Required, TypedDict

from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import Controller, MountType, PierSide
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision
from obslog.vocabulary.storeroom import Acquired


class Named(TypedDict):
    """What everything on record has that has a name; out of use since `retired_on`, if that is known."""

    name: str
    note: str | None
    retired_on: date | None
    retired_why: str | None


class SiteRecord(Named):
    """A place one observes from: latitude north and longitude east positive."""

    lat_deg: float | None
    lon_deg: float | None
    elevation_m: float | None
    zone: str | None
    horizon: str | None
    private: bool | None


class MemberRecord(Named):
    """A member; how to reach them only with --officer."""

    phone: NotRequired[str | None]
    email: NotRequired[str | None]
    address: NotRequired[str | None]


class MountRecord(Named):
    """A mount."""

    mount_type: MountType | None
    controller: Controller | None
    refraction: bool


class TubeRecord(Named):
    """A tube."""

    aperture_mm: float | None
    focal_mm: float | None


class EyepieceRecord(Named):
    """An eyepiece."""

    focal_mm: float | None
    field_deg: float | None
    field_stop_mm: float | None


class ItemRecord(Named):
    """Any other item; `sort` is its category."""

    sort: str


class KitRecord(Named):
    """A kit; null is the club's own term of loan."""

    loan_days: int | None
    weight_kg: float | None


class MemberRow(TypedDict):
    """A row of the sheet of members."""

    name: str
    note: str | None
    phone: NotRequired[str | None]
    email: NotRequired[str | None]
    address: NotRequired[str | None]


class ItemRow(TypedDict, total=False):
    """A row of the sheet of items: the columns that its kind has, and who valued it only with --officer."""

    name: Required[str]
    kind: Required[Literal["mount", "tube", "eyepiece", "item"]]
    category: str
    tag: str | None
    serial: str | None
    maker: str | None
    model: str | None
    mount_type: MountType | None
    controller: Controller | None
    aperture_mm: float | None
    focal_mm: float | None
    field_deg: float | None
    field_stop_mm: float | None
    acquired: Acquired | None
    acquired_on: date | None
    cost: float | None
    value: float | None
    valued_on: date | None
    valued_by: str | None
    place: str | None
    note: str | None


class KitRow(TypedDict):
    """A row of the sheet of kits; its parts by name, with ; between them."""

    name: str
    parts: str | None
    loan_days: int | None
    weight_kg: float | None
    note: str | None


class LoanRow(TypedDict):
    """A row of the sheet of loans."""

    item: str
    member: str
    out_on: date
    due_on: date
    back_on: date | None
    deposit: float | None
    note: str | None
    condition: str | None


class ServiceRow(TypedDict):
    """A row of the sheet of services."""

    item: str
    done_on: date
    text: str
    mechanical: bool
    by: str | None
    cost: float | None
    parts: str | None
    next_on: date | None


class ObservationRow(TypedDict):
    """A row of the sheet of observations; of each scale of the sky what was in force then."""

    night: date
    utc: datetime
    site: str
    target: str
    observer: str | None
    sighting: Sighting
    description: str | None
    mount: str | None
    setup: int | None
    tube: str | None
    eyepiece: str | None
    magnification: float | None
    filter: str | None
    vision: Vision | None
    found_by: FindingMethod | None
    rating: int | None
    sketch: str | None
    antoniadi: float | None
    pickering: float | None
    seeing_0_10: float | None
    transparency_1_7: float | None
    naked_eye_limit: float | None
    sky_meter: float | None
    bortle: float | None
    cloud_eighths: float | None
    temperature_c: float | None
    humidity_percent: float | None
    wind_beaufort: float | None


class ArrivalRow(TypedDict):
    """A row of the arrivals sheet."""

    night: date
    setup: int
    site: str
    observer: str | None
    mount: str
    tube: str | None
    utc: datetime
    role: Role
    target: str
    ra_hours: float | None
    dec_deg: float | None
    pier_side: PierSide | None
    offset_east_arcmin: float | None
    offset_north_arcmin: float | None
    landing: Landing | None
    field_arcmin: float | None
    centring_arcmin: float | None
    note: str | None


RECORDS = {
    "site": SiteRecord,
    "member": MemberRecord,
    "mount": MountRecord,
    "tube": TubeRecord,
    "eyepiece": EyepieceRecord,
    "item": ItemRecord,
    "kit": KitRecord,
}
ROWS = {
    "members": MemberRow,
    "items": ItemRow,
    "kits": KitRow,
    "loans": LoanRow,
    "services": ServiceRow,
    "observations": ObservationRow,
    "arrivals": ArrivalRow,
}
