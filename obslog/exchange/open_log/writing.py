"""Writes a log of observations as OpenAstronomyLog 2.1, element after element in the schema's order."""

from collections.abc import Iterable
from typing import IO

from obslog.exchange.open_log.records import (
    NAMESPACE,
    VERSION,
    Log,
    LogEyepiece,
    LogFilter,
    LogObservation,
    LogObserver,
    LogResult,
    LogScope,
    LogSession,
    LogSite,
    LogTarget,
)
from obslog.exchange.open_log.xml_text import XmlText, xml_instant, xml_number

_XSI = "http://www.w3.org/2001/XMLSchema-instance"
_AT_ONCE = 500
"""How many records are put together before they are written."""


def write_log(file: IO[bytes], log: Log) -> int:
    """Write the log into an open file; gives how many characters were left out since XML cannot hold them."""
    text = XmlText()
    writer = _Writer(text)
    file.write(
        f'<?xml version="1.0" encoding="UTF-8"?>\n<oal:observations xmlns:oal="{NAMESPACE}" xmlns:xsi="{_XSI}" '
        f'version="{VERSION}">\n'.encode()
    )
    containers: list[tuple[str, Iterable[str]]] = [
        ("observers", map(writer.observer, log.observers.values())),
        ("sites", map(writer.site, log.sites.values())),
        ("sessions", map(writer.session, log.sessions.values())),
        ("targets", map(writer.target, log.targets.values())),
        ("scopes", map(writer.scope, log.scopes.values())),
        ("eyepieces", map(writer.eyepiece, log.eyepieces.values())),
        ("lenses", ()),
        ("filters", map(writer.filter, log.filters.values())),
        ("imagers", ()),
    ]
    for name, records in containers:
        file.write(f"<{name}>\n{''.join(records)}</{name}>\n".encode())
    for start in range(0, len(log.observations), _AT_ONCE):
        part = map(writer.observation, log.observations[start : start + _AT_ONCE])
        file.write("".join(part).encode())
    file.write(b"</oal:observations>\n")
    return text.left_out


class _Writer:
    """Each kind of record as its elements."""

    def __init__(self, text: XmlText) -> None:
        self.text = text

    def observer(self, observer: LogObserver) -> str:
        text = self.text
        return (
            f'<observer id="{observer.id}"><name>{text(observer.name)}</name>'
            f"<surname>{text(observer.surname)}</surname></observer>\n"
        )

    def site(self, site: LogSite) -> str:
        assert site.lon_deg is not None
        assert site.lat_deg is not None
        return (
            f'<site id="{site.id}"><name>{self.text(site.name)}</name>'
            f'<longitude unit="deg">{xml_number(site.lon_deg)}</longitude>'
            f'<latitude unit="deg">{xml_number(site.lat_deg)}</latitude>'
            f"{_number('elevation', site.elevation_m)}<timezone>{site.timezone_minutes or 0}</timezone></site>\n"
        )

    def session(self, session: LogSession) -> str:
        there = "".join(f"<coObserver>{one}</coObserver>" for one in session.co_observers)
        return (
            f'<session id="{session.id}"><begin>{xml_instant(session.begin)}</begin>'
            f"<end>{xml_instant(session.end)}</end><site>{session.site}</site>{there}"
            f"{self._told('weather', session.weather)}{self._told('equipment', session.equipment)}"
            f"{self._told('comments', session.comments)}</session>\n"
        )

    def target(self, target: LogTarget) -> str:
        text = self.text
        kind = f' xsi:type="oal:{target.kind}"' if target.kind else ""
        source = (
            f"<observer>{target.observer}</observer>"
            if target.observer
            else f"<datasource>{text(target.datasource or '')}</datasource>"
        )
        aliases = "".join(f"<alias>{text(alias)}</alias>" for alias in target.aliases)
        details = "".join(
            f'<{name} unit="{unit}">{text(value)}</{name}>' if unit else f"<{name}>{text(value)}</{name}>"
            for name, value, unit in target.details
        )
        return (
            f'<target id="{target.id}"{kind}>{source}<name>{text(target.name)}</name>{aliases}{_position(target)}'
            f"{self._told('constellation', target.constellation)}{self._told('notes', target.notes)}{details}"
            "</target>\n"
        )

    def scope(self, scope: LogScope) -> str:
        assert scope.aperture_mm is not None
        assert scope.focal_mm is not None
        return (
            f'<scope id="{scope.id}" xsi:type="oal:scopeType"><model>{self.text(scope.model)}</model>'
            f"{self._told('vendor', scope.vendor)}<aperture>{xml_number(scope.aperture_mm)}</aperture>"
            f"<focalLength>{xml_number(scope.focal_mm)}</focalLength></scope>\n"
        )

    def eyepiece(self, eyepiece: LogEyepiece) -> str:
        assert eyepiece.focal_mm is not None
        field = (
            f'<apparentFOV unit="deg">{xml_number(eyepiece.field_deg)}</apparentFOV>'
            if eyepiece.field_deg is not None
            else ""
        )
        return (
            f'<eyepiece id="{eyepiece.id}"><model>{self.text(eyepiece.model)}</model>'
            f"{self._told('vendor', eyepiece.vendor)}<focalLength>{xml_number(eyepiece.focal_mm)}</focalLength>"
            f"{field}</eyepiece>\n"
        )

    def filter(self, filter: LogFilter) -> str:
        return f'<filter id="{filter.id}"><model>{self.text(filter.model)}</model><type>{filter.kind}</type></filter>\n'

    def observation(self, seen: LogObservation) -> str:
        sky = (
            f'<sky-quality unit="mags-per-squarearcsec">{xml_number(seen.sky_quality)}</sky-quality>'
            if seen.sky_quality is not None
            else ""
        )
        seeing = f"<seeing>{seen.seeing}</seeing>" if seen.seeing is not None else ""
        results = "".join(map(self._result, seen.results))
        images = "".join(f"<image>{self.text(image)}</image>" for image in seen.images)
        return (
            f'<observation id="{seen.id}"><observer>{seen.observer}</observer>{_reference("site", seen.site)}'
            f"{_reference('session', seen.session)}<target>{seen.target}</target>"
            f"<begin>{xml_instant(seen.begin)}</begin>"
            f"{_number('faintestStar', seen.faintest_star)}{sky}{seeing}{_reference('scope', seen.scope)}"
            f"{_reference('eyepiece', seen.eyepiece)}{_reference('filter', seen.filter)}"
            f"{_number('magnification', seen.magnification)}{results}{images}</observation>\n"
        )

    def _result(self, result: LogResult) -> str:
        language = f' lang="{result.language}"' if result.language else ""
        rated, rating = "", ""
        if result.rating is not None:
            rated, rating = ' xsi:type="oal:findingsDeepSkyType"', f"<rating>{result.rating}</rating>"
        return f"<result{language}{rated}><description>{self.text(result.description)}</description>{rating}</result>"

    def _told(self, name: str, value: str | None) -> str:
        return f"<{name}>{self.text(value)}</{name}>" if value else ""


def _reference(name: str, to: str | None) -> str:
    return f"<{name}>{to}</{name}>" if to else ""


def _number(name: str, value: float | None) -> str:
    return "" if value is None else f"<{name}>{xml_number(value)}</{name}>"


def _position(target: LogTarget) -> str:
    if target.ra_deg is None or target.dec_deg is None:
        return ""
    return (
        f'<position><ra unit="deg">{xml_number(target.ra_deg)}</ra><dec unit="deg">{xml_number(target.dec_deg)}</dec>'
        "<frame><origin>geo</origin><equinox>J2000</equinox></frame></position>"
    )
