"""The hand-written pages that come with the program: how to read a sheet, safety, glossary."""

from __future__ import annotations

from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel


def guide_folder() -> Path:
    """Return the folder of the guide: inside an installed package, at the top of a checkout."""
    packaged = Path(__file__).parent / "guide"
    return packaged if packaged.is_dir() else Path(__file__).parents[2] / "site_src"


def add_guide(files: Files, config: MkDocsConfig) -> None:
    """Add each page of the guide that the owner has not written anew under the same name.

    The sheets link to these pages, so every site has them. An owner's own `nav` is left as it is.
    """
    listed = InclusionLevel.UNDEFINED if config.nav is None else InclusionLevel.NOT_IN_NAV
    for path in sorted(guide_folder().glob("*.md")):
        if files.get_file_from_path(path.name) is None:
            files.append(
                File(
                    path.name,
                    str(path.parent),
                    config.site_dir,
                    config.use_directory_urls,
                    inclusion=listed,
                )
            )
