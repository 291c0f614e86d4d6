"""Log lines without personal data: what kind of thing happened where, never with what values."""

from __future__ import annotations

import logging
import time
import traceback
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from types import TracebackType

UNKNOWN: Final = "an unknown address"


class SparingFormatter(logging.Formatter):
    """Writes UTC time, level, logger and message.

    Of a request only the method and the pattern of its address are told, for addresses may carry
    the token of a link; of an exception only its class and the lines it passed, for its message may
    repeat what somebody typed or what stands in the database.
    """

    converter = staticmethod(time.gmtime)
    default_time_format = "%Y-%m-%dT%H:%M:%S"
    default_msec_format = "%s.%03dZ"

    def __init__(self) -> None:
        super().__init__("{asctime} {levelname} {name}: {message}", style="{")

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802 - as logging names it
        """Return the line, a request's told by its pattern."""
        request = getattr(record, "request", None)
        if request is not None:
            match = getattr(request, "resolver_match", None)
            pattern = f"/{match.route}" if match is not None else UNKNOWN
            status = getattr(record, "status_code", "refused")
            record.message = f"{status} {getattr(request, 'method', '')} {pattern}"
        return super().formatMessage(record)

    def formatException(  # noqa: N802 - as logging names it
        self,
        ei: tuple[type[BaseException], BaseException, TracebackType | None]
        | tuple[None, None, None],
    ) -> str:
        """Return the exception's class and the lines it passed."""
        kind, _error, trace = ei
        lines = [
            f"  {frame.filename}:{frame.lineno} in {frame.name}"
            for frame in traceback.extract_tb(trace)
        ]
        return "\n".join([kind.__qualname__ if kind else "", *lines])
