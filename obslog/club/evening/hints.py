"""Hints that are written for a command line, as one follows them at the prompt."""

import re

from obslog.club.evening.verbs import VERBS

_OWN = "|".join(sorted((verb for verb in VERBS if verb not in ("sky", "battery")), key=len, reverse=True))
_COMMANDS = re.compile(rf"\bobslog ({_OWN})\b(?! list| show| add| fix| edit| note| type-up)")
_OPTION_OF_EDIT = re.compile(
    r"(edit \d+ )--(?:where |target |role |(pier )|(?=remove))(?:\"([^\"]*)\"|(\S+))"
)
_ALL_VERBS = re.compile(r"Lines begin with: .*")
_SAID_OTHERWISE = (
    (
        "To keep a name as it is written, add --as-written.",
        "To keep a name as it is written, end the line with !",
    ),
    ("add --sure", "end the line with !"),
    ("Add --at 21:40 for that night", "Put the time first for that night, like 21:40 sync vega"),
    ("give another time with --at", "put another time first"),
    ("Give a later time with --at", "Put a later time first"),
    ("Give the time with --at", "Put the time in front of the line:"),
    ("a remark goes with --note", "a remark stands behind a semicolon"),
    ("obslog setup show", "list"),
    ("obslog night show", "night"),
    ("obslog edit --target NAME", "edit NAME"),
    ("obslog snag add", "snag"),
    ("setup start MOUNT --tube TUBE --observer NAME", "setup start MOUNT"),
    ("edit NUMBER --pier", "edit NUMBER pier west"),
    (
        "Say what it is about: --mount MOUNT, --member NAME or --site SITE.",
        "Begin the set-up that it is about: setup MOUNT",
    ),
    ("--mount MOUNT", "setup MOUNT"),
    (
        "Name the eyepiece: --eyepiece NAME, or the true field in arcminutes: --field 42.",
        "Name it: eyepiece NAME.",
    ),
    (", or the place: --ra HOURS --dec DEG", ""),
    ("Give at least one option; see --help.", "Write what is to be changed; see: help edit"),
    (" --site SITE", ""),
)


def at_the_prompt(text: str) -> str:
    """The hint with the prompt's own words in place of options and of obslog's verbs."""
    for there, here in _SAID_OTHERWISE:
        text = text.replace(there, here)
    text = _OPTION_OF_EDIT.sub(lambda found: f"{found[1]}{found[2] or ''}{found[3] or found[4]}", text)
    text = _ALL_VERBS.sub("The verbs: help", text)
    return _COMMANDS.sub(r"\1", text)
