"""Start the page: ``streamlit run app.py``."""

from packdesign.presentation.page.page import run

run()
