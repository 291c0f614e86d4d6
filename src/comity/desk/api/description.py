"""The description of the API (OpenAPI), with what may go wrong at every address."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from comity.desk.api.bodies import YAML
from comity.desk.api.refusals import KINDS, MEDIA_TYPE
from comity.desk.api.shapes import RefusalShape

if TYPE_CHECKING:
    from collections.abc import Iterator

Data = dict[str, Any]
_METHODS: Final = ("get", "post", "put", "patch", "delete")
_REF: Final = "#/components/schemas/"
_ALWAYS: Final = (401, 403, 422, 429, 500, 503)
_WITH_BODY: Final = (400, 413, 415)
_PRECONDITION: Final = (400, 409, 412, 428)
_VERSIONED: Final = {("put", "document"), ("patch", "facts"), ("post", "facts"), ("put", "facts"),
                     ("delete", "facts"), ("patch", "actions")}  # fmt: skip


def described(schema: Any) -> Any:  # noqa: ANN401 - ninja's own kind of dictionary
    """Return a description with problem details, media types and headers of each address."""
    shapes = RefusalShape.model_json_schema(ref_template=_REF + "{model}")
    schema["components"]["schemas"].update(shapes.pop("$defs"))
    schema["components"]["schemas"]["RefusalShape"] = shapes
    for path, method, operation in _operations(schema):
        _with_media_types(path, method, operation)
        for each in operation["parameters"]:
            each["schema"] = _without_null(each["schema"])
        if _is_versioned(path, method):
            operation["parameters"].append(_if_match())
        for status in sorted(set(_statuses(path, method, operation))):
            operation["responses"][status] = _refusal(status)
        operation["responses"] = {str(key): each for key, each in operation["responses"].items()}
    return schema


def _operations(schema: Data) -> Iterator[tuple[str, str, Data]]:
    for path, found in schema["paths"].items():
        for method in _METHODS:
            if method in found:
                yield path, method, found[method]


def _statuses(path: str, method: str, operation: Data) -> Iterator[int]:
    yield from _ALWAYS
    if "{" in path:
        yield 404
    if "requestBody" in operation:
        yield from _WITH_BODY
    if method != "get" and not path.endswith("/search"):
        yield 409
    if _is_versioned(path, method):
        yield from _PRECONDITION


def _is_versioned(path: str, method: str) -> bool:
    return any(method == verb and f"/{part}" in path for verb, part in _VERSIONED) and not (
        method == "post" and path.endswith("/actions")
    )


def _with_media_types(path: str, method: str, operation: Data) -> None:
    """Name the media types that the framework does not know of."""
    media_type = operation.pop("x-media-type", None)
    if media_type is not None:
        operation["responses"][200]["content"] = {media_type: {"schema": {"type": "object"}}}
    takes_yaml = (method, path.rpartition("/")[2]) in {("post", "applicants"), ("put", "document")}
    if takes_yaml:
        operation["requestBody"]["content"][YAML] = {"schema": {"type": "object"}}


def _if_match() -> Data:
    return {
        "in": "header",
        "name": "If-Match",
        "required": False,
        "schema": {"type": "string", "pattern": r'^"[0-9]{1,9}"$'},
        "description": "The ETag of the version that the change was made from.",
    }


def _refusal(status: int) -> Data:
    titles = [title for code, title in KINDS.values() if code == status]
    return {
        "description": " / ".join(dict.fromkeys(titles)),
        "content": {MEDIA_TYPE: {"schema": {"$ref": f"{_REF}RefusalShape"}}},
    }


def _without_null(schema: Data) -> Data:
    """Return the shape of a parameter, which is left out rather than null."""
    kept = [each for each in schema.get("anyOf", ()) if each != {"type": "null"}]
    return kept[0] if len(kept) == 1 else schema
