"""What ``pathgen faces`` says of a face."""

import math
from functools import partial

import pytest
from click.testing import CliRunner
from fontTools.ttLib import TTFont
from made_fonts import CAPITAL, SMALL, box, made_font, nothing
from outside import font_file

from pathgen.cli import main
from pathgen.measure import measured
from pathgen.shop.fitness import least_heights

STEM = partial(box, width=70)


def ringed(pen):
    """A square ring of 500 with a hole of 300, the stroke 100."""
    box(pen, width=500, height=500)
    pen.moveTo((200, 100))
    pen.lineTo((500, 100))
    pen.lineTo((500, 400))
    pen.lineTo((200, 400))
    pen.closePath()


def saved(tmp_path, letters):
    path = tmp_path / "made.ttf"
    made_font({" ": nothing, "H": CAPITAL, "x": SMALL, **letters}).save(path)
    return path


def test_letters_are_counted_by_block():
    """Letters by the Unicode code charts: A to Z twice; Latin-1 À to ÿ less × and ÷, with ª, µ
    and º; all of Latin Extended-A. DejaVu Sans has them all; neither bundled face has ª or º."""
    dejavu = measured(font_file("DejaVuSans.ttf"))
    ours = measured()

    assert [c.letters for c in dejavu.coverage] == [2 * 26, 64 - 2 + 3, 128]
    assert [c.found for c in dejavu.coverage] == [52, 65, 128]
    assert [c.found for c in ours.coverage] == [52, 63, 128]


def test_a_made_face_measures_what_was_drawn(tmp_path):
    """Capitals 700: stem 70, a square hole of 300 holds a circle of 300."""
    face = measured(saved(tmp_path, {"I": STEM, "o": ringed}))

    assert face.stem_capitals == pytest.approx(70 / 700)
    assert face.counter_capitals == pytest.approx(300 / 700, abs=2e-3)
    assert [c.found for c in face.coverage] == [4, 0, 0]


def test_stem_is_the_width_that_the_font_states():
    """DejaVu Sans draws I and l as bare stems, so their boxes (fontTools) are the stems."""
    font = TTFont(font_file("DejaVuSans.ttf"))
    box_i, box_h = font["glyf"]["I"], font["glyf"]["H"]

    face = measured(font_file("DejaVuSans.ttf"))

    assert face.stem_capitals == pytest.approx((box_i.xMax - box_i.xMin) / box_h.yMax, rel=1e-6)


def test_stem_of_a_barred_I_is_its_upright_not_its_bars():
    """Tholepin draws every stem 92 to 700 of capital; its I has two bars."""
    assert measured("tholepin").stem_capitals == pytest.approx(92 / 700, rel=1e-6)


def test_without_I_the_stem_is_that_of_l_and_without_both_there_is_none(tmp_path):
    assert measured(saved(tmp_path, {"l": STEM})).stem_capitals == pytest.approx(0.1)
    assert measured(saved(tmp_path, {})).stem_capitals is None


def test_counter_is_the_smallest_of_a_e_and_o():
    """Tholepin, e: inside of the arch at 544 - 92 = 452, upper edge of the bar at 228 + 40."""
    counter = measured("tholepin").counter_capitals

    assert counter == pytest.approx((452 - 268) / 700, abs=2e-3)


def test_a_face_without_counters_has_no_limit_from_them(tmp_path):
    face = measured(saved(tmp_path, {"I": STEM}))

    assert face.counter_capitals is None
    assert {least.counter_mm for least in face.least} == {1.0}


@pytest.mark.parametrize(
    ("thread", "allowance_mm", "least_column_mm", "tex"),
    [(0, 0.2, 1.0, 26.667), (1, 0.1, 0.5, 16.667)],
    ids=["40 wt", "60 wt"],
)
def test_least_heights_are_where_columns_and_counters_reach_their_limits(
    thread, allowance_mm, least_column_mm, tex
):
    """Limits by hand from recipes.toml: nine tenths of the least column less the allowance of
    both sides; two diameters, 4 tex = 1000 pi rho phi d^2, and the allowance of both sides."""
    column, counter = 0.15, 0.2
    diameter_mm = math.sqrt(4 * tex / (1000 * math.pi * 1.39 * 0.6))

    least = least_heights(column, counter)[thread]

    by_column_mm = (0.9 * least_column_mm - 2 * allowance_mm) / column
    by_counter_mm = (2 * diameter_mm + 2 * allowance_mm) / counter
    assert 0.0 <= least.column_mm - by_column_mm < 0.1 + 1e-9
    assert 0.0 <= least.counter_mm - by_counter_mm < 0.1 + 1e-9
    assert least.height_mm == max(least.column_mm, least.counter_mm)


