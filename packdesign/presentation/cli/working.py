"""The progress bar: on stderr, and only where somebody watches a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from packdesign.presentation.cli.screen import messages

__all__ = ["working"]


@contextmanager
def working(what: str) -> Iterator[Callable[[str, float], None]]:
    """Show a bar while work goes on; it is gone when the work is done.

    Parameters
    ----------
    what : str
        What is being worked on.

    Yields
    ------
    callable
        To be told what is being done now, and the share of the work behind it.
    """
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    console = messages()
    with Progress(
        SpinnerColumn("line"),
        TextColumn("{task.description}", markup=False),
        BarColumn(bar_width=30),
        TimeElapsedColumn(),
        console=console,
        transient=True,
        disable=not console.is_terminal,
    ) as bar:
        task = bar.add_task(what, total=1.0)

        def tell(doing: str, share: float) -> None:
            bar.update(task, completed=share, description=f"{what}: {doing}")

        yield tell
