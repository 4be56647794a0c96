"""The page in a real browser: every size, light and dark, on paper, alone, and readable."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from advisor.page import page_of
from tests.page.browser import (
    OVERFLOWING,
    PICTURES,
    UNBROKEN,
    contrast,
    contrasts,
    luminance,
    overlapping,
    pdf_pages,
)
from tests.page.shop import CASES, assessed, case_of, demo_page

pytestmark = pytest.mark.slow

BROWSER = next(filter(None, map(shutil.which, ("chromium", "google-chrome"))), None)
SIZES = {"phone": (360, 740), "tablet": (768, 1024), "desktop": (1280, 800)}
# width between the margins, and the sheet in points, by name of the paper
PAPERS = {"a4": (680, (595, 842)), "letter": (703, (612, 792))}
SCHEMES = ("light", "dark")
NAMES = ("pictures", "two-pieces", "shims", "stop", "nasty")
DRAWN = ("pictures", "two-pieces", "shims")
NASTY = (
    "<script>document.title = 'taken'</script><img src='https://example.invalid/x.png' "
    "onerror='document.title = 1'><style>body {display: none}</style>\u202etxet\u2066 "
    "\u0007\u001b[31m \U0001f468\u200d\U0001f527 </h1></main>"
)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    if BROWSER is None:
        pytest.skip("neither chromium nor google-chrome is installed")
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as started:
        opened = started.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("pages")


@pytest.fixture(scope="module")
def shown(browser: Any, folder: Path) -> Any:
    """Opens a page by its name; what it asks for and complains of is kept on it."""

    @cache
    def opened(name: str) -> Any:
        path = folder / f"{name}.html"
        path.write_text(made(name, folder), encoding="utf-8")
        page = browser.new_page()
        page.asked, page.complaints = [], []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("console", lambda message: page.complaints.append(message.text))
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        page.goto(path.as_uri())
        return page

    return opened


def made(name: str, folder: Path) -> str:
    if name == "nasty":
        about = {"vehicle": NASTY * 4, "complaint": NASTY + "x" * 100_000}
        answers = {"last-work": "joint-replaced", "tyre-size": NASTY}
        session = case_of(folder / "nasty.yaml", answers, **about)
        return page_of(session, assessed(session))
    return {
        "pictures": lambda: demo_page("estate-boom-too-close-to-call"),
        "two-pieces": lambda: demo_page("saloon-shake-with-the-engine"),
        "shims": lambda: demo_page("lifted-pickup-moan", shims=CASES / "shims/lifted-pickup.yaml"),
        "stop": lambda: demo_page("coupe-loose-flange"),
    }[name]()


FAULTY = """<style>:root {--tint: #eee}</style><body style="margin: 0; background: #fff"><main>
<div style="width: 3000px">too wide</div><p style="color: #999">too pale</p>
<p style="color: #767676">just dark enough</p><figure><svg viewBox="0 0 100 20"><title>t</title>
<path d="M0 0L9 9"/><text x="1" y="10">one</text><text x="3" y="10">two</text></svg></figure>
</main><img src="https://example.invalid/x.png"></body>"""


def set_up(page: Any, size: str, scheme: str) -> None:
    width, height = SIZES[size]
    page.emulate_media(media="screen", color_scheme=scheme)
    page.set_viewport_size({"width": width, "height": height})


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("size", SIZES)
def test_nothing_reaches_beyond_the_window(shown: Any, name: str, size: str) -> None:
    page = shown(name)
    set_up(page, size, "light")
    assert page.evaluate(OVERFLOWING) == []


@pytest.mark.parametrize("name", NAMES)
def test_page_asks_for_nothing_and_complains_of_nothing(shown: Any, name: str) -> None:
    page = shown(name)
    assert [url for url in page.asked if not url.startswith("file:")] == []
    assert len(page.asked) == 1
    assert page.complaints == []


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("scheme", [*SCHEMES, "print"])
def test_all_words_stand_out_from_what_is_behind_them(shown: Any, name: str, scheme: str) -> None:
    """WCAG 2.2, success criterion 1.4.3 (level AA)."""
    page = shown(name)
    set_up(page, "desktop", "light" if scheme == "print" else scheme)
    if scheme == "print":
        page.emulate_media(media="print", color_scheme="dark")
    found = contrasts(page)
    assert len(found) > 50
    assert [one for one in found if one.ratio < one.needed] == []


@pytest.mark.parametrize("name", DRAWN)
@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_pictures_are_drawn_and_their_words_lie_inside_and_apart(
    shown: Any, name: str, size: str
) -> None:
    page = shown(name)
    set_up(page, size, "light")
    pictures = page.evaluate(PICTURES)
    assert len(pictures) >= 3
    for picture in pictures:
        box = picture["box"]
        drawn = picture["drawn"]
        across = max(one["right"] for one in drawn) - min(one["left"] for one in drawn)
        assert across > 0.6 * (box["right"] - box["left"]), picture["title"]
        assert sum(one["right"] > one["left"] or one["bottom"] > one["top"] for one in drawn) > 5
        outside = [
            one["text"]
            for one in picture["texts"]
            if one["left"] < box["left"]
            or one["right"] > box["right"]
            or one["top"] < box["top"] - 1.0
            or one["bottom"] > box["bottom"] + 1.0
        ]
        assert outside == [], picture["title"]
        assert overlapping(picture["texts"]) == [], picture["title"]


@pytest.mark.parametrize("name", DRAWN)
def test_words_in_pictures_can_be_read_on_a_phone(shown: Any, name: str) -> None:
    page = shown(name)
    set_up(page, "phone", "light")
    texts = [text for picture in page.evaluate(PICTURES) for text in picture["texts"]]
    heights = [min(one["bottom"] - one["top"], one["right"] - one["left"]) for one in texts]
    assert min(heights) > 4.0
    assert max(one["bottom"] - one["top"] for one in texts if "\n" not in one["text"]) > 9.0


@pytest.mark.parametrize("scheme", SCHEMES)
def test_dark_screen_gets_a_dark_page_with_light_lines_in_the_same_pictures(
    shown: Any, scheme: str
) -> None:
    page = shown("pictures")
    set_up(page, "desktop", scheme)
    colour = "e => getComputedStyle(e).{}"
    paper = page.locator("body").evaluate(colour.format("backgroundColor"))
    stroke = page.locator('[data-part="density"] path').first.evaluate(colour.format("stroke"))
    assert (luminance(paper) < 0.1) == (scheme == "dark")
    assert (luminance(stroke) > 0.5) == (scheme == "dark")
    assert contrast(paper, stroke) > 7.0


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("paper", PAPERS)
def test_page_fits_the_paper(shown: Any, name: str, paper: str) -> None:
    page = shown(name)
    width, sheet = PAPERS[paper]
    page.emulate_media(media="print", color_scheme="light")
    page.set_viewport_size({"width": width, "height": 900})
    assert page.evaluate(OVERFLOWING) == []
    assert page.evaluate(UNBROKEN) == []
    tall = "es => es.map(e => e.getBoundingClientRect().height)"
    assert max([0.0, *page.locator("figure").evaluate_all(tall)]) < 600.0
    sheets = pdf_pages(page.pdf(format=paper))
    for found in sheets:
        assert found == pytest.approx(sheet, abs=1.5)
    assert 2 <= len(sheets) <= (60 if name == "nasty" else 18)


@pytest.mark.parametrize("paper", PAPERS)
def test_paper_that_was_asked_for_decides_the_sheet(browser: Any, paper: str) -> None:
    page = browser.new_page()
    page.set_content(demo_page("coupe-loose-flange", paper))
    sheets = pdf_pages(page.pdf(prefer_css_page_size=True))
    assert len(sheets) > 1
    for sheet in sheets:
        assert sheet == pytest.approx(PAPERS[paper][1], abs=1.5)
    page.close()


def test_text_from_people_stays_text(shown: Any) -> None:
    page = shown("nasty")
    set_up(page, "phone", "light")
    assert page.title() == "Driveline report: made"
    assert page.locator("script, img, body style").count() == 0
    assert page.locator("h1").count() == 1
    assert page.locator("h1").inner_text() == "made"
    assert "</h1></main>" in page.locator("main > p").first.inner_text()
    assert page.locator("main h2").count() >= 3
    assert len(page.locator("blockquote").inner_text()) > 100_000


def test_measures_see_what_is_wrong(browser: Any) -> None:
    """Else the tests above would check nothing; #767676 on white is known to be 4.54 to 1."""
    page = browser.new_page(viewport={"width": 360, "height": 740})
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.set_content(FAULTY)
    assert [one for one in page.evaluate(OVERFLOWING) if "too wide" in one]
    pale = [one for one in contrasts(page) if one.ratio < one.needed]
    assert [one.text for one in pale] == ["too pale"]
    (fair,) = [one for one in contrasts(page) if one.text == "just dark enough"]
    assert fair.ratio == pytest.approx(4.54, abs=0.005)
    (picture,) = page.evaluate(PICTURES)
    assert overlapping(picture["texts"]) == [("two", "one")]
    assert page.evaluate(UNBROKEN) != []
    assert asked == ["https://example.invalid/x.png"]
    page.close()


def test_what_got_past_the_template_is_stopped_by_the_policy(browser: Any, folder: Path) -> None:
    attack = (
        "<script>document.title = 'taken'</script><svg onload=\"document.title = 'taken'\"></svg>"
        "<img src='https://example.invalid/x.png' onerror=\"document.title = 'taken'\">"
        "<iframe src='https://example.invalid/'></iframe><base href='https://example.invalid/'>"
    )
    path = folder / "attacked.html"
    path.write_text(demo_page("pickup-shake").replace("</main>", f"{attack}</main>"), "utf-8")
    page = browser.new_page()
    ends: list[str] = []
    page.on("requestfailed", lambda request: ends.append(f"{request.url} {request.failure}"))
    page.on("requestfinished", lambda request: ends.append(f"{request.url} fetched"))
    page.goto(path.as_uri())
    assert page.locator("svg[onload]").count() == 1
    assert page.title() != "taken"
    assert ends[0] == f"{path.as_uri()} fetched"
    assert [end for end in ends[1:] if not end.endswith(" csp")] == []
    assert page.evaluate("document.baseURI") == path.as_uri()
    page.close()
