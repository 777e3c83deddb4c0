"""What is asked of a night on paper, in its order and words: by who types it up, and by the sheet to write on."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Asked:
    """A question: its name on the page, its label, what to write, and the kind of names that may answer it."""

    name: str
    label: str
    hint: str = ""
    kind: str | None = None

    @property
    def words(self) -> str:
        """As it is asked on a line of its own."""
        return f"{self.label} ({self.hint}): " if self.hint else f"{self.label}: "


LINE = "line"
SITE = Asked("site", "Site", kind="site")
NIGHT = Asked("night", "Night of", "the date of its evening, like 2026-03-02")
PRESENT = Asked("present", "Who was there", "names, commas between", "member")
SKY = Asked("sky", "Sky", "scale and number, commas between, like antoniadi 2", "scale")
NOTE = Asked("note", "Note on the night")
MOUNT = Asked("mount", "Mount", "blank: none", "mount")
TUBE = Asked("tube", "Tube", kind="tube")
EYEPIECE = Asked("eyepiece", "Eyepiece", kind="eyepiece")
OBSERVER = Asked("observer", "Observer", kind="member")
STARTED_AT = Asked("started_at", "Set up at", "like 20:10")
ONE_LINE = Asked(LINE, "Line", kind=LINE)

OF_NIGHT = (SITE, NIGHT, PRESENT, SKY, NOTE)
OF_SETUP = (MOUNT, TUBE, EYEPIECE, OBSERVER, STARTED_AT)
