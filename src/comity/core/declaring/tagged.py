"""Families of dataclasses of which a file names the member by its kind."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

if TYPE_CHECKING:
    from collections.abc import Mapping


class Tagged:
    """Base of a family; a member says its kind in its class body.

    A direct subclass begins a family, and each class below it that says a ``kind`` is a member.
    Kinds are known once the modules of the members are imported. A member which has a field with
    the kind as its key (``any`` with the key ``any``) may be named by that key alone.

    Examples
    --------
    >>> from dataclasses import dataclass
    >>> class Shape(Tagged): ...
    >>> @dataclass(frozen=True, slots=True)
    ... class Circle(Shape):
    ...     kind: ClassVar[str] = "circle"
    >>> dict(Shape.members()) == {"circle": Circle}
    True
    """

    __slots__ = ()
    kind: ClassVar[str]
    tag_key: ClassVar[str] = "kind"
    _members: ClassVar[dict[str, type[Tagged]]]

    def __init_subclass__(cls, **arguments: object) -> None:
        """Enter a member into its family."""
        super().__init_subclass__(**arguments)
        if Tagged in cls.__bases__:
            cls._members = {}
        kind = cls.__dict__.get("kind")
        if kind is None:
            return
        known = cls._members.get(kind)
        # A slotted dataclass is made twice, the second time for good.
        if known is not None and known.__qualname__ != cls.__qualname__:
            message = f"{known.__qualname__} and {cls.__qualname__} are both {kind!r}"
            raise TypeError(message)
        cls._members[kind] = cls

    @classmethod
    def members(cls) -> Mapping[str, type[Tagged]]:
        """Return the members of the family by kind, in the order of their definition."""
        return MappingProxyType(cls._members)
