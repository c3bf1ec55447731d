"""The knowledge base read and compiled while the first pages are being read."""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from typing import Generic, TypeVar

Result = TypeVar("Result")


class Loading(Generic[Result]):
    """Runs one function in the background, once started; :meth:`result` waits for it."""

    def __init__(self, load: Callable[[], Result]) -> None:
        self._load = load
        self._result: list[Result] = []
        self._error: BaseException | None = None
        # a daemon, so that somebody who leaves at the first page does not wait for it
        self._thread = Thread(target=self._run, daemon=True)

    def start(self) -> None:
        """Begin, unless begun before."""
        if self._thread.ident is None:
            self._thread.start()

    def _run(self) -> None:
        try:
            self._result.append(self._load())
        except BaseException as error:
            self._error = error

    def result(self) -> Result:
        """What the function returned; what it raised is raised here."""
        self.start()
        self._thread.join()
        if self._error is not None:
            raise self._error
        return self._result[0]
