"""The square code on a paper: the very modules of the check page's address, large enough, its quiet zone kept."""

from __future__ import annotations

import re
import subprocess
from urllib.parse import parse_qs, urlsplit

import pikepdf
import pytest
import segno
from PIL import Image

from heaterapp.certificate import render_here
from heaterapp.certificate.square import QUIET, check_link, square_svg
from tests.certificate.test_archival import RULES

ADDRESS = "https://papers.harborlight.example/check"
SIDE_PT, SMALLEST_MM = 68, 18
MM_PER_PT = 25.4 / 72
DPI = 216


def modules_of(link):
    return [list(map(bool, row)) for row in segno.make(link, error="m", micro=False, boost_error=False).matrix]


def drawn(svg):
    """The modules that the shapes of the drawing fill, without the quiet zone."""
    side = int(re.search(r'viewBox="0 0 (\d+) \1"', svg).group(1)) - 2 * QUIET
    grid = [[False] * side for _ in range(side)]
    for x, y, across, back in re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", svg):
        assert across == back
        for at in range(int(across)):
            grid[int(y) - QUIET][int(x) - QUIET + at] = True
    return grid


@pytest.mark.parametrize("host", ["a.example", "papers.harborlight.example", "x" * 120 + ".example"])
def test_the_drawing_is_the_code_and_at_least_18_millimetres_wide(host):
    link = check_link(f"https://{host}/check", "C-000012", "7KQ2-M4XD-9TRA")
    assert parse_qs(urlsplit(link).query) == {"number": ["C-000012"], "code": ["7KQ2-M4XD-9TRA"]}
    grid = drawn(square_svg(link))
    assert grid == modules_of(link)
    assert len(grid) / (len(grid) + 2 * QUIET) * SIDE_PT * MM_PER_PT >= SMALLEST_MM


@pytest.mark.parametrize("address", ["", "ask at the counter", "javascript:alert(1)", "https://", "https://x/check?a=1", "https://" + "x" * 200])
def test_what_is_no_short_address_of_the_web_gets_no_code(address):
    assert check_link(address, "C-000012", "7KQ2-M4XD-9TRA") == square_svg("") == ""


@pytest.fixture(scope="module")
def coded(record_of, tmp_path_factory):
    """A paper with a check address, and its last page as a picture."""
    made = render_here(record_of(context={"check_address": ADDRESS}))
    folder = tmp_path_factory.mktemp("coded")
    (folder / "a.pdf").write_bytes(made["certificate.pdf"])
    page = ["-f", "2", "-l", "2", "-r", str(DPI), "-gray", "-png", "-singlefile"]
    subprocess.run(["pdftoppm", *page, str(folder / "a.pdf"), str(folder / "a")], check=True, timeout=60)
    return made, folder / "a.png", folder / "a.pdf"


def test_the_printed_squares_are_those_of_the_address_and_nothing_stands_in_the_quiet_zone(coded):
    _, picture, path = coded
    wanted = modules_of(check_link(ADDRESS, "C-000012", "7KQ2-M4XD-9TRA"))
    padded = [[False] * (len(wanted) + 8)] * 4 + [[False] * 4 + row + [False] * 4 for row in wanted] + [[False] * (len(wanted) + 8)] * 4
    with Image.open(picture) as page:
        dots, (width, height) = page.convert("L").load(), page.size
        module = SIDE_PT / len(padded) * DPI / 72
        left = width - (24 + SIDE_PT) * DPI / 72

        def fits(top):
            places = ((x, y) for y in range(len(padded)) for x in range(len(padded)))
            return all((dots[left + (x + 0.5) * module, top + (y + 0.5) * module] < 128) == padded[y][x] for x, y in places)

        found = [top for top in range(height // 2, height - int(SIDE_PT * DPI / 72)) if fits(top)]
    assert found, "no such code at the right edge of the page"
    with pikepdf.open(path) as pdf:
        assert len(pdf.pages) == 2, "a usual paper keeps its two pages"
    text = subprocess.run(["pdftotext", "-layout", str(path), "-"], capture_output=True, text=True, check=True).stdout
    assert "7KQ2-M4XD-9TRA" in text


def test_a_paper_with_it_is_archival_and_says_what_the_square_is(coded):
    made, _, path = coded
    with pikepdf.open(path.parent / "a.pdf") as pdf:
        assert any("Square code that opens" in str(one.get("/Alt", "")) for one in pdf.objects if isinstance(one, pikepdf.Dictionary))
    (path.parent / "b.pdf").write_bytes(made["certificate-archival.pdf"])
    with pikepdf.open(path.parent / "b.pdf") as pdf:
        assert [name for name, holds in RULES.items() if not holds(pdf)] == []
