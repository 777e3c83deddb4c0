"""The name of whoever types at this machine, kept beside it and not on record, follows what becomes of it there."""

from obslog.cli.terminal.state import State


def follow_the_name(state: State, *, was: str, now: str) -> None:
    """Whoever this machine took for the member of the name that went is the member of the other one."""
    from obslog.records.driver_errors import files_in_sentences
    from obslog.records.tables.base import name_key
    from obslog.settings import keep_person, person_here, settings_path

    me = person_here(state.environment)
    if me is not None and not me.from_environment and name_key(me.name) == name_key(was):
        with files_in_sentences(str(settings_path(state.environment))):
            keep_person(state.environment, now)
        state.screen.note(f"You are {now} on this machine now.")
