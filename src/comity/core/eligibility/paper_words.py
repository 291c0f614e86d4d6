"""What is wrong with a paper at hand, and what to do about it, in words."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from comity.core.eligibility.view import View, figure
from comity.core.rulebook.kinds.testing import PaperHeld, Photo
from comity.core.rulebook.phrases import either, share, together

LACKS: Final = {
    "status": "it has not come far enough",
    "form": "it is not in an accepted form",
    "certified_by": "its copy is certified by someone who may not",
    "issuer": "it comes from another issuer",
    "country": "it comes from another country",
    "language": "it is not in an accepted language or translation",
    "legalised": "it is not legalised as asked",
    "width": "its width is wrong",
    "height": "its height is wrong",
    "least face": "the face is too small on it",
    "greatest face": "the face is too large on it",
    "each": "it comes from another country",
}
"""Parameters a paper may fail, in the words of a reason."""


def to_get(requirement: PaperHeld, *, is_plain: bool) -> str:
    """Return what to do where none is on file; {whose} stands for "the" or "your"."""
    size = "".join(f", {each}" for each in _photo_asked(requirement, is_plain=is_plain))
    return f"Get {{whose}} {requirement.paper}{size}"


def to_mend(requirement: PaperHeld, lacking: set[str], view: View, *, is_plain: bool) -> str:
    """Return the least that makes a paper at hand count, by the parameters it fails."""
    if not lacking:
        is_photo = requirement.photo is not None
        return (
            f"Get a new {requirement.paper}" if is_photo else f"Renew {{whose}} {requirement.paper}"
        )
    if len(lacking) == 1 and (done := _done_with_it(requirement, next(iter(lacking)), view)):
        return done
    asked = list(_asked_of_a_new_one(requirement, lacking, view, is_plain=is_plain))
    rest = f": {together(asked)}" if asked else ""
    return f"Get a new {requirement.paper}{rest}"


def _done_with_it(requirement: PaperHeld, lack: str, view: View) -> str:
    """Return what can be done with the paper one has; nothing where only another one helps."""
    paper = f"{{whose}} {requirement.paper}"
    return {
        "status": f"See that {paper} arrives",
        "language": f"Have {paper} translated into {_languages(requirement, view)}"
        + (f" by a {either(requirement.translated_by)}" if requirement.translated_by else ""),
        "certified_by": f"Have the copy of {paper} certified{_certifier(requirement)}",
        "legalised": f"Have {paper} legalised ({either(requirement.legalised or ())})",
        "form": f"Get {paper} as {either(requirement.forms or ())}",
    }.get(lack, "")


def details_of(requirement: PaperHeld, view: View) -> Iterator[str]:
    """Yield what the paper must be like, for the adviser."""
    if requirement.forms:
        yield f"in the form of {either(requirement.forms)}"
    if requirement.certified_by:
        yield f"certified by {either(requirement.certified_by)}"
    if requirement.languages:
        yield f"in {_languages(requirement, view)}, or translated"
    if requirement.remaining_validity:
        yield f"valid for {requirement.remaining_validity} more"
    if requirement.greatest_age:
        yield f"at most {requirement.greatest_age} old"


def _asked_of_a_new_one(
    requirement: PaperHeld, lacking: set[str], view: View, *, is_plain: bool
) -> Iterator[str]:
    """Yield what the paper at hand is not, and a new one must be."""
    each = view.context.each
    photo = requirement.photo or Photo()
    if "issuer" in lacking:
        yield f"issued by {either(requirement.issuers or ())}"
    if "country" in lacking:
        yield f"from {either([view.name_of(code) for code in requirement.countries or ()])}"
    if "each" in lacking and each is not None:
        yield f"from {view.name_of(each.value)}"
    if "form" in lacking:
        yield f"in the form of {either(requirement.forms or ())}"
    if "certified_by" in lacking:
        yield f"certified{_certifier(requirement)}"
    if "language" in lacking:
        yield f"in {_languages(requirement, view)}, or translated"
    if "legalised" in lacking:
        yield f"legalised ({either(requirement.legalised or ())})"
    if lacking & {"width", "height"}:
        yield from _size(photo)
    if lacking & {"least face", "greatest face"}:
        yield from _face(photo, is_plain=is_plain)


def _languages(requirement: PaperHeld, view: View) -> str:
    return either([view.name_of(code) for code in requirement.languages or ()])


def _certifier(requirement: PaperHeld) -> str:
    return f" by {either(requirement.certified_by)}" if requirement.certified_by else ""


def _photo_asked(requirement: PaperHeld, *, is_plain: bool) -> Iterator[str]:
    photo = requirement.photo
    if photo is not None:
        yield from _size(photo)
        yield from _face(photo, is_plain=is_plain)


def _size(photo: Photo) -> Iterator[str]:
    width, height = photo.width_mm, photo.height_mm
    if width and height:
        yield f"{figure(float(width))} by {figure(float(height))} mm in size"
    elif width or height:
        what = "wide" if width else "high"
        yield f"{figure(float(width or height or 0))} mm {what}"


def _face(photo: Photo, *, is_plain: bool) -> Iterator[str]:
    """Yield how large the face must be: in millimetres for who has no use for shares."""
    least, most = photo.least_face, photo.greatest_face
    if least is None and most is None:
        return
    if is_plain and photo.height_mm:
        yield f"the face {_between(least, most, photo.height_mm)} high from chin to crown"
    elif is_plain:
        yield "the face as large as the rules ask"
    else:
        yield f"the face {_between(least, most, None)} of the height, chin to crown"


def _between(least: Fraction | None, most: Fraction | None, height: Fraction | None) -> str:
    """Return a share, or the millimetres it comes to, as "between 31.5 and 36 mm"."""

    def said(part: Fraction) -> str:
        return share(part) if height is None else figure(float(part * height))

    unit = "" if height is None else " mm"
    if least is not None and most is not None:
        return f"between {said(least)} and {said(most)}{unit}"
    if least is not None:
        return f"at least {said(least)}{unit}"
    return f"at most {said(most or Fraction(1))}{unit}"
