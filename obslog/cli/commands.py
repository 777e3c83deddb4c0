"""The table of all commands: where each comes from, and what the help says of it."""

from obslog.cli.terminal.lazy_commands import Entry, Table

PARTS: dict[str, Table] = {
    "To begin with": {
        "start": Entry(
            "obslog.cli.register.start", "add_to", "Put on record what a new club begins with, step by step."
        ),
        "demo": Entry("obslog.cli.demo", "add_to", "Build an invented club in a new file, and look at it."),
        "words": Entry("obslog.cli.words", "add_to", "Say what the words of this program mean."),
        "look": Entry(
            "obslog.cli.look.remember", "add_to", "Say how output looks here, or keep how it is to look."
        ),
    },
    "Before a night": {
        "brief": Entry("obslog.cli.checklist.brief", "add_to", "Show tonight on one screen."),
        "checklist": Entry(
            "obslog.cli.checklist.checklist", "add_to", "Go through the steps of a set-up in order."
        ),
        "targets": Entry(
            "obslog.cli.targets.targets", "add_to", "Choose what to look at tonight, from west to east."
        ),
        "sky": Entry("obslog.cli.sky.sky", "app", "The sky from a site: where things are, and when."),
        "optics": Entry("obslog.cli.targets.optics", "add_to", "Say what a tube shows with an eyepiece."),
        "scales": Entry(
            "obslog.cli.night.sky_scales", "add_to", "Show the scales of seeing, transparency and darkness."
        ),
        "sheet": Entry("obslog.cli.forms", "app", "Sheets to write on: PDF, or a page to print."),
    },
    "In the dark": {
        "prompt": Entry("obslog.cli.prompt.prompt", "add_to", "Type the whole evening at one prompt."),
        "night": Entry("obslog.cli.night.night", "app", "Nights: one evening to morning at a site."),
        "setup": Entry("obslog.cli.night.setup", "app", "Set-ups: one mount and tube aligned once."),
        "sync": Entry("obslog.cli.night.quick_verbs", "add_to", "Record a sync star, and where it landed."),
        "check": Entry(
            "obslog.cli.night.quick_verbs", "add_to", "Record a check star: measured, not synced on."
        ),
        "goto": Entry("obslog.cli.night.quick_verbs", "add_to", "Record an ordinary go-to."),
        "saw": Entry("obslog.cli.night.quick_verbs", "add_to", "Record an observation in the current night."),
        "snag": Entry(
            "obslog.cli.night.snag", "app", "Snags: what went wrong, tied to a step of the checklist."
        ),
        "edit": Entry("obslog.cli.night.quick_verbs", "add_to", "Correct a mistyped arrival, or remove it."),
        "undo": Entry(
            "obslog.cli.night.quick_verbs", "add_to", "Undo the last change, or the act of a reference."
        ),
        "redo": Entry("obslog.cli.night.quick_verbs", "add_to", "Do again what was undone last."),
    },
    "Afterwards": {
        "pointing": Entry(
            "obslog.cli.pointing", "app", "How well mounts point, why, and whether that changes."
        ),
        "observation": Entry(
            "obslog.cli.night.observations", "app", "The observing record: what was seen, entry by entry."
        ),
        "progress": Entry(
            "obslog.cli.targets.progress", "add_to", "Show how far a member is through a list."
        ),
        "find": Entry("obslog.cli.night.observations", "add_to", "Find words in all that was written."),
        "history": Entry("obslog.cli.history", "add_to", "Show the newest acts, or the life of a record."),
        "page": Entry(
            "obslog.cli.pages.page", "app", "Pages for a browser, each in one file that fetches nothing."
        ),
    },
    "What a club has": {
        "site": Entry("obslog.cli.register.site", "app", "The sites one observes from."),
        "member": Entry("obslog.cli.register.member", "app", "The people of the club."),
        "mount": Entry("obslog.cli.register.equipment", "mount_app", "The mounts on record."),
        "tube": Entry("obslog.cli.register.equipment", "tube_app", "The telescope tubes on record."),
        "eyepiece": Entry("obslog.cli.register.equipment", "eyepiece_app", "The eyepieces on record."),
        "item": Entry(
            "obslog.cli.register.equipment", "item_app", "Other items: finders, filters, batteries, cases."
        ),
    },
    "For the equipment officer": {
        "review": Entry(
            "obslog.cli.review.review", "add_to", "Say what to lend, watch, service or retire, and why."
        ),
        "service": Entry("obslog.cli.upkeep.service", "app", "Services: what was done, what is due."),
        "store": Entry(
            "obslog.cli.storeroom.store", "app", "The store-room: what the club owns, and where it is."
        ),
        "stocktake": Entry(
            "obslog.cli.shelves.stocktake", "app", "Stocktakes: what should be where, and what was seen."
        ),
        "label": Entry(
            "obslog.cli.shelves.label", "add_to", "Make labels with a tag, a name and a code to scan."
        ),
        "kit": Entry("obslog.cli.storeroom.kit", "app", "Kits: items lent together."),
        "loan": Entry("obslog.cli.storeroom.loan", "app", "Loans: who has what, and until when."),
        "rule": Entry("obslog.cli.register.rules", "app", "The rules: numbers for lending and judging."),
        "officer": Entry(
            "obslog.cli.annual", "app", "The officer: reports, papers, purchases, handing over."
        ),
    },
    "The records themselves": {
        "import": Entry("obslog.cli.sheets", "import_app", "Import data."),
        "export": Entry("obslog.cli.sheets", "export_app", "Export data."),
        "bundle": Entry(
            "obslog.cli.together.bundle", "app", "Bundles: what this laptop knows, for others to merge."
        ),
        "merge": Entry("obslog.cli.together.merging", "add_to", "Take in what other laptops know."),
        "conflicts": Entry(
            "obslog.cli.together.conflicts", "add_to", "List or settle what two laptops say otherwise."
        ),
        "same": Entry("obslog.cli.together.same", "add_to", "Join two records that are one."),
        "db": Entry("obslog.cli.care.database", "app", "The database: where it is, copies, health."),
    },
}
"""All commands under the headings of the help, in the order in which a night and a club come to them."""
COMMANDS = {name: entry for part in PARTS.values() for name, entry in part.items()}
