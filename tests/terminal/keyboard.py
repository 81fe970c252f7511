"""A terminal with somebody at it: a real pseudo-terminal, its keys and its screen."""

import os
import pty
import select
import shlex
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from types import TracebackType

from tests.terminal.shed import AS_OF

# What a shell starts in the background is deaf to Ctrl-C, and so is what it starts in turn.
_MAIN = """
import signal
from recordgen.cli import main
signal.signal(signal.SIGINT, signal.default_int_handler)
main()
"""
_PATIENCE_S = 60.0
_AGAIN_S = 4.0


class Keyboard:
    """Types into a `recordgen record` command that runs in a terminal of its own."""

    def __init__(self, records: Path, command: str, *options: str) -> None:
        self._end, self._terminal = pty.openpty()
        tty = shlex.quote(os.ttyname(self._terminal))
        program = [sys.executable, "-c", _MAIN, "record"]
        given = [*command.split(), "--records", str(records), "--as-of", AS_OF, *options]
        # The first terminal that a session opens is the one whose Ctrl-C it obeys.
        line = f"exec {shlex.join([*program, *given])} <{tty} >{tty} 2>&1"
        self._process = subprocess.Popen(
            ["/bin/sh", "-c", line],
            start_new_session=True,
            env={**os.environ, "TERM": "dumb"},
        )
        self._seen = b""
        self.screen = ""
        self._read_to = 0

    def __enter__(self) -> "Keyboard":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._process.kill()
        self._process.wait()
        os.close(self._terminal)
        os.close(self._end)

    def until(self, text: str) -> str:
        """Return what has come on the screen since the last time, up to a text."""
        end = time.monotonic() + _PATIENCE_S
        while text not in self.screen[self._read_to :]:
            assert time.monotonic() < end, f"waited for {text!r}:\n{self.screen}"
            self._read()
        at = self.screen.index(text, self._read_to) + len(text)
        found, self._read_to = self.screen[self._read_to : at], at
        return found

    def type(self, line: str) -> None:
        """Type a line and Enter."""
        self.keys(line + "\n")

    def keys(self, text: str) -> None:
        """Press keys."""
        os.write(self._end, text.encode())

    def stop(self, key: str) -> int:
        """Press Ctrl-C or Ctrl-D as one does, again if nothing came of it; return the exit code.

        Python looks at an interrupt before it waits for keys: one that comes between is lost.
        """
        end = time.monotonic() + _PATIENCE_S
        while self._process.poll() is None and time.monotonic() < end:
            self.keys(key)
            with suppress(subprocess.TimeoutExpired):
                self._process.wait(_AGAIN_S)
        return self.leaves()

    def leaves(self) -> int:
        """Return the exit code, once everything it says is on the screen."""
        code = self._process.wait(_PATIENCE_S)
        while self._read():
            pass
        return code

    def _read(self) -> bool:
        ready, _, _ = select.select([self._end], [], [], 0.2)
        if ready:
            # What comes may end within a letter.
            self._seen += os.read(self._end, 65536)
            self.screen = self._seen.decode(errors="ignore").replace("\r\n", "\n")
        return bool(ready)
