"""Names counted word by word have the figures of their plans, to the last stitch."""

import pytest
from outside import font_file

from pathgen import TextError
from pathgen.lines import AskedLine, SewingField
from pathgen.orders.counting import NameCounter
from pathgen.pipeline import plan_ready
from pathgen.ready import ready_line
from pathgen.writers.totals_csv import measures_of

FIRST = ("Ada", "Zoë", "Wim", "Klara", "Jan-Piet", "O'Hara", "IJ", "Ævar")
LAST = ("Lowe", "Ottens", "Übben", "van der Voss", "Li", "ÅBERG", "d'Arc.")
NAMES = [f"{first} {last}" for first in FIRST for last in LAST]
SETTINGS = {
    "40 wt at 5 mm": {"height_mm": 5.0},
    "60 wt at 6 mm": {"height_mm": 6.0, "thread": "60"},
    "words that may be joined": {"height_mm": 2.5, "thread": "60"},
    "letters spaced": {"height_mm": 5.0, "tracking_mm": 0.4},
    "slow, on pique": {"height_mm": 5.0, "speed_spm": 400.0, "cloth": "pique"},
    "on an arc": {"height_mm": 5.0, "arc_mm": 60.0},
    "from the middle": {"height_mm": 5.0, "sewing": "centre-out"},
    "short jumps": {"height_mm": 5.0, "longest_jump_mm": 3.0},
}


def ready(*lines):
    return tuple(ready_line(line) for line in lines)


def whole(texts, by, field=None):
    used = [(text, line) for text, line in zip(texts, by, strict=True) if text.strip()]
    return measures_of(plan_ready(used, field))


def assert_same(mine, theirs):
    for name, one, other in zip(mine._fields, mine, theirs, strict=True):
        expected = pytest.approx(other, abs=1e-6) if isinstance(other, float) else other
        assert one == expected, name


@pytest.mark.parametrize("face", [None, "tholepin", "DejaVuSerif.ttf"])
@pytest.mark.parametrize("case", SETTINGS)
def test_each_name_has_the_figures_of_its_plan(face, case):
    path = str(font_file(face)) if face and face.endswith(".ttf") else face
    by = ready(AskedLine(text="", face=path, asked=SETTINGS[case]))
    counter = NameCounter(by, None)
    for name in NAMES[:: 1 if case.startswith(("40", "60")) else 9]:
        assert_same(counter.counted((name,)), whole((name,), by))


# Marks apart from their letters, and a sign without ink, at the ends of words too.
MARKS = ("Zoe\u0308 A\u030aberg", "Ada \u034fLowe")
TEXTS = ("Ada  Lowe", " Ada Lowe ", "Ada", "Ada\nLowe", "Ada\u00a0Lowe", "אדה Lowe", "A . B", "- -")


@pytest.mark.parametrize("text", (*TEXTS, *MARKS))
def test_odd_texts_have_the_figures_of_their_plans(text):
    by = ready(AskedLine(text="", face=str(font_file("DejaVuSans.ttf"))))

    assert_same(NameCounter(by, None).counted((text,)), whole((text,), by))


@pytest.mark.parametrize("align", ["left", "centre", "right"])
@pytest.mark.parametrize("field", [None, SewingField(name="f", width_mm=40.0, height_mm=20.0)])
def test_lines_of_several_threads_have_the_figures_of_their_plans(align, field):
    by = ready(
        AskedLine(text="", asked={"height_mm": 5.0, "align": align}),
        AskedLine(text="", face="tholepin", asked={"height_mm": 4.0, "thread": "60"}),
        AskedLine(text="", asked={"height_mm": 6.0, "align": align, "speed_spm": 700.0}),
    )
    counter = NameCounter(by, field)
    for name in NAMES[::7]:
        for texts in ((name, "crew of the quay", "Li Net"), (name, "", "Quay"), ("", name, "")):
            assert_same(counter.counted(texts), whole(texts, by, field))


def test_lines_of_the_same_setting_have_the_figures_of_their_plan():
    by = ready(*[AskedLine(text="", asked={"align": "centre"})] * 2)
    texts = ("Ada Lowe", "Quay")

    assert_same(NameCounter(by, None).counted(texts), whole(texts, by))


def test_a_round_field_is_held_against_the_whole():
    field = SewingField(name="round", width_mm=40.0, height_mm=40.0, is_round=True)
    by = ready(AskedLine(text=""))
    counted = NameCounter(by, field).counted(("Klara Ottens",))

    assert_same(counted, whole(("Klara Ottens",), by, field))
    assert counted.stops == 1


def test_a_letter_that_the_face_lacks_is_told_by_its_place_in_the_whole_text():
    by = ready(AskedLine(text=""))

    with pytest.raises(TextError, match=r"'漢' .*letter 6 of line 1"):
        NameCounter(by, None).counted(("Ada L漢",))


def test_words_are_planned_once(monkeypatch):
    from pathgen.orders import counting

    planned = []
    plan = counting.plan_letters
    monkeypatch.setattr(
        counting, "plan_letters", lambda *a, **k: planned.append(a[0][0].text) or plan(*a, **k)
    )
    counter = NameCounter(ready(AskedLine(text="")), None)
    for name in ("Ada Lowe", "Wim Lowe", "Ada Li", "Ada Lowe", "Wim Li"):
        counter.counted((name,))

    # A word may come once for each way to begin and end it.
    assert set(planned) == {"Ada", "Wim", "Lowe", "Li"}
    assert len(planned) <= 8
