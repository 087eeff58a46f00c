"""Hypothesis draws the same examples on every machine, and a slow machine fails none of them.

``PATHGEN_EXAMPLES=500`` asks for so many examples of each property, as CI does; by night 10,000
that are drawn anew each time: ``PATHGEN_EXAMPLES=10000 PATHGEN_ANEW=1 pytest -m property``.

Here are also the browser, and the review page opened in it, for all tests of that page.
"""

import os

import pytest
from hypothesis import is_hypothesis_test, settings

settings.register_profile(
    "same",
    derandomize=not os.environ.get("PATHGEN_ANEW"),
    deadline=None,
    max_examples=int(os.environ.get("PATHGEN_EXAMPLES", "100")),
)
settings.load_profile("same")


def pytest_collection_modifyitems(items):
    """``-m property`` runs the tests that hypothesis draws examples for, and no others."""
    for item in items:
        if is_hypothesis_test(getattr(item, "function", None)):
            item.add_marker("property")


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    """A tab of Chromium for all tests of a module."""
    pytest.importorskip("fcntl", reason="Chromium's pipe is reached in the POSIX way")
    from browser import Browser

    made = Browser(tmp_path_factory.mktemp("browser"))
    yield made
    made.close()


@pytest.fixture
def shown(browser, tmp_path):
    """Open a plan's page in the light; afterwards nothing may have gone wrong."""
    browser.ask("Emulation.setEmulatedMedia", features=[])

    from pathgen.writers.review_page import review_page

    def show(plan):
        file = tmp_path / "plan.review.html"
        file.write_bytes(review_page(plan).encode())
        browser.open(file.as_uri())
        browser.run("document.getElementById('drawing').focus()")
        return plan

    yield show
    assert browser.complaints() == []
    assert browser.requests() == [(tmp_path / "plan.review.html").as_uri()]
