"""How much of a sheet is proven: values that pages, terminal text and JSON are made from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from recordgen.evidence.coverage import Coverage
from recordgen.evidence.grades import GRADES, Grade, GradeName

LinkKind = Literal["hangs on", "fed from", "neutral", "pass-through"]

NO_SECOND_SOURCE: Final = "Confirmed never proves that there is no second source."


@dataclass(frozen=True)
class ProvenLink:
    """One statement that a sheet leans on, and how well it is known.

    Attributes
    ----------
    kind : LinkKind
        `hangs on` of a load and its circuit, `fed from` of a panel or equipment; `neutral` and
        `pass-through` of what can only be looked for.
    thing, by : str
        Full tags; `by` is empty where the statement is about one thing alone.
    grade : Grade
    count : int
        How many of the things asked for lean on it.
    """

    kind: LinkKind
    thing: str
    by: str
    grade: Grade
    count: int = 1

    @property
    def words(self) -> tuple[str, str]:
        """What is said, around the tags: before `thing`, and between it and `by`."""
        return {
            "hangs on": ("", "hangs on"),
            "fed from": ("", "is fed from"),
            "neutral": ("whether", "shares its neutral"),
            "pass-through": ("what passes through", ""),
        }[self.kind]


@dataclass(frozen=True)
class Unproven:
    """Loads that are not verified, all for the same reason."""

    reason: str
    tags: tuple[str, ...]


@dataclass(frozen=True)
class Proven:
    """How much of a sheet is proven.

    Attributes
    ----------
    of : {"list", "locks"}
        Whether it is a list of what goes dark, or a sheet of locks with such a list beside it.
    loads : Coverage
        The loads of its list on their own circuits.
    unproven : tuple of Unproven
        Those that are not verified, by the reason, in order of the list.
    links : tuple of ProvenLink
        What else it leans on, weakest first.
    unfollowed : tuple of str
        Full tags of what hangs on what is opened by no recorded feed: by a tie, a neutral.
    """

    of: Literal["list", "locks"]
    loads: Coverage
    unproven: tuple[Unproven, ...]
    links: tuple[ProvenLink, ...]
    unfollowed: tuple[str, ...]

    @property
    def feeds(self) -> tuple[ProvenLink, ...]:
        """What can be traced or opened; the others can only be looked for."""
        return tuple(link for link in self.links if link.by)

    @property
    def looks(self) -> tuple[ProvenLink, ...]:
        """What can only be looked for."""
        return tuple(link for link in self.links if not link.by)

    @property
    def weakest(self) -> ProvenLink | None:
        """The weakest of the links; None where there are none, or a load is weaker than all."""
        first = self.links[0] if self.links else None
        return first if first is not None and first.grade.name == self.governs else None

    @property
    def governs(self) -> GradeName | None:
        """The grade of the weakest: of a list its loads count, of locks the way to them alone.

        None where there is nothing that could be weak.
        """
        counts = (self.loads.unverified, self.loads.traced, self.loads.confirmed)
        found = [link.grade.name for link in self.links[:1]]
        if self.of == "list":
            found += [name for name, count in zip(GRADES, counts, strict=True) if count]
        return min(found, key=GRADES.index, default=None)

    @property
    def headline(self) -> str:
        """What governs, in a sentence without a full stop; empty where nothing does."""
        if self.governs is None:
            return ""
        what = "This list as a whole" if self.of == "list" else "The way to these locks"
        return f"{what} is known no better than {self.governs}"

    @staticmethod
    def verified(links: tuple[ProvenLink, ...]) -> int:
        """Return how many of some links are verified."""
        return sum(link.grade.name != "unverified" for link in links)
