"""The cautions, each written once: of the Sun, of lasers and of batteries."""

from enum import StrEnum

FOLLOW_RULES = "Follow local rules; if in doubt ask somebody qualified."
SUN_CAUTION = (
    f"Never point a telescope or finder toward the Sun without a proper filter over the front. {FOLLOW_RULES}"
)
LASER_CAUTION = (
    "A pointing laser: look for aircraft and people before it is on and all the while; a switch that is on only while "
    "pressed; in the bag it is off and its battery out."
)
COLLIMATION_LASER_CAUTION = "A collimation laser never shines toward an eye."
BATTERY_CAUTION = (
    "Batteries: cap the terminals, a short circuit burns; charge none unattended, a lead-acid one only where air "
    "moves, for it gives off gas, a lithium one never below 0 °C; never warm a frozen one."
)


class Danger(StrEnum):
    """Why the caution is given, the worst first; the value is the sentence shown."""

    THE_SUN = (
        "The Sun: look only with a solar filter made for it, fixed over the front of the tube and free of "
        "holes, the finder capped or removed. One look through unfiltered optics blinds."
    )
    NEAR_THE_SUN = (
        "Close to the Sun while it is up: one look at it through tube or finder blinds. Put the tube in the "
        "shade of a wall, keep the finder capped, and let no mount slew across the Sun."
    )
    NEVER_FAR = (
        "Never far from the Sun: look for it after sunset or before sunrise. While the Sun is up keep tube and finder "
        "capped; one look at it through either blinds."
    )
    DAYTIME = (
        "The Sun is up: keep tube and finder capped until they point well away from it, let no mount slew "
        "across it, and never leave them open and unattended."
    )
