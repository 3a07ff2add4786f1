"""The subprocess that holds the property libraries: started early, asked once the questions are known."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hvaccalc.errors import NoSecondOpinion
from hvaccalc.job.schema import Job

WORKER = Path(__file__).with_name("worker.py")
LONGEST_WAIT = 60.0
"""An answer that takes longer is given up [s]."""

LONGEST_REASON = 200
LIBRARIES = ("psychrolib", "CoolProp")


@dataclass(frozen=True, slots=True)
class Answer:
    """What the worker wrote.

    Attributes
    ----------
    values : dict
        By the questions' names.
    why : dict of str to str
        By the names of those without a value, the reason.
    versions, missing : dict of str to str
        By library, its release, or why it could not be loaded.
    """

    values: dict[str, Any]
    why: dict[str, str]
    versions: dict[str, str]
    missing: dict[str, str]


class Process:
    """A running worker; a context manager that ends it.

    Parameters
    ----------
    libraries : sequence of str
        Loaded at once, beside whatever the caller does meanwhile.

    Raises
    ------
    NoSecondOpinion
        From `ask`, where the process could not be started, broke off or took too long.
    """

    def __init__(self, libraries: Sequence[str] = LIBRARIES) -> None:
        self._errors = tempfile.TemporaryFile()
        self._refused = ""
        self._process: subprocess.Popen[str] | None = None
        # -P: a file in the working folder that bears a library's name is not that library.
        command = [sys.executable, "-P", "-X", "utf8", str(WORKER), *libraries]
        pipe = subprocess.PIPE
        try:
            self._process = subprocess.Popen(
                command, stdin=pipe, stdout=pipe, stderr=self._errors, encoding="ascii"
            )
        except OSError as error:
            self._refused = f"its process could not be started: {error.strerror or type(error).__name__}"

    def __enter__(self) -> Process:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """End the process."""
        process, self._process = self._process, None
        if process is not None:
            process.kill()
            process.wait()
            for stream in (process.stdin, process.stdout):
                _close(stream)
        self._errors.close()

    def ask(self, questions: dict[str, dict[str, Any]]) -> Answer:
        """Put questions and wait for the answer.

        Parameters
        ----------
        questions : dict
            By a name of the caller's, ``{"ask": function of the worker, "of": its arguments}``.
        """
        process = self._process
        if process is None or process.stdin is None or process.stdout is None:
            raise NoSecondOpinion(self._refused or "its process has ended")
        late = threading.Event()

        def give_up() -> None:
            late.set()
            process.kill()

        watch = threading.Timer(LONGEST_WAIT, give_up)
        watch.start()
        try:
            process.stdin.write(json.dumps(questions, allow_nan=False) + "\n")
            process.stdin.flush()
            line = process.stdout.readline()
        except OSError:
            line = ""
        finally:
            watch.cancel()
        if late.is_set():
            raise NoSecondOpinion(f"no answer within {LONGEST_WAIT:g} s")
        return self._read(process, line)

    def _read(self, process: subprocess.Popen[str], line: str) -> Answer:
        if line:
            try:
                return Answer(**json.loads(line))
            except (ValueError, TypeError):
                raise NoSecondOpinion("its process answered something else than numbers") from None
        raise NoSecondOpinion(f"its process broke off with status {process.wait()}{self._last_words()}")

    def _last_words(self) -> str:
        self._errors.seek(0)
        lines = self._errors.read().decode("utf-8", "replace").strip().splitlines()
        return f": {lines[-1][:LONGEST_REASON]}" if lines else ""


def _close(stream: Any) -> None:
    try:
        stream.close()
    except OSError:
        # What was still to be written has no reader any more.
        pass


def beside(job: Job) -> Process | None:
    """Start the libraries that a job's numbers need; None where it has no readings to check."""
    conditions = [condition for visit in job.visit for condition in visit.condition]
    if not conditions:
        return None
    return Process(LIBRARIES if any(c.circuit for c in conditions) else LIBRARIES[:1])
