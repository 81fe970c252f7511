"""The content security policy of every page: what a browser may run and fetch for it.

It stands in the page, as a site on a stick has no server to send it. A page may use what lies in
the site and nothing else; an inline script or style only if its digest is named. The digests are
those of the frame that the theme puts around a page. The HTML made of records is not searched for
scripts, it has none: should a word of the records ever get into a page unescaped, it does not run.

As tried with Chromium 156, from http and from file:

- 'self' takes in the files of a site that is opened from a stick. By the letter of the standard
  (Content Security Policy Level 3, 6.7.2.8) the opaque origin of a file is equal to no other, so
  `file:` is named as well, for browsers that go by it. A site on a server gains nothing by it: no
  browser lets a page of a server fetch a file.
- A file may then load any script of the same stick or disk. No policy can tell two folders of a
  disk apart; what holds is that no other host is asked.
- The theme's search needs no `blob:` and no inline script: `assets/iframe-worker.js` is our own.
- `frame-ancestors` and `report-to` are ignored in a page, so they are left out. Who wants no other
  site to frame the pages has to say so in the header of the server.
"""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass, field

_CHARSET = '<meta charset="utf-8">'
# As themes write them; what is written otherwise is not named, and does not run.
_INLINE = re.compile(r"<(script|style)\b([^>]*)>(.*?)</\1>", re.DOTALL)
_SITE = "'self' file:"


@dataclass
class Policies:
    """Puts the policy into pages; remembers the digests, as frames are much alike.

    Attributes
    ----------
    live : bool
        Whether the live server puts a script of its own into each page, always another one: inline
        scripts are then allowed, other hosts still not.
    """

    live: bool = False
    _digests: dict[str, str] = field(default_factory=dict)

    def with_policy(self, page: str, made: str = "") -> str:
        """Return a finished page with its policy, before anything that it governs.

        Parameters
        ----------
        page : str
            The page as it will be written.
        made : str
            The part of it that is made of records; what is inline there is not allowed.
        """
        # A browser looks for the charset near the start only; a theme may leave it out.
        before, found, after = page.partition(_CHARSET if _CHARSET in page else "<head>")
        if not found:
            return page  # no page: the site map
        frame = page.replace(made, "", 1) if made else page
        return f"{before}{found}{self._element(frame)}{after}"

    def _element(self, frame: str) -> str:
        allowed: dict[str, set[str]] = {"script": set(), "style": set()}
        for kind, attributes, text in _INLINE.findall(frame):
            # Data, such as the theme's settings, is not run; an address is judged by itself.
            if " src=" not in attributes and "application/" not in attributes:
                allowed[kind].add(self._digest(text))
        scripts = ["'unsafe-inline'"] if self.live else sorted(allowed["script"])
        rules = [
            f"default-src {_SITE}",
            " ".join(("script-src", _SITE, *scripts)),
            " ".join(("style-src", _SITE, *sorted(allowed["style"]))),
            f"img-src {_SITE} data:",
            "frame-src 'none'",
            "object-src 'none'",
            "base-uri 'none'",
            "form-action 'none'",
        ]
        # Hand-written tables with aligned columns; such a style cannot fetch from another host.
        if " style=" in frame:
            rules.append("style-src-attr 'unsafe-inline'")
        return f'<meta http-equiv="Content-Security-Policy" content="{"; ".join(rules)}">'

    def _digest(self, text: str) -> str:
        if text not in self._digests:
            digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
            self._digests[text] = f"'sha256-{digest}'"
        return self._digests[text]
