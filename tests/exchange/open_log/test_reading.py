"""A log is read leniently: what is missing is unknown, and what cannot be placed is a fault with its line."""

from pathlib import Path

from obslog.exchange.open_log.reading import read_log

ROOT = '<observations version="2.1">'


def log(folder: Path, text: str) -> Path:
    path = folder / "log.xml"
    path.write_text(f"{ROOT}{text}</observations>")
    return path


def test_the_least_that_an_observation_may_hold_is_enough(tmp_path: Path) -> None:
    found, faults = read_log(log(tmp_path, "<observation><begin>2026-03-02T21:05:00Z</begin></observation>"))
    assert faults == []
    (seen,) = found.observations
    assert (seen.id, seen.observer, seen.target, seen.results, seen.other) == (None, None, None, (), ())


def test_an_observation_without_a_time_is_a_fault_with_its_line(tmp_path: Path) -> None:
    text = "\n<observation><begin>last spring</begin></observation>\n<observation/>"
    found, faults = read_log(log(tmp_path, text))
    assert found.observations == []
    assert [(fault.line, fault.column) for fault in faults] == [(2, "begin"), (3, "begin")]
    assert "'last spring' is not a date and a time" in faults[0].reason
    assert "is missing" in faults[1].reason


def test_of_two_records_of_one_id_the_first_counts_and_one_without_is_passed_over(tmp_path: Path) -> None:
    text = (
        "<observers><observer id='a'><name>Ada</name></observer><observer id='a'><name>Bo</name></observer>"
    )
    found, _ = read_log(log(tmp_path, f"{text}<observer><name>Cy</name></observer></observers>"))
    assert [observer.name for observer in found.observers.values()] == ["Ada"]


def test_numbers_out_of_range_are_kept_in_words(tmp_path: Path) -> None:
    text = (
        "<observation><begin>2026-03-02T21:05:00Z</begin><magnification>0.5</magnification><seeing>2.5</seeing>"
        "<faintestStar>bright</faintestStar></observation>"
    )
    (seen,) = read_log(log(tmp_path, text))[0].observations
    assert (seen.magnification, seen.seeing, seen.faintest_star) == (None, None, None)
    assert seen.other == ("seeing: 2.5", "magnification: 0.5", "faintest star: bright")


def test_contacts_are_not_read(tmp_path: Path) -> None:
    text = "<observers><observer id='a'><name>Ada</name><contact>01632 960 1</contact></observer></observers>"
    (observer,) = read_log(log(tmp_path, text))[0].observers.values()
    assert (observer.had_contacts, observer.other) == (True, ())
