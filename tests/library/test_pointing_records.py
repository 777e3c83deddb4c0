"""Fits and trends have the keys that scripts rely on."""

from dataclasses import fields

from obslog.library import pointing_records as records


def test_fits_and_trends_have_the_keys_that_were_published() -> None:
    published = {
        records.Fit: "mount tube noise_arcmin mechanical setups",
        records.MechanicalTerm: "since term value_arcmin sd_arcmin determined",
        records.FittedSetup: "night setup polar_altitude polar_azimuth separation_arcmin arrivals rms_arcmin suspects",
        records.Estimate: "value_arcmin sd_arcmin determined",
        records.Trend: "mount setups slope alarms verdict",
        records.LandedSetup: "night setup arrivals half_land_within_arcmin low_arcmin high_arcmin",
        records.Slope: "per_year low high p",
    }
    for kind, names in published.items():
        assert set(names.split()) <= {field.name for field in fields(kind)}
