"""How an address of the API is declared: by one name for its path, with a token for its scope."""

from typing import Any

from ninja import Schema

from comity.desk.api.bearer import ReadToken, WriteToken
from comity.desk.api.queries import know

READS = ReadToken()
WRITES = WriteToken()


def reading(
    name: str,
    shape: Any,  # noqa: ANN401 - a type
    *,
    query: type[Schema] | None = None,
    **more: Any,  # noqa: ANN401
) -> dict[str, Any]:
    """Return what is declared of an address that only reads, with the parameters it takes."""
    if query is not None:
        know(name, query)
    return _declared(name, auth=READS, response={200: shape}, **more)


def writing(name: str, shape: Any, *, status: int = 200, **more: Any) -> dict[str, Any]:  # noqa: ANN401
    """Return what is declared of an address that changes something."""
    return _declared(name, auth=WRITES, response={status: shape}, **more)


def _declared(name: str, **more: Any) -> dict[str, Any]:  # noqa: ANN401
    return {"url_name": name, "by_alias": True, **more}
