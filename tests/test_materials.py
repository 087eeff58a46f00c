"""Thread, needle and cloth as listed, against tables outside the project."""

import math
import pickle

import pytest

from pathgen.materials import EYE_THREADS, STABILITIES
from pathgen.pipeline import plan
from pathgen.shop.recipes import settings_for
from pathgen.shop.stock import cloth_named, needle_named, thread_named
from pathgen.shop.stocking import bundled

# JIS B 9012:2000, table 1: number, blade B and thread hole K in mm.
JIS = [
    (8, 0.62, 0.25), (9, 0.67, 0.26), (10, 0.72, 0.28), (11, 0.77, 0.30), (12, 0.82, 0.32),
    (13, 0.87, 0.34), (14, 0.92, 0.36), (15, 0.97, 0.38), (16, 1.02, 0.40),
]  # fmt: skip


@pytest.mark.parametrize(("number", "blade", "eye"), JIS)
def test_blade_and_eye_are_those_of_the_standard(number, blade, eye):
    needle = needle_named(str(number))

    assert (needle.table_blade_mm, needle.eye_mm) == (blade, eye)
    assert needle.blade_mm == pytest.approx(blade - 0.02)
    assert "JIS B 9012" in needle.origin_of("eye_mm")


def test_eye_rule_gives_the_customary_pairs():
    """Eye 1.4 threads wide (sewing needle tables): 40 wt needs 75/11, 70/10 misses by 0.002 mm;
    60 wt goes through 60/8 and 65/9."""
    fits = {
        thread.key: [n.label for n in bundled().needles if n.takes(thread)]
        for thread in bundled().recipe_threads()
    }

    assert EYE_THREADS == 1.4
    assert fits["40"][0] == "75/11"
    assert fits["60"][:2] == ["60/8", "65/9"]
    assert needle_named("70").eye_mm - 1.4 * thread_named("40").diameter_mm == pytest.approx(
        -0.002, abs=6e-4
    )


def test_every_recipe_has_a_needle_that_takes_its_thread():
    shop = bundled()

    for row in shop.recipes:
        assert shop.needle(row.needle).takes(shop.thread(row.thread)), row


@pytest.mark.parametrize(
    ("thread", "diameter", "ideal"), [("40", 0.2018, 0.4036), ("60", 0.1595, 0.3190)]
)
def test_ideal_spacing_is_two_threads(thread, diameter, ideal):
    """Points of one side 2 d apart: 0.40 for 40 wt and 0.32 for 60 wt close the ground."""
    found = thread_named(thread)

    assert found.diameter_mm == pytest.approx(diameter, abs=1e-4)
    assert found.ideal_spacing_mm == pytest.approx(ideal, abs=2e-4)
    assert found.cover(ideal) == pytest.approx(1.0, abs=1e-3)
    assert found.cover(2.0 * ideal) == pytest.approx(0.5, abs=1e-3)


def test_viscose_is_thinner_than_polyester_of_the_same_count():
    """26.667 tex at packing 0.60: 0.1949 mm for viscose (1.49), from the general form."""
    assert thread_named("40 viscose").diameter_mm == pytest.approx(0.1949, abs=1e-4)


def test_thirty_weight_is_360_denier():
    """180 den x 2, of which the cotton count of one ply is 29.53 (a thread maker's booklet)."""
    assert thread_named("30").counts()["den"] == pytest.approx(360.0)
    assert 2.0 * thread_named("30").counts()["ne"] == pytest.approx(29.53, abs=0.01)


@pytest.mark.parametrize(
    "name",
    ["backed twill", "plain twill", "pique knit", "jersey", "fleece", "towel pile", "cap front",
     "leather-like", "felt patch", "Pique", "LEATHER LIKE"],
)  # fmt: skip
def test_cloths_are_known_by_their_usual_names(name):
    cloth = cloth_named(name)

    assert cloth.stability in STABILITIES
    assert cloth.steady == (cloth.stability != "loose")


def test_every_figure_of_every_entry_says_where_it_is_from():
    shop = bundled()

    for thread in shop.threads:
        for field in ("label", "tex", "plies", "fibre", "density_g_cm3", "packing"):
            assert thread.origin_of(field), (thread.key, field)
        assert thread.origin_of("least_column_mm"), thread.key
    for cloth in shop.cloths:
        for field in ("stability", "pile_mm", "thickness_mm", "pull_more_mm", "spacing_factor"):
            assert cloth.origin_of(field), (cloth.name, field)
        assert cloth.origin_of("holes_limit"), cloth.name
    assert all(row.origin for row in shop.recipes)
    assert all(needle.origin_of("eye_mm") for needle in shop.needles)


def test_a_cap_front_is_sewn_from_the_centre_out_unless_told_otherwise():
    """Common practice for caps, no published source."""
    cap = settings_for(cloth="cap front")
    asked = settings_for(cloth="cap front", options={"sewing": "reading"})
    flat = settings_for(cloth="twill")

    assert (cap.sewing, cap.origins["sewing"]) == ("centre-out", "cloth")
    assert (asked.sewing, asked.origins["sewing"]) == ("reading", "option")
    assert (flat.sewing, flat.origins["sewing"]) == ("reading", "default")


def test_a_cap_is_sewn_in_that_order():
    """Five letters: from the middle to the right end, then from the middle to the left end."""
    letters = plan("HIHIH", cloth="cap front").needles["letter"].tolist()

    assert list(dict.fromkeys(letters)) == [3, 4, 5, 2, 1]


def test_limit_of_penetrations_is_so_many_in_a_blade():
    """8 in a disc of 0.75 mm: 8 / (pi 0.75^2 / 4) = 18.108 per mm2."""
    found = cloth_named("backed twill").holes_per_mm2(needle_named("75"))

    assert found == pytest.approx(18.1083, abs=1e-3)
    assert cloth_named("leather-like").holes_limit < cloth_named("felt").holes_limit


def test_a_shop_can_be_sent_to_another_process_and_compared():
    shop = bundled()

    assert pickle.loads(pickle.dumps(shop)) == shop
    assert hash(pickle.loads(pickle.dumps(shop))) == hash(shop)


def test_eye_of_a_needle_that_is_not_in_the_table_is_not_judged():
    from pathgen.materials import Needle

    needle = Needle(size=110, number=18)
    assert math.isnan(needle.eye_threads(thread_named("40")))
    assert needle.takes(thread_named("40"))
