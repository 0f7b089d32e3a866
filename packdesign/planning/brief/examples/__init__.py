"""Three briefs to learn from, written for this project; each is a TOML file in this folder."""

from __future__ import annotations

from importlib import resources

from packdesign.foundation.errors import UnknownNameError

__all__ = ["example_names", "example_text"]


def example_names() -> tuple[str, ...]:
    """Give the names of the example briefs.

    Examples
    --------
    >>> example_names()
    ('rover', 'soil_corer', 'turntable')
    """
    files = (entry.name for entry in resources.files(__name__).iterdir())
    return tuple(sorted(name.removesuffix(".toml") for name in files if name.endswith(".toml")))


def example_text(name: str) -> str:
    """Give the text of an example brief.

    Parameters
    ----------
    name : str
        One of :func:`example_names`.

    Raises
    ------
    UnknownNameError
        If there is no such example.
    """
    if name not in example_names():
        raise UnknownNameError(kind="example", name=name, known=example_names())
    return resources.files(__name__).joinpath(f"{name}.toml").read_text(encoding="utf-8")
