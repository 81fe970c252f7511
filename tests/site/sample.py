"""Pages made by hand that use every class of the style sheets, as the page templates do."""

from dataclasses import dataclass, field
from html import escape

from recordgen.pages.page import Heading, Page
from recordgen.problems import Problem

HOSTILE = '</title><script>alert(1)</script><img src=x onerror="alert(1)">"\'&'


@dataclass(frozen=True)
class SamplePortfolio:
    """Stands for a loaded portfolio: the plugin asks for nothing but its problems."""

    problems: tuple[Problem, ...] = ()
    pages: tuple[Page, ...] = field(default=())


def page(path: str, title: str = "A title", body: str = "", **changes: object) -> Page:
    """Return a leaf page, changed as told."""
    values: dict[str, object] = {
        "path": path,
        "title": title,
        "html": f'<h1 id="top">{escape(title)}</h1>{body}',
        "contents": (Heading(1, "top", title), Heading(2, "more", "More of it")),
        "building": None,
        "nav": None,
        "searched": False,
        "revision": "1a2b3c4d",
    }
    return Page(**(values | changes))  # type: ignore[arg-type]


def sample_pages() -> tuple[Page, ...]:
    """Return a small site: portfolio, two buildings with indexes, leaf pages."""
    return (
        page("index.html", "All buildings", nav="Buildings", searched=True),
        page("depot/index.html", "Depot", building="depot", nav="Tram depot", searched=True),
        page("depot/panels/index.html", "Panels", building="depot", nav="Panels", searched=True),
        page(
            "depot/panels/P1.html",
            "Panel P1",
            '<p><a href="../index.html">Depot</a></p>' + directory(42) + stacked_table(),
            building="depot",
            searched=True,
        ),
        page("depot/panels/P2.html", "Panel P2", building="depot"),
        page("depot/lockout/P1.html", "Lockout of P1", lockout(), building="depot"),
        page("depot/lockout/P2.html", f"Lockout {HOSTILE}", wide_table(), building="depot"),
        # In another order than its label wants: the index of the building comes last.
        page("annex/rooms/index.html", "Rooms", building="annex", nav="Rooms", searched=True),
        page("annex/index.html", "Annex", building="annex", nav=f"Annex {HOSTILE}", searched=True),
        page("annex/panels/README.html", "Panel README", building="annex"),
    )


def directory(positions: int) -> str:
    """Return a panel directory, with one three-pole device on 2-4-6 and a spare on 5."""
    rows = "".join(_directory_row(odd) for odd in range(1, positions, 2))
    return (
        '<table class="rg-directory"><caption>Directory of P1</caption><thead><tr>'
        '<th class="rg-position rg-odd">No.</th><th class="rg-circuit rg-odd">Circuit</th>'
        '<th class="rg-phase rg-odd">Ph.</th><th class="rg-phase rg-even">Ph.</th>'
        '<th class="rg-circuit rg-even">Circuit</th><th class="rg-position rg-even">No.</th>'
        f"</tr></thead><tbody>{rows}</tbody></table>"
    )


