"""The navigation: portfolio, buildings and their indexes, hand-written pages; never leaf pages."""

from __future__ import annotations

import posixpath
from collections.abc import Sequence
from html import escape

import jinja2
from jinja2.runtime import Context
from mkdocs.structure import StructureItem
from mkdocs.structure.nav import Navigation, Section
from mkdocs.structure.pages import Page as MkDocsPage

from recordgen.site.generated import GeneratedPage

THEME_PREFIX = "theme-itself"


def site_navigation(pages: Sequence[GeneratedPage], written: Navigation) -> Navigation:
    """Return the generated pages that have a label, then the navigation of hand-written ones.

    A leaf page gets its building's section as parent without being listed in it: the theme then
    opens that section while the leaf page is shown.
    """
    sections = _sections(pages)
    items: list[StructureItem] = []
    for page in pages:
        building = page.source.building
        if building in sections:
            section = sections[building]
            page.parent = section
            if section not in items:
                items.append(section)
        elif page.source.nav is not None:
            items.append(page)
    listed: list[MkDocsPage] = [page for page in pages if page.source.nav is not None]
    return Navigation(items + list(written.items), listed + list(written.pages))


def _sections(pages: Sequence[GeneratedPage]) -> dict[str | None, Section]:
    """Return building id → section of its labelled pages, the building's own index first."""
    labelled: dict[str, list[GeneratedPage]] = {}
    for page in pages:
        if page.source.building is not None and page.source.nav is not None:
            labelled.setdefault(page.source.building, []).append(page)
    sections: dict[str | None, Section] = {}
    for building, members in labelled.items():
        index = f"{building}/index.html"
        members.sort(key=lambda page: page.source.path != index)
        label = members[0].source.nav if members[0].source.path == index else building
        sections[building] = Section(escape(label or building), list(members))
    return sections


def render_once_per_section(environment: jinja2.Environment, theme_dirs: Sequence[str]) -> None:
    """Make the theme render its navigation for leaf pages once per section and folder.

    The navigation is the same on all leaf pages of a section but for the relative links, and those
    depend on the folder only. Rendering it anew on every page makes the build quadratic. The
    template `partials/nav.html` of this package calls what is installed here; the theme's own
    template stays reachable under a prefix.
    """
    own = environment.loader or jinja2.DictLoader({})
    themes = jinja2.PrefixLoader({THEME_PREFIX: jinja2.FileSystemLoader(list(theme_dirs))})
    environment.loader = jinja2.ChoiceLoader([own, themes])
    rendered: dict[tuple[int, str], str] = {}

    @jinja2.pass_context
    def section_navigation(context: Context) -> str:
        template = environment.get_template(f"{THEME_PREFIX}/partials/nav.html")
        page = context.get("page")
        if not isinstance(page, GeneratedPage) or page.source.nav is not None:
            return template.render(context.get_all())
        key = (id(page.parent), posixpath.dirname(page.url))
        if key not in rendered:
            rendered[key] = template.render(context.get_all())
        return rendered[key]

    environment.globals["section_navigation"] = section_navigation
