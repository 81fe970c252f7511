"""Why a set of locks isolates: for every source a way that it would take, and where it ends."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from recordgen.network.between import Between
from recordgen.network.region import Region


@dataclass(frozen=True)
class Proof:
    """What one source would do.

    Attributes
    ----------
    source : str
    way : tuple of str
        From the source to the target: source tag, zones, device tags and couplings in turn.
    broken_by : str or None
        The lock nearest to the target on that way; None where nothing breaks it.
    """

    source: str
    way: tuple[str, ...]
    broken_by: str | None


def proof_of(
    between: Between, region: Region, sources: Iterable[str], locks: Collection[str]
) -> tuple[Proof, ...]:
    """Return a way to the target for every source, and the lock that breaks it.

    Parameters
    ----------
    between : Between
    region : Region
        What no lock stands between: a source in it reaches the target past all locks.
    sources : iterable of str
        Every source that some way leads from to the target.
    locks : collection of str
        Devices to lock.

    Returns
    -------
    tuple of Proof
        Sources that nothing breaks the way from first, then those with the shortest ways.

    Raises
    ------
    RuntimeError
        A source outside the region has a way without a lock on it: the locks do not isolate.
    """
    found = []
    for source in sources:
        if source in region.inside:
            found.append(Proof(source, region.way(source), None))
            continue
        way = between.way(source)
        broken_by = next((node for node in reversed(way) if node in locks), None)
        if broken_by is None:
            raise RuntimeError(f"no lock breaks the way from {source}: {way}")
        found.append(Proof(source, way, broken_by))
    found.sort(key=lambda proof: (proof.broken_by is not None, len(proof.way)))
    return tuple(found)
