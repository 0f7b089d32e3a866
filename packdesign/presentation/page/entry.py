"""What ``streamlit run`` is given by ``packdesign page``; the same call as in ``app.py``."""

from packdesign.presentation.page.page import run

run()
