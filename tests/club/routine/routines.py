"""Routines of clubs that never were, for properties: any that a file can say."""

from dataclasses import replace

from hypothesis import strategies as st

from obslog.club.routine.club_routine import ClubRoutine
from obslog.club.routine.club_steps import SHIPPED_STEPS, StepEntry
from obslog.club.routine.condition_words import SHIPPED_WORDS, MeantWord
from obslog.club.routine.loan_terms import SHIPPED_STATEMENTS, Terms
from obslog.club.routine.service_routine import THE_CLUBS_OWN, RoutineTask, shipped_tasks
from obslog.records.tables.base import name_key
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.storeroom import Condition

_SIGNS = st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"])


def lines(longest: int) -> st.SearchStrategy[str]:
    """Texts of one line as they are kept: their spaces tidied."""
    texts = st.text(_SIGNS, min_size=1, max_size=min(longest, 12)) | st.sampled_from(
        ['"quoted"', "back\\slash", "# no remark", "[red]<b>", "{{ 7 * 7 }}", "x" * longest, "= [", "'''"]
    )
    return texts.map(lambda text: " ".join(text.split())).filter(lambda text: 0 < len(text) <= longest)


def maybe(longest: int) -> st.SearchStrategy[str | None]:
    return st.none() | lines(longest)


_KEYS = st.from_regex(r"[g-z][a-z0-9]{0,5}(-[a-z0-9]{1,5})?", fullmatch=True).filter(
    lambda key: key not in {entry.step for entry in SHIPPED_STEPS}
)


@st.composite
def entries(draw: st.DrawFn) -> tuple[StepEntry, ...]:
    """The steps in any order, some left out, some in other words, and some of the club's own."""
    shipped = [
        replace(entry, do=draw(maybe(500)), tolerance=draw(maybe(120)), why=draw(maybe(500)))
        for entry in SHIPPED_STEPS
    ]
    own = [
        StepEntry(
            step=key,
            title=f"Own {place}",
            do=draw(lines(500)),
            tolerance=draw(maybe(120)),
            why=draw(maybe(500)),
            mounts=tuple(kind for kind in MountType if draw(st.booleans())),
            about_the_mount=draw(st.booleans()),
        )
        for place, key in enumerate(draw(st.lists(_KEYS, unique=True, max_size=3)))
    ]
    order = draw(st.permutations([*shipped, *own]))
    listed = order[: draw(st.integers(1, len(order)))]
    left = [replace(one, left_out=True) for one in (*shipped, *own) if one not in listed]
    return (*listed, *left)


tasks = st.lists(
    st.builds(
        lambda of, task, do, often, caution, source: RoutineTask(
            of=of, task=task, do=do, caution=caution, source=source or THE_CLUBS_OWN, **often
        ),
        st.sampled_from(["mount", "tube", "battery", "tent of 2019"]),
        lines(50).map(str.casefold).filter(lambda word: len(word) <= 50 and word == " ".join(word.split())),
        lines(500),
        st.one_of(
            st.fixed_dictionaries({"every_months": st.integers(1, 240)}),
            st.fixed_dictionaries({"every_nights": st.integers(1, 10_000)}),
            st.fixed_dictionaries({"every_months": st.integers(1, 240), "every_nights": st.integers(1, 10_000)}),
            st.fixed_dictionaries({"when": lines(500)}),
        ),
        maybe(500),
        maybe(500),
    ),
    min_size=1,
    max_size=4,
    unique_by=lambda task: (task.of, task.task),
).map(tuple)  # fmt: skip
_WORDS = lines(40).filter(lambda word: not set(word) & set(":=") and name_key(word) not in set(Condition))
words = st.lists(
    st.builds(MeantWord, _WORDS, st.sampled_from(Condition)),
    max_size=4,
    unique_by=lambda one: name_key(one.word),
).map(lambda found: (*found, MeantWord("good", Condition.GOOD), MeantWord("missing", Condition.MISSING)))
terms = st.builds(
    Terms,
    st.just(SHIPPED_STATEMENTS) | st.lists(lines(400), min_size=1, max_size=4).map(tuple),
    st.none() | st.integers(0, 100),
)
routines = st.builds(
    ClubRoutine,
    steps=st.just(SHIPPED_STEPS) | entries(),
    tasks=st.just(shipped_tasks()) | tasks,
    words=st.just(SHIPPED_WORDS) | words,
    terms=terms,
    loan_days=st.integers(1, 3660),
)
