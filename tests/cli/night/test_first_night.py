"""The way through a whole night: typed in the dark, given out, taken in elsewhere, and the same trend comes out."""

from pathlib import Path

from numpy.testing import assert_allclose

from tests.cli.program import Program

NIGHT = """
site add|Mill Field|--lat 52.2 --lon 0.12 --elevation-m 20 --tz Europe/London
member add|Ines
mount add Heron --type german --controller shift
tube add|Long tube|--aperture-mm 212 --focal-mm 1000
eyepiece add|Wide 25|--focal-mm 25 --field-deg 53
night start|Mill Field|--with|Ines|--sky|antoniadi 2
setup start Heron --tube|Long tube|--observer|Ines|--eyepiece|Wide 25|--at 20:30
sync Sirius 40E 25N --at 20:40
sync Procyon 12W 3S --at 20:44
sync Capella 5E 1N --at 20:49
check Regulus 3E 4N --at 20:55
check Aldebaran 6W 8S --at 21:00
check Castor 5E 12N --at 21:05 --pier east --note|wind, "gusts"
check Pollux 0.1f W --at 21:10
check Rigel edge --at 21:15
night end --at 21:30
"""


def words(line: str) -> list[str]:
    """A command line; between bars stands what is quoted in a shell."""
    parts = line.split("|")
    return [word for n, part in enumerate(parts) for word in ([part] if n % 2 else part.split())]


def test_a_night_typed_in_is_given_out_and_gives_the_same_trend_in_a_second_database(
    program: Program, tmp_path: Path
) -> None:
    first, second = str(tmp_path / "laptop.db"), str(tmp_path / "club.db")
    sheet = tmp_path / "night.csv"
    for line in NIGHT.strip().splitlines():
        program.must("--db", first, *words(line))
    program.must("--db", first, "export", "arrivals", str(sheet))
    taken = program.document("--db", second, "import", "arrivals", str(sheet), "--create")
    assert (taken["added"], taken["nights_added"], taken["setups_added"]) == (8, 1, 1)

    trend = program.document("--db", first, "pointing", "trend", "Heron")
    assert program.document("--db", second, "pointing", "trend", "Heron") == trend
    assert program.must("--db", second, "export", "arrivals").out.encode() == sheet.read_bytes()

    (setup,) = trend["setups"]
    # Five checks after the third sync: one told in a word, four measured, 5', 10', 13' and a tenth of the field
    # of 79.5' (53 deg at 40x), 7.95'.
    assert (setup["night"], setup["arrivals"], setup["told_in_words"]) == ("2026-03-02", 5, 1)
    assert_allclose(setup["rms_arcmin"], ((25 + 100 + 169 + 7.95**2) / 4) ** 0.5)
    assert trend["verdict"] == "too few nights"

    again = program.document("--db", second, "import", "arrivals", str(sheet))
    assert (again["added"], again["already_there"]) == (0, 8)
    told = program.must("--db", second, "import", "arrivals", str(sheet)).out
    assert "8 were on record already" in told


def test_what_an_import_made_from_names_alone_is_still_to_be_told(program: Program, tmp_path: Path) -> None:
    sheet = tmp_path / "loan.csv"
    sheet.write_text(
        "night,site,mount,utc,role,target\n2026-03-01,Fell Top,Otter's,2026-03-01T21:00:00Z,sync,Vega\n"
    )
    answer = program.must("import", "arrivals", str(sheet), "--create")
    assert "New on record: site Fell Top, mount Otter's." in answer.out
    commands = [line.strip() for line in answer.error_lines if line.startswith("  ")]
    assert commands == [
        'obslog site edit "Fell Top" --lat DEG --lon DEG --tz ZONE',
        """obslog mount edit "Otter's" --type TYPE --controller CONTROLLER; """
        "TYPE is german, fork or altaz, CONTROLLER is shift, model or none",
    ]


def test_a_refused_sheet_lists_its_faults_between_what_and_what_to_do(
    program: Program, tmp_path: Path
) -> None:
    sheet = tmp_path / "bad.csv"
    rows = ["2026-03-01,Fell Top,Otter,2026-03-01T21:00:00Z,look,Vega"] * 3 + ["2026-03-01,,,,,"]
    sheet.write_text("\n".join(["night,site,mount,utc,role,target", *rows]) + "\n")
    answer = program("import", "arrivals", str(sheet))
    assert (answer.code, answer.out) == (2, "")
    assert answer.error_lines[0] == "bad.csv: 4 lines are wrong, so nothing was imported."
    assert any(line.startswith("  lines 2-4: role: 'look'") for line in answer.error_lines)
    assert any(line.startswith("  line 5: site: is blank") for line in answer.error_lines)
    assert "import the file again" in answer.error_lines[-1]
