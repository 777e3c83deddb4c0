"""What is asked of a night on paper, in its order and words: by who types it up, and by the sheet to write on."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PageQuestion:
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
SITE = PageQuestion("site", "Site", kind="site")
NIGHT = PageQuestion("night", "Night of", "the date of its evening, like 2026-03-02")
PRESENT = PageQuestion("present", "Who was there", "names, commas between", "member")
SKY = PageQuestion("sky", "Sky", "scale and number, commas between, like antoniadi 2", "scale")
NOTE = PageQuestion("note", "Note on the night")
MOUNT = PageQuestion("mount", "Mount", "blank: none", "mount")
TUBE = PageQuestion("tube", "Tube", kind="tube")
EYEPIECE = PageQuestion("eyepiece", "Eyepiece", kind="eyepiece")
OBSERVER = PageQuestion("observer", "Observer", kind="member")
STARTED_AT = PageQuestion("started_at", "Set up at", "like 20:10")
ONE_LINE = PageQuestion(LINE, "Line", kind=LINE)

OF_NIGHT = (SITE, NIGHT, PRESENT, SKY, NOTE)
OF_SETUP = (MOUNT, TUBE, EYEPIECE, OBSERVER, STARTED_AT)
