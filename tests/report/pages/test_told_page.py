"""The file for a member: each kind of record with its reason and all its rows, texts of people's own as text."""

from datetime import date

from obslog.club.privacy.kept_about import KeptAbout, KeptSection
from obslog.report.pages.told_page import told_page
from obslog.report.pages.writing import page_html

TOLD = KeptAbout(
    member="Zoë <Kettle>",
    day=date(2026, 3, 2),
    kept_until="Kept for a while.",
    sections=[
        KeptSection(
            title="Loans to you", why="To know.", columns=["equipment"], rows=[["Wide 25"], ["Stop 20"]]
        ),
        KeptSection(title="Texts", why="Somebody wrote.", columns=["text"], rows=[["<script>x</script>"]]),
    ],
    copies=["/data/copy.db"],
)


def test_every_section_reason_row_and_copy_stands_on_the_page() -> None:
    html = page_html(told_page(TOLD))
    for words in (
        "Loans to you", "To know.", "Wide 25", "Stop 20", "Loans to you: 2 rows", "Texts: 1 row",
        "Kept for a while.", "/data/copy.db", "Zoë &lt;Kettle&gt;", "&lt;script&gt;",
    ):  # fmt: skip
        assert words in html, words
    assert "<script" not in html