def test_the_recipe_sets_the_height_of_a_face_that_could_go_lower():
    """40 wt is not to be tried under 4 mm, 60 wt not under 2 (recipes.toml)."""
    assert [least.height_mm for least in least_heights(1.0, 1.0)] == [4.0, 2.0]


def test_a_counter_that_never_opens_has_no_least_height():
    assert all(least.height_mm == math.inf for least in least_heights(0.15, 0.001))


def test_the_review_agrees_with_the_least_height():
    """A tenth of a mm lower, a counter of a, e or o is reported; two tenths higher, none is: the
    bar of the e is thinner than the usual column, and is widened more."""
    from pathgen import plan

    least = measured("tholepin").least[1]

    def closing(height_mm):
        made = plan("aeo", face="tholepin", height_mm=height_mm, thread="60")
        return any(f.code == "closing-counter" for f in made.findings)

    assert closing(least.counter_mm - 0.1)
    assert not closing(least.counter_mm + 0.2)


def test_faces_prints_a_block_a_face_the_default_first():
    blocks = CliRunner().invoke(main, ["faces"]).stdout.split("\n\n")

    assert [block.split(":")[0] for block in blocks] == ["fairlead-plain", "tholepin"]
    for block in blocks:
        kinds = [line[:10].strip() for line in block.strip().split("\n")[1:]]
        assert kinds == ["letters", "heights", "stem", "40 wt", "60 wt"]
    assert "stem     0.71 mm at 5 mm capitals" in blocks[0]  # 100 / 700 of 5 mm


def test_faces_measures_the_fonts_that_are_given(tmp_path):
    bare = saved(tmp_path, {})
    result = CliRunner().invoke(main, ["faces", str(bare), "tholepin"])

    assert result.exit_code == 0
    assert f"{bare}: Harbour Sans Test" in result.stdout
    assert "Basic Latin 2 of 52, Latin-1 0 of 65" in result.stdout
    assert "fairlead" not in result.stdout


def test_faces_names_a_face_that_there_is_not():
    result = CliRunner().invoke(main, ["faces", "gone"])

    assert result.exit_code == 1
    assert "'gone' is neither a file nor a bundled face" in result.stderr


def test_specimen_shows_what_the_face_has_and_nothing_else(tmp_path):
    """The plot's text is read back from its file: the rows of signs, of the made face only its
    own."""
    font = str(saved(tmp_path, {"I": STEM, "o": ringed, "&": STEM}))
    out = tmp_path / "plots"

    result = CliRunner().invoke(main, ["faces", font, "--specimen", "--out", str(out)])

    assert result.exit_code == 0, result.output
    assert [path.name for path in out.iterdir()] == ["made-specimen.svg"]
    assert f"specimen {out / 'made-specimen.svg'}" in result.output
    assert "HI / ox / &amp;" in (out / "made-specimen.svg").read_text(encoding="utf-8")


def test_specimen_is_as_high_and_of_the_thread_that_was_asked(tmp_path):
    asked = ["faces", "tholepin", "--specimen", "--height", "3mm", "--thread", "60"]

    result = CliRunner().invoke(main, [*asked, "--out", str(tmp_path)])

    assert result.exit_code == 0, result.output
    drawn = (tmp_path / "tholepin-specimen.svg").read_text(encoding="utf-8")
    assert "Tholepin, capitals 3 mm, needle 65/9" in drawn


def test_specimen_of_an_absurd_height_is_refused_and_nothing_is_written(tmp_path):
    result = CliRunner().invoke(
        main, ["faces", "--specimen", "--height", "500", "--out", str(tmp_path / "plots")]
    )

    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr == "pathgen: --height is 500; allowed 1 to 100 mm\n"
    assert not (tmp_path / "plots").exists()
