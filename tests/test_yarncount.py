"""Counts of thread against handbook figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.yarncount import COUNT_NAMES, NE_TEX, counts, tex_of


@pytest.mark.parametrize(
    ("written", "tex"),
    [
        # tex, dtex, denier: grams per 1,000, 10,000, 9,000 m (ISO 1144:2016).
        ("25 tex", 25.0),
        ("250dtex", 25.0),
        ("225 den", 25.0),
        ("240 denier", 240.0 / 9.0),
        # tex = 1000 / Nm; Nm 60/2: 60 m weigh 2 g (yarn count conversion tables).
        ("Nm 40", 25.0),
        ("Nm 60/2", 1000.0 / 30.0),
        ("60/2 nm", 1000.0 / 30.0),
        # Filament thread of 40 wt: 120 den x 2.
        ("120 den x 2", 240.0 / 9.0),
        ("120/2 den", 240.0 / 9.0),
        ("75den/2", 150.0 / 9.0),
        # Metric ticket = 3 Nm: tex 40 is 75, Nm 80/2 is 120, Nm 60/2 is 90.
        ("tkt 75", 40.0),
        ("Tkt120", 25.0),
        ("tkt 90", 1000.0 / 30.0),
    ],
)
def test_a_count_is_read_in_every_system(written, tex):
    assert tex_of(written) == pytest.approx(tex, rel=1e-9)


@pytest.mark.parametrize(
    ("written", "tex"),
    [("Ne 40/2", 29.5), ("Ne 20", 29.5), ("Ne 30", 19.7), ("cotton tkt 60", 29.5)],
)
def test_cotton_counts_are_within_the_rounding_of_their_tables(written, tex):
    """Ne 40/2 = 29.5 tex, Ne 30 = 19.7 tex; cotton ticket of 40/2 is 60. To 0.3 %."""
    assert tex_of(written) == pytest.approx(tex, rel=3e-3)


def test_cotton_number_is_hanks_of_840_yards_to_the_pound():
    """tex Ne = 590.54125, den Ne = 5314.871, Nm / Ne = 1.693362 (inch-pound definitions)."""
    assert pytest.approx(590.54125, rel=1e-5) == NE_TEX
    assert counts(NE_TEX)["den"] == pytest.approx(5314.871, rel=1e-5)
    assert counts(20.0)["nm"] / counts(20.0)["ne"] == pytest.approx(1.693362, rel=1e-5)


def test_a_usual_40_weight_has_the_counts_of_the_tables():
    """240 den = 266.7 dtex = 26.67 tex = Nm 37.5 = Ne 22.15 = metric ticket 112.5."""
    found = counts(240.0 / 9.0)

    assert found["dtex"] == pytest.approx(266.7, abs=0.05)
    assert found["nm"] == pytest.approx(37.5)
    assert found["ne"] == pytest.approx(22.15, abs=0.01)
    assert found["tkt"] == pytest.approx(112.5)


@given(st.floats(1.0, 500.0), st.sampled_from(COUNT_NAMES))
def test_every_system_leads_back_to_the_same_tex(tex, system):
    assert tex_of(f"{system} {counts(tex)[system]:.6f}") == pytest.approx(tex, rel=1e-3)


@pytest.mark.parametrize(
    "written",
    ["", "40", "60 wt", "tex", "27 tex den", "-27tex", "1e3tex", "0 tex", "tkt 60/2", "25tex/0",
     "nan tex", "27 tex;", "9" * 400 + "tex"],
)  # fmt: skip
def test_what_is_not_a_count_is_none(written):
    assert tex_of(written) is None
