"""Build the site of documents: `python3 dev.py site`, or `python docs/site/make_site.py FOLDER`.

The documents are laid out as they lie in the repository, the reference pages are written anew from
the knowledge, and every page and link is checked: a document that is in no list, a link that leads
nowhere and a page that would fetch anything from elsewhere stop the build.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
FETCHED = {("script", "src"), ("img", "src"), ("link", "href"), ("iframe", "src")}
LINKED = {("a", "href")}


class Page(HTMLParser):
    """The anchors of a page, where it leads, and what it makes a browser fetch."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.anchors: set[str] = set()
        self.links: list[str] = []
        self.fetched: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note what one element says."""
        for name, value in attrs:
            if not value:
                continue
            if name in ("id", "name"):
                self.anchors.add(value)
            if (tag, name) in FETCHED:
                self.fetched.append(value)
            if (tag, name) in LINKED:
                self.links.append(value)


def lay_out(stage: Path) -> None:
    """Copy the documents to where they are built from, and write the reference pages there."""
    for name in ("README.md", "CONTRIBUTING.md", "CHANGELOG.md", "LICENSE"):
        shutil.copy(ROOT / name, stage / name)
    data_license = Path("src/tankside/library/data/LICENSE")
    (stage / data_license.parent).mkdir(parents=True)
    shutil.copy(ROOT / data_license, stage / data_license)
    shutil.copytree(ROOT / "docs", stage / "docs", ignore=shutil.ignore_patterns("site"))
    for name in ("index.md", "conf.py"):
        shutil.copy(HERE / name, stage / name)
    shutil.copytree(HERE / "static", stage / "static")
    from tankside.services.knowledge import write_pages

    write_pages(str(stage / "docs" / "reference"))


def faults_of(site: Path) -> Iterator[str]:
    """Yield what is wrong with the pages of a built site.

    Args:
        site: the folder of the built pages.

    Yields:
        One line for each link that leads nowhere and each thing fetched from elsewhere.
    """
    pages = {path: Page(path.read_text("utf-8")) for path in sorted(site.rglob("*.html"))}
    for path, page in pages.items():
        name = path.relative_to(site)
        for address in page.fetched:
            if urlsplit(address).netloc:
                yield f"{name} fetches {address}"
        for address in (*page.links, *page.fetched):
            parts = urlsplit(address)
            if parts.scheme or parts.netloc:
                continue
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            if not target.exists():
                yield f"{name} leads to {address}, which is not there"
            elif (
                parts.fragment
                and target in pages
                and unquote(parts.fragment) not in (pages[target].anchors)
            ):
                yield f"{name} leads to {address}, and there is no such place on that page"


def build(site: Path) -> int:
    """Build the site into a folder and check it; return 0 where nothing is wrong."""
    from sphinx.cmd.build import build_main  # only here: the checks need no Sphinx

    with tempfile.TemporaryDirectory() as folder:
        stage = Path(folder)
        lay_out(stage)
        words = ["-q", "-W", "--keep-going", "-E", "-b", "html", str(stage), str(site)]
        code = build_main(words)
    faults = list(faults_of(site.resolve()))
    print(*faults, sep="\n", file=sys.stderr)
    return code or int(bool(faults))


if __name__ == "__main__":
    sys.exit(build(Path(sys.argv[1])))
