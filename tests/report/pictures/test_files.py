"""A picture as a file: where it may go, what it never takes the place of, what is said when it cannot be written."""

import errno
import os
from pathlib import Path
from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure

from obslog.errors import ObslogError
from obslog.files.output_files import (
    NoFolderThere,
    NoRoomForOutput,
    OutputNotWritable,
    OutputNotWritten,
)
from obslog.report.pictures.drawing import FORMATS
from obslog.report.pictures.files import (
    AnotherFileThere,
    NotAPicturesName,
    check_place,
    write_picture,
)
from obslog.report.pictures.ink import LIGHT, RED, Ink
from obslog.report.pictures.picture import Picture

HOSTILE = '<script>alert("x")</script> & $x^2$ ' + "long " * 100
PNG_OF_A_CAMERA = b"\x89PNG\r\n\x1a\nall the family"


def picture_of(title: str = "Two dots") -> Picture:
    def draw(figure: Figure, ink: Ink) -> None:
        figure.add_subplot().plot([0, 1], [0, 1], marker="o", color=ink.first)

    return Picture(name="dots", title=title, description="A line.", columns=("x",), rows=(), draw=draw)


@pytest.mark.parametrize("name", ["dots.svg", "dots.PNG", "dots.pdf", "a dot. and more.svg"])
def test_a_picture_is_written_and_written_anew(tmp_path: Path, name: str) -> None:
    place = tmp_path / name
    check_place(place)
    write_picture(picture_of(), place, LIGHT)
    first = place.read_bytes()
    check_place(place)
    write_picture(picture_of("Another title"), place, LIGHT)
    assert place.read_bytes() != first
    assert list(tmp_path.iterdir()) == [place]


@pytest.mark.parametrize("form", FORMATS)
def test_the_same_picture_is_the_same_file(tmp_path: Path, form: str) -> None:
    for name in ("one", "other"):
        write_picture(picture_of(), tmp_path / f"{name}.{form}", LIGHT)
    assert (tmp_path / f"one.{form}").read_bytes() == (tmp_path / f"other.{form}").read_bytes()


@pytest.mark.parametrize("name", ["dots", "dots.jpg", "dots.svg.txt", ".svg", "dots.", "svg"])
def test_another_ending_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(NotAPicturesName) as refused:
        check_place(tmp_path / name)
    assert ".svg, .png or .pdf" in refused.value.hint
    assert refused.value.exit_code == 2


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(NoFolderThere, match="missing"):
        check_place(tmp_path / "missing" / "dots.svg")


@pytest.mark.parametrize("content", [PNG_OF_A_CAMERA, b"<svg xmlns='http://www.w3.org/2000/svg'/>"])
def test_a_file_that_somebody_else_made_stays(tmp_path: Path, content: bytes) -> None:
    place = tmp_path / "holiday.png"
    place.write_bytes(content)
    with pytest.raises(AnotherFileThere):
        check_place(place)
    assert place.read_bytes() == content


def test_an_empty_file_is_nobodys_work_but_a_folder_is(tmp_path: Path) -> None:
    (tmp_path / "empty.png").touch()
    check_place(tmp_path / "empty.png")
    (tmp_path / "folder.png").mkdir()
    with pytest.raises(AnotherFileThere):
        check_place(tmp_path / "folder.png")


def test_a_folder_that_may_not_be_written_is_told_before_any_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)  # root may write everywhere
    with pytest.raises(OutputNotWritable):
        check_place(tmp_path / "dots.svg")


@pytest.mark.parametrize(
    ("number", "failure"),
    [
        (errno.ENOSPC, NoRoomForOutput),
        (errno.EDQUOT, NoRoomForOutput),
        (errno.EACCES, OutputNotWritable),
        (errno.EROFS, OutputNotWritable),
        (errno.EIO, OutputNotWritten),
    ],
)
def test_what_goes_wrong_while_it_is_written_is_said_and_the_earlier_one_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, failure: type[ObslogError]
) -> None:
    place = tmp_path / "dots.svg"
    write_picture(picture_of(), place, LIGHT)
    before = place.read_bytes()

    def refuse(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(Path, "write_bytes", refuse)
    with pytest.raises(failure):
        write_picture(picture_of("Another title"), place, LIGHT)
    assert place.read_bytes() == before
    assert list(tmp_path.iterdir()) == [place]


def test_the_title_stands_in_it_whatever_a_name_holds(tmp_path: Path) -> None:
    place = tmp_path / "dots.svg"
    write_picture(picture_of(HOSTILE), place, LIGHT)
    root = ElementTree.parse(place).getroot()
    written = " ".join(
        "".join(one.itertext()).strip() for one in root.iter("{http://www.w3.org/2000/svg}text")
    )
    assert '<script>alert("x")</script> & $x^2$' in written
    assert "long …" in written, "a title is cut, and says so"


def test_a_title_makes_the_file_higher_and_leaves_the_picture_its_size(tmp_path: Path) -> None:
    heights = []
    for title in ("Short", "A title that takes more than one line of so narrow a picture, and then some"):
        write_picture(picture_of(title), tmp_path / "dots.svg", LIGHT)
        root = ElementTree.parse(tmp_path / "dots.svg").getroot()
        heights.append(float(root.attrib["viewBox"].split()[3]))
    assert 72 / 25.4 * 72 < heights[0] < heights[1]


def test_in_red_nothing_is_green_or_blue(tmp_path: Path) -> None:
    from matplotlib.image import imread

    place = tmp_path / "dots.png"
    write_picture(picture_of(), place, RED)
    pixels = imread(place)
    assert pixels[..., 0].max() > 0.5
    assert pixels[..., 1:3].max() <= 10 / 255
