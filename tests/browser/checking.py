"""What must hold of every page, on a phone and on a desk, by day and by night."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

if TYPE_CHECKING:
    from playwright.sync_api import ConsoleMessage, Page, Request, Response

HERE: Final = Path(__file__).resolve().parent
SCREENSHOTS: Final = HERE.parent.parent / "build" / "screenshots"
AXE: Final = next((HERE / "vendor").glob("axe-core-*/axe.min.js"))
WIDTHS: Final = ((1280, 900), (390, 844))
NARROWEST: Final = (360, 740)
SCHEMES: Final[tuple[Literal["light", "dark"], ...]] = ("light", "dark")
# Web Content Accessibility Guidelines 2.2, level AA: axe-core's own tags for it.
TAGS: Final = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]
# That something was not accepted or is not there (4xx) is no fault, though browser and htmx say so.
EXPECTED: Final = ("Failed to load resource", "Response Status Error Code 4")
RUN_AXE: Final = """
async (only) => {
  const found = await axe.run({runOnly: only, resultTypes: ["violations"]});
  return found.violations.map(({id, help, nodes}) => ({
    id, help, where: nodes.map(({html, failureSummary}) => `${html}  ${failureSummary}`),
  }));
}
"""
SIDEWAYS: Final = """
() => {
  const page = document.documentElement;
  const reach = Math.max(page.scrollWidth, document.body.scrollWidth);
  const wide = [...document.querySelectorAll("body *")].filter((each) => {
    const {left, right, width} = each.getBoundingClientRect();
    return width && (right > page.clientWidth + 1 || left < -1) && !each.closest(".skip");
  });
  return reach <= page.clientWidth ? [] : [
    `${reach} of ${page.clientWidth}`,
    ...wide.slice(0, 5).map((each) => each.outerHTML.slice(0, 160)),
  ];
}
"""


class Watch:
    """Notes what goes wrong on a page while a test uses it."""

    def __init__(self, page: Page, url: str) -> None:
        self.url = url
        self.faults: list[str] = []
        page.on("console", self._console)
        page.on("pageerror", lambda error: self.faults.append(f"error on the page: {error}"))
        page.on("request", self._request)
        page.on("response", self._response)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error" and not message.text.startswith(EXPECTED):
            self.faults.append(f"on the console: {message.text}")

    def _request(self, request: Request) -> None:
        if not request.url.startswith((self.url, "data:", "blob:")):
            self.faults.append(f"asked of another host: {request.url}")

    def _response(self, response: Response) -> None:
        is_ours = response.status >= (400 if "/static/" in response.url else 500)
        if is_ours:
            self.faults.append(f"{response.status} {response.url}")


def check_page(page: Page, name: str) -> None:
    """Look at a page on both widths in both colour schemes; keep pictures of all four.

    Parameters
    ----------
    page : Page
        As a test has brought it; its size and scheme are put back afterwards.
    name : str
        What the pictures are called: ``build/screenshots/<name>-<width>-<scheme>.png``.
    """
    before = page.viewport_size
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    faults: list[str] = []
    for width, height in WIDTHS:
        page.set_viewport_size({"width": width, "height": height})
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
            faults += [f"{width} {scheme}: {each}" for each in run_axe(page, scheme)]
            page.screenshot(path=SCREENSHOTS / f"{name}-{width}-{scheme}.png", full_page=True)
        faults += [f"{width} scrolls sideways: {each}" for each in page.evaluate(SIDEWAYS)]
    page.set_viewport_size({"width": NARROWEST[0], "height": NARROWEST[1]})
    faults += [f"{NARROWEST[0]} scrolls sideways: {each}" for each in page.evaluate(SIDEWAYS)]
    page.emulate_media(color_scheme="light")
    if before is not None:
        page.set_viewport_size(before)
    assert faults == [], "\n".join(faults)


def run_axe(page: Page, scheme: str = "light") -> list[str]:
    """Return what axe finds against the guidelines, each with the elements it is about.

    By night only contrast is looked at again: nothing else depends on the colours.
    """
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    by_night = {"type": "rule", "values": ["color-contrast"]}
    only = by_night if scheme == "dark" else {"type": "tag", "values": TAGS}
    found: list[dict[str, Any]] = page.evaluate(RUN_AXE, only)
    return [f"{each['id']}: {each['help']}: {'; '.join(each['where'])}" for each in found]
