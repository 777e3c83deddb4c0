"""A double star among the targets: its two stars, and whether the tube can part them."""

from dataclasses import dataclass

from obslog.optics import dawes_limit_arcsec, rayleigh_limit_arcsec
from obslog.sky.names.double_stars import Parted, double_named, parted


@dataclass(frozen=True, slots=True, kw_only=True)
class PairSeen:
    """A pair as it was in `year`; limits and answer are None without a tube, the position angle where it is unknown."""

    magnitude_a: float
    magnitude_b: float
    separation_arcsec: float
    position_angle_deg: float | None
    year: int
    dawes_arcsec: float | None
    rayleigh_arcsec: float | None
    parted: Parted | None


def pair_seen(name: str, aperture_mm: float | None) -> PairSeen | None:
    """The pair that a star of this name is; None for everything else."""
    double = double_named(name)
    if double is None:
        return None
    dawes = rayleigh = answer = None
    if aperture_mm is not None:
        dawes = float(dawes_limit_arcsec(aperture_mm))
        rayleigh = float(rayleigh_limit_arcsec(aperture_mm))
        answer = parted(double.separation_arcsec, dawes, rayleigh)
    return PairSeen(
        magnitude_a=double.magnitude_a,
        magnitude_b=double.magnitude_b,
        separation_arcsec=double.separation_arcsec,
        position_angle_deg=double.position_angle_deg,
        year=double.year,
        dawes_arcsec=dawes,
        rayleigh_arcsec=rayleigh,
        parted=answer,
    )


def pair_words(pair: PairSeen) -> str:
    """The pair in a sentence: how bright, how far apart, in which direction, and whether this tube parts it."""
    bright = f"magnitudes {pair.magnitude_a:.1f} and {pair.magnitude_b:.1f}"
    words = f'{bright}, {pair.separation_arcsec:.1f}" apart in {pair.year}'
    if pair.position_angle_deg is not None:
        words = f"{words}, position angle {pair.position_angle_deg:.0f}°"
    if pair.parted is None:
        return f"{words}."
    answer = {
        Parted.YES: "this tube parts them",
        Parted.JUST: "this tube just parts them",
        Parted.NO: "this tube does not part them",
    }[pair.parted]
    return f'{words}; {answer} (Dawes {pair.dawes_arcsec:.1f}", Rayleigh {pair.rayleigh_arcsec:.1f}").'
