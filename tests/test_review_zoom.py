"""Going nearer and farther on the review page: at once, to the right place, sharp when still."""

import pytest

from pathgen import plan

TEXT = "The Harbour Bakery, Net Loft and Chandlery"
WHEEL = (
    "document.getElementById('drawing').dispatchEvent(new WheelEvent('wheel',"
    " {deltaY: %s, clientX: frame.left + %s, clientY: frame.top + %s, cancelable: true}))"
)
SIZE = "(r => [r.width, r.height])(document.getElementById('drawing').getBoundingClientRect())"
MATRIX = (
    "(m => [m.a, m.b, m.c, m.d, m.e, m.f])"
    "(new DOMMatrix(getComputedStyle(document.getElementById('%s')).transform))"
)
STILL = (
    "(async () => { while (document.getElementById('ground').style.transform)"
    " await new Promise(ok => setTimeout(ok, 20)); })()"
)
PICTURE = "['ground', 'thread'].map(id => document.getElementById(id).toDataURL()).join()"


@pytest.fixture
def many(shown):
    """A plan of more stitches than are drawn anew at each turn of a wheel."""
    made = shown(plan(TEXT, height_mm=8.0))
    assert len(made.needles) > 3000
    return made


def wheel(browser, turn, x, y):
    """Turn the wheel over a place, and what that does to the canvases at once."""
    act = WHEEL % (turn, x, y)
    frame = "const frame = document.getElementById('drawing').getBoundingClientRect();"
    places = ",".join(MATRIX % name for name in ("ground", "thread", "signs"))
    return browser.run(f"(() => {{ {frame} {act}; return [{places}] }})()")


@pytest.mark.parametrize("turn", [-120, 240])
def test_the_place_under_the_pointer_stays_at_once_and_all_pictures_move_alike(browser, many, turn):
    """A scale about the middle and a way, as CSS has them: x' = (x - w/2) a + w/2 + e.

    To half a pixel: the browser tells pointers in whole ones.
    """
    x, y = 200.0, 90.0
    wide, high = browser.run(SIZE)
    matrices = wheel(browser, turn, x, y)
    a, b, c, d, e, f = matrices[0]

    assert matrices == [matrices[0]] * 3
    assert (b, c, d) == (0.0, 0.0, a)
    assert a == pytest.approx(2.718281828 ** (-turn / 500.0), rel=1e-4)  # the wheel's own law
    assert (x - wide / 2) * a + wide / 2 + e == pytest.approx(x, abs=0.5)
    assert (y - high / 2) * a + high / 2 + f == pytest.approx(y, abs=0.5)


def test_when_still_the_picture_is_the_one_that_a_drawing_of_the_new_view_gives(browser, many):
    before = browser.run(PICTURE)
    wheel(browser, -200, 300, 100)
    assert browser.run(PICTURE) == before  # only moved so far
    browser.run(STILL)
    sharp = browser.run(PICTURE)
    browser.run("document.querySelector('#layers input').click()")
    browser.run("document.querySelector('#layers input').click()")  # draws all anew

    assert sharp != before
    assert browser.run(PICTURE) == sharp


def test_a_step_while_the_picture_moves_draws_all_at_once(browser, many):
    wheel(browser, -200, 300, 100)
    browser.press("ArrowRight")

    assert browser.run(MATRIX % "ground") == [1, 0, 0, 1, 0, 0]


def test_few_stitches_are_drawn_at_every_turn(browser, shown):
    shown(plan("Quay", height_mm=5.0))

    assert wheel(browser, -120, 200, 90)[0] == [1, 0, 0, 1, 0, 0]


def test_thread_that_is_not_sewn_yet_is_the_same_from_wherever_the_needle_came(browser, many):
    """What is left out below sewn thread is found again when the needle goes back."""
    browser.press("ArrowRight")
    fresh = browser.run(PICTURE)
    browser.press("End")
    browser.press("Home")
    browser.press("ArrowRight")

    assert browser.run(PICTURE) == fresh
