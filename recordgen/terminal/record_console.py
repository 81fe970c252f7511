"""Where questions are put and answers come from: a terminal, or a file or pipe in its place."""

from __future__ import annotations

import io
import sys
from contextlib import suppress
from typing import TextIO


class Stopped(Exception):
    """There are no more answers: interrupted, or the input has ended."""


class Refused(Exception):
    """An answer that nobody can be asked about again was wrong."""


class Console:
    """Asks on one stream and reads lines.

    Parameters
    ----------
    out : file
        Where everything is said; standard output in a dialogue, standard error where standard
        output is for the YAML alone.
    source : file
        Where answers come from.

    Attributes
    ----------
    typed : bool
        Whether somebody types the answers, so that a wrong one can be asked again. In a pipe the
        next line answers another question: asked again, it would land in the wrong place.
    count : int
        Lines read so far.
    """

    def __init__(self, out: TextIO, source: TextIO) -> None:
        self._out = out
        self._source = source
        if isinstance(out, io.TextIOWrapper):
            # A screen of few characters shows a mark; what goes into the file is whole.
            out.reconfigure(errors="replace")
        self.typed = source.isatty()
        self.count = 0
        both = self.typed and out is sys.stdout and out.isatty() and source is sys.stdin
        self._edited = both and _keys_edit_a_line()

    def line(self, prompt: str) -> str:
        """Return the next answer, without spaces around it.

        Raises
        ------
        Stopped
        """
        try:
            if self._edited:
                text = input(prompt)
            else:
                self._out.write(prompt)
                self._out.flush()
                text = self._source.readline()
                if not text:
                    raise Stopped
                if not self.typed:
                    # The answer of a pipe is not on the screen, nor is the end of its line.
                    self.say(text.rstrip("\r\n"))
        except (KeyboardInterrupt, EOFError):
            raise Stopped from None
        self.count += 1
        return text.strip()

    def forget(self) -> None:
        """Forget what was typed before it was asked for."""
        if not self.typed:
            return
        with suppress(ImportError, OSError, ValueError):
            import termios

            termios.tcflush(self._source.fileno(), termios.TCIFLUSH)

    def say(self, text: str = "") -> None:
        """Say one line."""
        self._out.write(text + "\n")

    def wrong(self, text: str, at: int) -> None:
        """Say what is wrong with an answer; `at` is the number of its line.

        Raises
        ------
        Refused
            Nobody is there to be asked again.
        """
        if self.typed:
            self.say(f"  ! {text}")
            return
        raise Refused(f"line {at} of the answers: {text}")


def _keys_edit_a_line() -> bool:
    """Return whether Python's own prompt can bring the keys that edit a line, and set them up."""
    try:
        import readline
    except ImportError:
        return False
    # Lines pasted from a notepad are lines: each is an answer.
    readline.parse_and_bind("set enable-bracketed-paste off")
    return True
