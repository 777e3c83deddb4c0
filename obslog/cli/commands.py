"""The table of all commands: where each comes from, and what the help says of it."""

from obslog.cli.terminal.lazy_commands import CommandEntry, Table

PARTS: dict[str, Table] = {
    "To begin with": {
        "start": CommandEntry(
            "obslog.cli.register.start", "add_to", "Put on record what a new club begins with, step by step."
        ),
        "demo": CommandEntry(
            "obslog.cli.demo", "add_to", "Build an invented club in a new file, and look at it."
        ),
        "words": CommandEntry("obslog.cli.words", "add_to", "Say what the words of this program mean."),
        "look": CommandEntry(
            "obslog.cli.look.remember", "add_to", "Say how output looks here, or keep how it is to look."
        ),
    },
    "Before a night": {
        "brief": CommandEntry("obslog.cli.checklist.brief", "add_to", "Show tonight on one screen."),
        "checklist": CommandEntry(
            "obslog.cli.checklist.checklist", "add_to", "Go through the steps of a set-up in order."
        ),
        "targets": CommandEntry(
            "obslog.cli.targets.targets", "add_to", "Choose what to look at tonight, from west to east."
        ),
        "sky": CommandEntry("obslog.cli.sky.sky", "app", "The sky from a site: where things are, and when."),
        "optics": CommandEntry(
            "obslog.cli.targets.optics", "add_to", "Say what a tube shows with an eyepiece."
        ),
        "scales": CommandEntry(
            "obslog.cli.night.sky_scales", "add_to", "Show the scales of seeing, transparency and darkness."
        ),
        "sheet": CommandEntry("obslog.cli.forms", "app", "Sheets to write on: PDF, or a page to print."),
    },
    "In the dark": {
        "prompt": CommandEntry("obslog.cli.prompt.prompt", "add_to", "Type the whole evening at one prompt."),
        "night": CommandEntry("obslog.cli.night.night", "app", "Nights: one evening to morning at a site."),
        "setup": CommandEntry("obslog.cli.night.setup", "app", "Set-ups: one mount and tube aligned once."),
        "sync": CommandEntry(
            "obslog.cli.night.quick_verbs", "add_to", "Record a sync star, and where it landed."
        ),
        "check": CommandEntry(
            "obslog.cli.night.quick_verbs", "add_to", "Record a check star: measured, not synced on."
        ),
        "goto": CommandEntry("obslog.cli.night.quick_verbs", "add_to", "Record an ordinary go-to."),
        "saw": CommandEntry(
            "obslog.cli.night.quick_verbs", "add_to", "Record an observation in the current night."
        ),
        "snag": CommandEntry(
            "obslog.cli.night.snag", "app", "Snags: what went wrong, tied to a step of the checklist."
        ),
        "edit": CommandEntry(
            "obslog.cli.night.quick_verbs", "add_to", "Correct a mistyped arrival, or remove it."
        ),
        "undo": CommandEntry(
            "obslog.cli.night.quick_verbs", "add_to", "Undo the last change, or the act of a reference."
        ),
        "redo": CommandEntry("obslog.cli.night.quick_verbs", "add_to", "Do again what was undone last."),
    },
    "Afterwards": {
        "pointing": CommandEntry(
            "obslog.cli.pointing", "app", "How well mounts point, why, and whether that changes."
        ),
        "observation": CommandEntry(
            "obslog.cli.night.observations", "app", "The observing record: what was seen, entry by entry."
        ),
        "progress": CommandEntry(
            "obslog.cli.targets.progress", "add_to", "Show how far a member is through a list."
        ),
        "find": CommandEntry(
            "obslog.cli.night.observations", "add_to", "Find words in all that was written."
        ),
        "history": CommandEntry(
            "obslog.cli.history", "add_to", "Show the newest acts, or the life of a record."
        ),
        "page": CommandEntry(
            "obslog.cli.pages.page", "app", "Pages for a browser, each in one file that fetches nothing."
        ),
    },
    "What a club has": {
        "site": CommandEntry("obslog.cli.register.site", "app", "The sites one observes from."),
        "member": CommandEntry("obslog.cli.register.member", "app", "The people of the club."),
        "mount": CommandEntry("obslog.cli.register.equipment", "mount_app", "The mounts on record."),
        "tube": CommandEntry("obslog.cli.register.equipment", "tube_app", "The telescope tubes on record."),
        "eyepiece": CommandEntry("obslog.cli.register.equipment", "eyepiece_app", "The eyepieces on record."),
        "item": CommandEntry(
            "obslog.cli.register.equipment", "item_app", "Other items: finders, filters, batteries, cases."
        ),
    },
    "For the equipment officer": {
        "review": CommandEntry(
            "obslog.cli.review.review", "add_to", "Say what to lend, watch, service or retire, and why."
        ),
        "service": CommandEntry("obslog.cli.upkeep.service", "app", "Services: what was done, what is due."),
        "store": CommandEntry(
            "obslog.cli.storeroom.store", "app", "The store-room: what the club owns, and where it is."
        ),
        "stocktake": CommandEntry(
            "obslog.cli.shelves.stocktake", "app", "Stocktakes: what should be where, and what was seen."
        ),
        "label": CommandEntry(
            "obslog.cli.shelves.label", "add_to", "Make labels with a tag, a name and a code to scan."
        ),
        "kit": CommandEntry("obslog.cli.storeroom.kit", "app", "Kits: items lent together."),
        "loan": CommandEntry("obslog.cli.storeroom.loan", "app", "Loans: who has what, and until when."),
        "rule": CommandEntry(
            "obslog.cli.register.rules", "app", "The rules: numbers for lending and judging."
        ),
        "officer": CommandEntry(
            "obslog.cli.annual", "app", "The officer: reports, papers, purchases, handing over."
        ),
    },
    "The records themselves": {
        "import": CommandEntry("obslog.cli.sheets", "import_app", "Import data."),
        "export": CommandEntry("obslog.cli.sheets", "export_app", "Export data."),
        "bundle": CommandEntry(
            "obslog.cli.together.bundle", "app", "Bundles: what this laptop knows, for others to merge."
        ),
        "merge": CommandEntry("obslog.cli.together.merging", "add_to", "Take in what other laptops know."),
        "conflicts": CommandEntry(
            "obslog.cli.together.conflicts", "add_to", "List or settle what two laptops say otherwise."
        ),
        "same": CommandEntry("obslog.cli.together.same", "add_to", "Join two records that are one."),
        "db": CommandEntry("obslog.cli.care.database", "app", "The database: where it is, copies, health."),
    },
}
"""All commands under the headings of the help, in the order in which a night and a club come to them."""
COMMANDS = {name: entry for part in PARTS.values() for name, entry in part.items()}