def _directory_row(odd: int) -> str:
    phase = "ABC"[(odd - 1) // 2 % 3]
    left = '<td class="rg-circuit rg-odd">Receptacles east wall, rooms 101 to 104, 20 A</td>'
    right = '<td class="rg-circuit rg-even">Lighting, workshop hall, 20 A</td>'
    if odd == 5:
        left = '<td class="rg-circuit rg-odd rg-spare">Spare, 20 A</td>'
    if odd == 1:
        right = '<td class="rg-circuit rg-even" rowspan="3">2-4-6 Air compressor, 60 A 3-pole</td>'
    if odd in (3, 5):
        right = ""
    return (
        f'<tr><th scope="row" class="rg-position rg-odd"><a href="#more">{odd}</a></th>{left}'
        f'<td class="rg-phase rg-odd">{phase}</td><td class="rg-phase rg-even">{phase}</td>'
        f'{right}<th scope="row" class="rg-position rg-even"><a href="#more">{odd + 1}</a></th>'
        "</tr>"
    )


def stacked_table() -> str:
    """Return the table of a downstream list, one row for each outcome."""
    outcomes = ["dark", "interrupted", "rides-through", "loses-standby", "unaffected", "abnormal"]
    grades = ["unverified", "traced", "confirmed"]
    rows = "".join(
        f'<tr><th scope="row"><a href="#top">P1/{n}</a></th>'
        f'<td data-label="Load">Receptacles in the long corridor of the east wing</td>'
        f'<td data-label="Room">{100 + n}</td>'
        f'<td data-label="Outcome"><span class="rg-outcome rg-outcome--{outcome}">{outcome}</span>'
        f'</td><td data-label="Evidence"><span class="rg-grade rg-grade--{grades[n % 3]}">'
        f"{grades[n % 3]}</span></td></tr>"
        for n, outcome in enumerate(outcomes)
    )
    return (
        '<h2 id="more">Loads</h2><table class="rg-table rg-stack"><thead><tr><th>Circuit</th>'
        "<th>Load</th><th>Room</th><th>Outcome</th><th>Evidence</th></tr></thead>"
        f"<tbody>{rows}</tbody></table>"
    )


def wide_table() -> str:
    """Return a table of eight columns with and without a class, each last cell a mark to find."""
    cells = "".join(f"<td>column {n} with words</td>" for n in range(1, 7))
    cells += f"<td>{'unbroken' * 12}</td>"
    rows = "".join(f"<tr>{cells}<td>last{n}</td></tr>" for n in range(60))
    head = "".join(f"<th>Head {n}</th>" for n in range(1, 9))
    body = f"<thead><tr>{head}</tr></thead><tbody>{rows}</tbody>"
    return f'<table class="rg-table">{body}</table><table>{body.replace("last", "plain")}</table>'


def lockout() -> str:
    """Return the parts of a lockout sheet."""
    return """
<p class="rg-sheet-head"><span>Tram depot</span> <span>Revision 1a2b3c4d</span>
<span>As of 2026-03-01</span></p>
<section class="rg-stop"><h2>STOP: a trace contradicts this record</h2>
<p>P1/14 was found to feed this load on 2026-02-03.</p></section>
<div class="rg-answer rg-answer--no"><strong>Cannot be isolated here.</strong>
<p>The utility service reaches the line terminals through nothing that locks.</p></div>
<div class="rg-answer rg-answer--yes"><strong>Two locks.</strong></div>
<div class="rg-answer rg-answer--unproven"><strong>Not proven.</strong></div>
<nav class="rg-actions" aria-label="Next"><a href="#more">Downstream list</a>
<a href="#more">Feed path</a></nav>
<section class="rg-warning"><h3>Stored energy</h3><p>Wait 5 minutes.</p></section>
<section class="rg-note"><p>Also printed on the door.</p></section>
<dl class="rg-facts"><div><dt>System</dt><dd>480Y/277 V</dd></div>
<div><dt>Bus rating</dt><dd><span class="rg-unknown">not recorded</span></dd></div>
<div><dt>Connected load</dt><dd>41 kVA <span class="rg-origin">computed</span></dd></div></dl>
<h2 id="more">Locks</h2>
<ol class="rg-locks"><li><strong>MSB/12</strong> in the main electrical room, third section</li>
<li><strong>DS-2</strong> beside the unit</li></ol>
<h2>Feed path</h2>
<ol class="rg-path"><li>Utility service</li><li>MSB, 800 A</li><li class="rg-path__open">MSB/12,
60 A</li><li>P1</li></ol>
<section class="rg-cautions"><h2>Before you rely on this</h2><ul><li>Test before touch.</li>
<li>Qualified persons only.</li></ul></section>
<div class="rg-signoff"><div>Locked by</div><div>Tested by</div><div>Date</div></div>
<footer class="rg-foot"><p>An aid, no proof.</p></footer>"""
