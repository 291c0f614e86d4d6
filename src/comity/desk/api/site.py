"""The API put together: its addresses, and one form for everything that goes wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.http import Http404
from ninja import NinjaAPI
from ninja.errors import HttpError, ValidationError

from comity.desk.api import applicants, cases, facts, office, work
from comity.desk.api.bodies import StrictParser
from comity.desk.api.description import described
from comity.desk.api.refusals import (
    Kind,
    Refusal,
    answer_to,
    as_written,
    fault,
    problem,
    unreadable,
)
from comity.store.errors import StoreError, UnreachableError, UnreadableError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.http import HttpRequest, HttpResponse
    from ninja.errors import ValidationErrorContext
    from ninja.operation import Operation

PREFIX: Final = "/api/"
_CODES: Final = {"missing": "A103", "extra_forbidden": "A102"}
_MOST_PROBLEMS: Final = 50


class DeskAPI(NinjaAPI):
    """The API with its own description and problem details."""

    def get_root_path(self, path_params: Any) -> str:  # noqa: ANN401 - as ninja has it
        """Return where all addresses begin."""
        del path_params
        return PREFIX

    def get_openapi_operation_id(self, operation: Operation) -> str:
        """Return the name of an operation, as programs made from the description use it."""
        return operation.view_func.__name__

    def get_openapi_schema(self, **more: Any) -> Any:  # noqa: ANN401 - a dictionary of its own
        """Return the description, with what may go wrong at each address."""
        return described(super().get_openapi_schema(**more))

    def validation_error_from_error_contexts(
        self, error_contexts: list[ValidationErrorContext[Any]]
    ) -> ValidationError:
        """Keep what was found beside each thing to mend."""
        return ValidationError(
            [
                _mended(context.model.__ninja_param_source__, each)
                for context in error_contexts
                for each in context.pydantic_validation_error.errors(include_url=False)
            ]
        )


def _mended(source: str, error: Mapping[str, Any]) -> dict[str, Any]:
    """Return a problem of one error of pydantic; the name of our own argument is left out."""
    path = [str(part) for part in error["loc"] if part not in {"sent", "asked"}]
    code = _CODES.get(error["type"], "A104")
    got = "" if code == "A103" else as_written(error["input"])
    message = str(error["msg"])
    return problem(code, message[0].lower() + message[1:], at="/".join([source, *path]), got=got)


api: Final = DeskAPI(
    title="Comity",
    version="1",
    description=(
        "What members of an office see and do in the desk, for their programs. The authority"
        " decides: check its current text before anybody acts on an answer."
    ),
    docs_url=None,
    openapi_url=None,
    urls_namespace="api",
    parser=StrictParser(),
)
for _part in (applicants, cases, facts, work, office):
    api.add_router("", _part.router)


@api.exception_handler(Refusal)
def _refused(request: HttpRequest, error: Refusal) -> HttpResponse:
    del request
    return answer_to(error)


@api.exception_handler(ValidationError)
def _not_valid(request: HttpRequest, error: ValidationError) -> HttpResponse:
    del request
    n_more = len(error.errors) - _MOST_PROBLEMS
    detail = "nothing was changed" if n_more <= 0 else f"and {n_more} more; nothing was changed"
    return answer_to(Refusal(Kind.NOT_VALID, detail, tuple(error.errors[:_MOST_PROBLEMS])))


@api.exception_handler(HttpError)
def _of_ninja(request: HttpRequest, error: HttpError) -> HttpResponse:
    cause = error.__cause__
    if isinstance(cause, Refusal):
        return answer_to(cause)
    return _broken(request, error)


@api.exception_handler(Http404)
def _missing(request: HttpRequest, error: Http404) -> HttpResponse:
    del request, error
    return answer_to(not_there())


def not_there() -> Refusal:
    """Return the refusal of what is not there, or none of theirs."""
    return Refusal(Kind.NOT_THERE, "the address may be mistyped, or what was there has gone")


@api.exception_handler(PermissionDenied)
def _closed(request: HttpRequest, error: PermissionDenied) -> HttpResponse:
    del request, error
    return answer_to(Refusal(Kind.CLOSED, "open the case again first; nothing was changed"))


@api.exception_handler(RequestDataTooBig)
def _too_large(request: HttpRequest, error: RequestDataTooBig) -> HttpResponse:
    del request, error
    return answer_to(Refusal(Kind.TOO_LARGE, "send at most 2.5 MB at once; nothing was changed"))


@api.exception_handler(UnreadableError)
def _unreadable(request: HttpRequest, error: UnreadableError) -> HttpResponse:
    del request
    return answer_to(unreadable(error))


@api.exception_handler(StoreError)
def _taken(request: HttpRequest, error: StoreError) -> HttpResponse:
    del request
    return answer_to(Refusal(Kind.TAKEN, f"{error}; nothing was changed"))


@api.exception_handler(UnreachableError)
@api.exception_handler(Exception)
def _broken(request: HttpRequest, error: Exception) -> HttpResponse:
    del request
    return answer_to(fault(error))
