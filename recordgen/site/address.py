"""The address that a site is reached at: what the codes of prints and labels lead to."""

from __future__ import annotations

from ipaddress import ip_address
from urllib.parse import urlsplit

_HERE_ONLY = "localhost"


def site_address(option: str | None, site_url: str | None) -> str:
    """Return the address of a site without a slash at its end; empty where none is configured.

    Parameters
    ----------
    option : str or None
        The `address` of the plugin's options.
    site_url : str or None
        What MkDocs calls it, taken where there is no option. While MkDocs serves a site, that is
        the machine it runs on: a code that leads there would lead nowhere, so it is no address.

    Raises
    ------
    ValueError
        The option is no address that a phone could open, or not in ASCII as codes need it.

    Examples
    --------
    >>> site_address("https://records.example.org/site/", None)
    'https://records.example.org/site'
    >>> site_address(None, "http://127.0.0.1:8000/")
    ''
    """
    if option:
        wrong = _wrong(option)
        if wrong:
            raise ValueError(f"address: {wrong}, found {option!r}")
        return option.rstrip("/")
    return "" if not site_url or _wrong(site_url) else site_url.rstrip("/")


def _wrong(text: str) -> str:
    """Return what is wrong with an address, in words; empty where nothing is."""
    try:
        parts = urlsplit(text)
        host = parts.hostname
        _ = parts.port
    except ValueError as error:
        return f"expected an address like https://records.example.org, {error}"
    if parts.scheme not in ("http", "https") or not host:
        return "expected an address like https://records.example.org"
    if not text.isascii() or not text.isprintable() or " " in text:
        return "expected letters, digits and signs of ASCII alone"
    if "?" in text or "#" in text or "@" in parts.netloc:
        return "expected no user, question mark or #"
    if host == _HERE_ONLY or host.endswith(f".{_HERE_ONLY}") or _is_this_machine(host):
        return "expected an address that other devices reach"
    return ""


def _is_this_machine(host: str) -> bool:
    try:
        found = ip_address(host)
    except ValueError:
        return False
    return found.is_loopback or found.is_unspecified
