"""Labels stay on their paper and beside one another."""

import pytest

from obslog.report.forms.label_sheets import SHEETS, LabelSize


@pytest.mark.parametrize("size", LabelSize)
def test_all_labels_lie_on_the_paper(size: LabelSize) -> None:
    sheet = SHEETS[size]
    width, height = sheet.paper.size_mm
    assert [round(side) for side in (sheet.width_mm, sheet.height_mm)] == [
        pytest.approx(int(side), abs=1) for side in size.value.split("x")
    ]
    corners = [sheet.corner(place) for place in range(sheet.count)]
    assert len(set(corners)) == sheet.count
    for x, y in corners:
        assert 0 <= x <= width - sheet.width_mm + 1e-9
        assert 0 <= y <= height - sheet.height_mm + 1e-9
    assert corners[1][0] - corners[0][0] == pytest.approx(sheet.width_mm + sheet.gap_mm)
    assert corners[sheet.columns][1] - corners[0][1] == pytest.approx(sheet.height_mm)
    # As much is left over at the right as at the left, and below as above.
    assert width - (corners[-1][0] + sheet.width_mm) == pytest.approx(corners[0][0])
    assert height - (corners[-1][1] + sheet.height_mm) == pytest.approx(corners[0][1])


def test_the_middle_of_a_sheet_by_hand() -> None:
    sheet = SHEETS[LabelSize.W38_H21]
    assert sheet.left_mm == pytest.approx((210 - 5 * 38.1 - 4 * 2.5) / 2)  # 4.75
    assert sheet.top_mm == pytest.approx((297 - 13 * 21.2) / 2)  # 10.7
