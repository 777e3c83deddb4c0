"""A typed-up night as it is read over before it is saved; on standard error, for it is no result yet."""

from typing import TYPE_CHECKING

from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from obslog.club.night.setups import SetupPage
    from obslog.club.paper.trials import ReadBack


def show_read_back(screen: Screen, read_back: "ReadBack") -> None:
    """The whole night, as it would go on record."""
    night = read_back.night
    screen.note(f"Night of {night.night} at {night.site}", style="bold")
    screen.note(f"present: {', '.join(night.present) or 'unknown'}")
    screen.note(f"sky: {', '.join(f'{r.scale} {r.value:g}' for r in night.sky) or 'unknown'}")
    if night.note:
        screen.note(f"note: {night.note}")
    for page in read_back.setups:
        _show_setup(screen, page)
    if read_back.observations:
        screen.note("What was seen, by whom")
    for o in read_back.observations:
        parts = [f"{o.at}  {o.sighting} {o.target}"]
        parts += [] if o.alt_deg is None else [f"{o.alt_deg:.0f}° high"]
        parts += [str(part) for part in (o.observer, o.description) if part]
        screen.note(", ".join(parts), indent=2, hang=7)
    if read_back.snags:
        screen.note("What went wrong")
    for snag in read_back.snags:
        about = f" ({snag.about})" if snag.about else ""
        screen.note(f"{snag.step}{about}: {snag.text}", indent=2, hang=7)
    for remark in read_back.remarks:
        screen.note(remark)


def _show_setup(screen: Screen, page: "SetupPage") -> None:
    screen.note(
        f"{page.mount}, {page.tube or 'tube unknown'}, {page.eyepiece or 'eyepiece unknown'}, "
        f"{page.observer or 'observer unknown'}, from {page.started or 'a time unknown'}"
    )
    if page.pier_side_since:
        screen.note(
            f"{page.pier_side_since}  tube turned to the {page.pier_side} side of the pier", indent=2, hang=7
        )
    for a in page.arrivals:
        pier = f"tube {a.pier_side}" if a.pier_side else ""
        parts = [f"{a.at}  {a.role} {a.target}", a.offset or a.landing or "", pier, a.note or ""]
        screen.note("  ".join(part for part in parts if part), indent=2, hang=7)
