"""What is known of set-ups beside their arrivals, and may tell why these do not fit."""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.model.frames import FloatArray

LEAST_SETUPS = 2
"""On either side of a change: with fewer than twice as many nothing can be compared."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Circumstances:
    """What is known of each set-up beside its arrivals: who observed, None where unknown; temperature, nan likewise."""

    observers: list[str | None]
    temperature_c: FloatArray

    @classmethod
    def unknown(cls, setups: int) -> "Circumstances":
        return cls(observers=[None] * setups, temperature_c=np.full(setups, np.nan))
