"""Every fault says its file, line and column, why, and what to do; those that are alike are told together."""

from obslog.exchange.package.faults import FaultList, FolderRefused


def test_faults_that_are_alike_are_told_in_one_line() -> None:
    faults = FaultList()
    for line in (2, 3, 4, 9):
        faults.add("nights.csv", "is blank.", "Fill it in.", line=line, column="night_of")
    faults.add("nights.csv", "has 3 rows, not 4.", "Copy it again.")
    faults.add("sites.csv", "has 3 cells.", "Count.", line=7)
    refused = FolderRefused("out", faults)
    assert refused.details == [
        "nights.csv, lines 2-4, 9: night_of: is blank. Fill it in.",
        "nights.csv: has 3 rows, not 4. Copy it again.",
        "sites.csv, line 7: has 3 cells. Count.",
    ]
    assert refused.message == "out has 6 faults, so nothing was brought in."
    assert refused.exit_code == 2


def test_a_full_list_takes_no_more_and_says_that_there_may_be_more() -> None:
    faults = FaultList(most=2)
    for line in (1, 2, 3):
        faults.add("a.csv", "is wrong.", "Correct it.", line=line)
    assert (len(faults), faults.is_full) == (2, True)
    assert "2 faults or more" in FolderRefused("out", faults).message
