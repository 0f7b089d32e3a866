"""A button that hands the visitor a file and leaves the page as it is."""

from __future__ import annotations

__all__ = ["save_button"]


def save_button(
    label: str, content: str | bytes, *, name: str, mime: str, key: str, hint: str | None = None
) -> None:
    """Draw a button that saves a file; pressing it does not draw the page anew.

    A page drawn anew writes its brief into the address, and a browser drops a file that it is
    still fetching when the address changes: on a busy machine three saves of eight were lost.

    Parameters
    ----------
    label : str
        What stands on the button.
    content : str or bytes
        The whole file.
    name : str
        Name under which it is saved.
    mime : str
        Media type.
    key : str
        Place of the button in the state of the page.
    hint : str or None
        What is shown beside it when pointed at.
    """
    import streamlit as st

    st.download_button(
        label, content, file_name=name, mime=mime, key=key, help=hint, on_click="ignore"
    )
