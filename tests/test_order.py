"""The cheapest sewing order, proved against all orders tried one by one."""

import string
from itertools import pairwise, permutations

import numpy as np
import pytest
import shapely
from examples import many
from hypothesis import given, settings
from hypothesis import strategies as st
from outside import font_file
from shapes import bar, letter, plain_settings, ring, stem

from pathgen import plan
from pathgen.needles import Arrive, Part
from pathgen.stitching.links import NEVER, Bridge, Limits, Travel, cut_at, weighed_paths
from pathgen.stitching.order import MOST_EXACT, Ways, orders
from pathgen.stitching.route import route
from pathgen.stitching.stations import late_columns, stations_of

LIMITS = Limits(join_mm=1.5, on_top_mm=3.0)
STRAIGHT = np.zeros((0, 2))


def travel(total, inked, under, limits, corners=STRAIGHT):
    """Travel whose paths, (R, E, P), are so long, all over bare cloth but what is on ink."""
    total, inked, under = (np.moveaxis(lengths, -1, -3) for lengths in (total, inked, under))
    return Travel(weighed_paths(total, inked, 0.0, limits), under, limits, corners)


def all_travel(links, shape, masks):
    """Travel from each exit to each entry, (S, R, E), while the columns of each mask are unsewn."""
    exits, entries = (at.ravel() for at in np.indices(shape))
    rows = [links.costs(exits, entries, np.tile(mask[:, None], len(exits))) for mask in masks]
    return np.reshape(rows, (len(masks), *shape))


def cost_of_one(links, unsewn):
    """Travel of one exit and one entry."""
    return int(all_travel(links, (1, 1), np.array([[unsewn]]))[0, 0, 0])


def made_up(count, seed):
    """Random travel between 1 to 4 entries and 1 to 3 exits of each column, and random ways."""
    rng = np.random.default_rng(seed)
    entry_of = np.repeat(np.arange(count), rng.integers(1, 5, count))
    exit_of = np.repeat(np.arange(count), rng.integers(1, 4, count))
    total = rng.uniform(0.0, 6.0, (len(exit_of), len(entry_of), 3))
    inked = total * rng.uniform(0.0, 1.0, total.shape)
    under = inked[..., None] * rng.uniform(0.0, 0.7, (*total.shape, count))
    under = np.moveaxis(under, -1, 0)
    corners = np.array([[1.0, 1.0], [2.0, 2.0]])
    links = travel(total, inked, under, LIMITS, corners)
    cost = rng.integers(0, 300, (len(entry_of), len(exit_of)))
    cost[rng.uniform(size=cost.shape) < 0.2] = NEVER
    for k in range(count):
        cost[np.argmax(entry_of == k), np.argmax(exit_of == k)] = 5
    cost[entry_of[:, None] != exit_of] = NEVER
    return links, Ways(entry_of, exit_of, cost)


def one_path(total, inked, under):
    """Travel of one exit, one entry and the straight path, with one column."""
    shape = (1, 1, 1)
    sizes = (np.full(shape, total), np.full(shape, inked), np.full((1, *shape), under))
    return travel(*sizes, Limits(join_mm=1.5, on_top_mm=200.0))


def cost_of(links, ways, order):
    """Sum of all travels along an order, each weighed with what is still unsewn."""
    unsewn = np.ones(ways.exit_of[-1] + 1, dtype=bool)
    total = sum(int(ways.cost[way]) for way in order)
    for (_, left), (entry, _) in pairwise(order):
        unsewn[ways.exit_of[left]] = False
        total += int(all_travel(links, ways.cost.T.shape, unsewn[None])[0, left, entry])
    return total


def all_ways(ways):
    """Entries and exits of each column that a way joins, (entry, exit)."""
    there = np.argwhere(ways.cost < NEVER).tolist()
    return [[(e, x) for e, x in there if ways.exit_of[x] == k] for k in range(ways.exit_of[-1] + 1)]


@pytest.mark.parametrize("count", [1, 2, 3, 4])
@pytest.mark.parametrize("seed", range(4))
def test_no_order_tried_one_by_one_is_cheaper(count, seed):
    links, ways = made_up(count, seed)
    found = orders(links, ways, np.zeros(count, dtype=bool))
    masks = np.arange(1 << count)[:, None] >> np.arange(count) & 1 == 1
    table = all_travel(links, ways.cost.T.shape, masks)

    best = {}
    for columns in permutations(range(count)):
        of = [all_ways(ways)[k] for k in columns]
        costs = every_choice(table, ways, columns, of)
        for at in np.ndindex(costs.shape):
            key = (of[0][at[0]][0], of[-1][at[-1]][1])
            best[key] = min(best.get(key, NEVER), int(costs[at]))
    assert set(best) == {tuple(pair) for pair in np.argwhere(found.cost < NEVER).tolist()}
    for (first, last), cost in best.items():
        assert found.cost[first, last] == cost
        assert cost_of(links, ways, found.between(first, last)) == cost


def every_choice(table, ways, columns, of):
    """Cost of every choice of ways along one order of the columns: an axis for each column."""
    total = np.zeros((1,) * len(columns), dtype=np.int64)
    left = (1 << len(columns)) - 1
    before = np.zeros(0, dtype=int)
    for k, (column, here) in enumerate(zip(columns, of, strict=True)):
        entries, exits = (np.array(part) for part in zip(*here, strict=True))
        axis = np.arange(len(columns)) == k
        total = total + ways.cost[entries, exits].reshape(np.where(axis, -1, 1))
        if k > 0:
            travel = table[left][np.ix_(before, entries)]
            shape = np.where(axis, len(entries), np.where(np.roll(axis, -1), len(before), 1))
            total = total + travel.reshape(shape)
        left &= ~(1 << column)
        before = exits
    return total


@given(st.integers(1, 6), st.integers(0, 10_000))
@settings(max_examples=many(30), deadline=None)
def test_an_order_has_every_column_once_from_first_to_last(count, seed):
    links, ways = made_up(count, seed)
    found = orders(links, ways, np.zeros(count, dtype=bool))

    for first, last in np.argwhere(found.cost < NEVER).tolist():
        order = found.between(first, last)
        assert (order[0][0], order[-1][1]) == (first, last)
        assert all(ways.cost[way] < NEVER for way in order)
        assert sorted(ways.exit_of[x] for _, x in order) == list(range(count))


@pytest.mark.parametrize("count", [3, MOST_EXACT + 1])
def test_late_columns_wait_for_all_others(count):
    links, ways = made_up(count, 3)
    late = np.arange(count) == 1
    found = orders(links, ways, late)
    ended = np.argwhere(found.cost < NEVER)

    assert len(ended) > 0
    for first, last in ended.tolist():
        assert ways.exit_of[found.between(first, last)[-1][1]] == 1


def test_many_columns_fall_back_to_the_nearest_and_say_so():
    count = MOST_EXACT + 2
    links, ways = made_up(count, 1)
    found = orders(links, ways, np.zeros(count, dtype=bool))
    ended = np.argwhere(found.cost < NEVER)

    assert not found.exact
    assert len(ended) > 0
    for first, last in ended.tolist():
        order = found.between(first, last)
        assert (order[0][0], order[-1][1]) == (first, last)
        assert sorted(ways.exit_of[x] for _, x in order) == list(range(count))
        assert found.cost[first, last] == cost_of(links, ways, order)


def test_trims_weigh_more_than_any_travel():
    """One trim against 16 travels of over 160 mm each: the trim still costs more."""
    far, cut = one_path(160.0, 160.0, 0.0), one_path(1.6, 0.0, 0.0)

    assert cost_of_one(cut, False) > 16 * cost_of_one(far, False)


def test_travel_on_top_of_sewn_columns_beyond_its_limit_is_a_trim():
    five, two = np.full((1, 1, 1), 5.0), np.full((1, 1, 1, 1), 2.0)
    links = travel(five, five, two, Limits(join_mm=1.5, on_top_mm=4.0))

    assert not links.corner(0, 0, np.array([True])).cut
    assert links.corner(0, 0, np.array([False])).cut


def test_a_stitch_on_top_of_sewn_columns_is_not_seen_up_to_half_a_millimetre():
    """What is left is its length, in hundredths of a mm; what is seen weighs as much as ten times
    its length besides. Over bare cloth any length is seen, and weighs double."""

    assert cost_of_one(one_path(0.5, 0.5, 0.0), False) == 50
    assert cost_of_one(one_path(0.51, 0.51, 0.0), False) == 510 + 51
    assert cost_of_one(one_path(0.13, 0.0, 0.0), False) == 260 + 13


@pytest.mark.parametrize(("bare", "corner"), [(0.09, ()), (0.11, ((3.0, 4.0),))])
def test_no_long_way_round_is_taken_for_a_hair_less_of_thread_in_sight(bare, corner):
    """Straight 1 mm, some of it over bare cloth, or 3 mm around a corner out of sight: 2 mm more
    are worth a tenth of a mm over bare cloth."""
    corners = np.array([[3.0, 4.0]])
    total, inked = np.array([[[1.0, 3.0]]]), np.array([[[1.0 - bare, 3.0]]])
    links = travel(total, inked, inked[None], Limits(join_mm=2.0, on_top_mm=2.0), corners)

    assert links.corner(0, 0, np.array([True])).corner == corner


def test_bare_cloth_weighs_twice_what_lies_on_top():
    on_top = cost_of_one(one_path(1.0, 1.0, 0.0), False)
    bare = cost_of_one(one_path(1.0, 0.0, 0.0), False)

    assert on_top == 1000 + 100
    assert bare == 2000 + 100


def test_travel_under_columns_still_to_be_sewn_is_free_but_for_its_length():
    links = one_path(2.0, 2.0, 2.0)

    hidden = cost_of_one(links, True)
    seen = cost_of_one(links, False)
    assert hidden == 200
    assert seen == 2000 + 200


def test_two_stems_near_each_other_are_joined_far_ones_trimmed():
    near = route([letter(stem(x=0.0), stem(x=2.0))], plain_settings(join_mm=1.5))
    far = route([letter(stem(x=0.0), stem(x=4.0))], plain_settings(join_mm=1.5))

    assert (near["arrive"] == Arrive.TRIM).sum() == 0
    assert (far["arrive"] == Arrive.TRIM).sum() == 1
    assert (near["part"] == Part.TIE_IN).sum() == 3
    assert (far["part"] == Part.TIE_IN).sum() == 6


def test_joined_stems_are_sewn_down_and_up():
    """Down the first, across its foot, up the second: nobody walks back."""
    path = route([letter(stem(x=0.0), stem(x=2.0))], plain_settings())
    zigzag = path[path["part"] == Part.ZIGZAG]
    first = zigzag["y_mm"][zigzag["column"] == 1]
    second = zigzag["y_mm"][zigzag["column"] == 2]

    assert abs(first[-1] - second[0]) < 1e-9
    assert abs(first[0] - first[-1]) == pytest.approx(5.0)


def test_path_is_one_run_between_trims_with_a_tie_at_each_end():
    path = route(
        [letter(stem(x=0.0), stem(x=4.0)), letter(stem(x=8.0), index=2)],
        plain_settings(underlay="centre-run"),
    )
    starts = np.flatnonzero(path["arrive"] != Arrive.SEW)

    assert path["arrive"][0] == Arrive.JUMP
    for start, end in zip(starts, [*starts[1:], len(path)], strict=True):
        assert (path["part"][start : start + 3] == Part.TIE_IN).all()
        assert (path["part"][end - 3 : end] == Part.TIE_OFF).all()


def test_underlay_goes_first_and_the_zigzag_comes_back_over_it():
    path = route([letter(stem())], plain_settings(underlay="centre-run"))
    parts = path["part"].tolist()
    underlay = path["y_mm"][path["part"] == Part.UNDERLAY]
    zigzag = path["y_mm"][path["part"] == Part.ZIGZAG]

    assert parts == sorted(parts)
    assert (underlay[0] - underlay[-1]) * (zigzag[0] - zigzag[-1]) < 0.0


def test_nothing_to_sew_is_an_empty_table():
    assert len(route([], plain_settings())) == 0


def test_no_stitch_has_no_length():
    path = route(
        [letter(stem(x=0.0), stem(x=2.0)), letter(stem(x=4.0), index=2)],
        plain_settings(underlay="centre-run", pull_mm=0.2),
    )
    step = np.hypot(np.diff(path["x_mm"]), np.diff(path["y_mm"]))

    assert step.min() > 0.05


@pytest.mark.parametrize(
    ("sewing", "order"),
    [
        ("reading", [1, 2, 3, 4, 5]),
        ("left-to-right", [1, 2, 3, 4, 5]),
        ("right-to-left", [5, 4, 3, 2, 1]),
        ("centre-out", [3, 4, 5, 2, 1]),
    ],
)
def test_letters_are_sewn_in_the_asked_order(sewing, order):
    letters = [letter(stem(x=4.0 * i), index=i) for i in range(1, 6)]
    path = route(letters, plain_settings(sewing=sewing))

    assert list(dict.fromkeys(path["letter"].tolist())) == order


def test_from_the_centre_out_no_run_goes_back_over_letters_that_are_sewn():
    """The third is ended 1.6 mm from where the first begins, over the one between them."""
    letters = [letter(stem(x=0.8 * i, width=0.3), index=i) for i in range(1, 4)]
    path = route(letters, plain_settings(sewing="centre-out", join_mm=6.0))
    begun = path["letter"][path["arrive"] != Arrive.SEW]

    assert begun.tolist() == [2, 1]


def test_a_bar_over_an_underlay_is_left_at_its_far_end_to_save_a_trim():
    """Bars end to end, 8 mm in all: without a second run each would be left where it was begun."""
    path = route(
        [letter(bar(4.0), bar(4.0, x=4.0)), letter(bar(1.0, x=8.5), index=2)],
        plain_settings(underlay="centre-run", join_mm=0.6),
    )

    assert (path["arrive"] == Arrive.TRIM).sum() == 0
    assert (path["part"] == Part.TRAVEL).sum() > 0


def test_ring_is_entered_near_where_the_needle_comes_from():
    """Stem to the left of a ring: the round begins on the ring's left."""
    path = route([letter(stem(x=-5.0)), letter(ring(3.0, 1.0), index=2)], plain_settings())
    start = path[path["letter"] == 2][0]

    assert start["x_mm"] < -2.0
    assert (path["arrive"] == Arrive.TRIM).sum() == 0


def test_travel_turns_a_corner_to_stay_on_ink():
    """An L-shaped way: straight over bare cloth it would be cut, around the corner it is not."""
    path = route(
        [letter(stem(x=0.0), bar(4.0, x=0.5, y=2.5), stem(x=5.0))],
        plain_settings(underlay="centre-run", join_mm=0.5),
    )

    assert (path["arrive"] == Arrive.TRIM).sum() == 0


def test_corner_is_chosen_by_cost_and_told():
    corners = np.array([[3.0, 4.0]])
    total, inked = np.array([[[5.0, 7.0]]]), np.array([[[1.0, 7.0]]])
    limits = Limits(join_mm=1.5, on_top_mm=9.0)
    links = travel(total, inked, np.zeros((1, 1, 1, 2)), limits, corners)
    cut, corner = links.corner(0, 0, np.array([False]))

    assert (cut, corner) == (False, ((3.0, 4.0),))


def test_a_bridge_is_cut_between_one_pair_alone():
    corners = np.array([[3.0, 4.0]])
    found = Bridge(np.array([[50, 60]]), np.array([[0, 1]]), corners)
    after = cut_at(found, 0, 0)

    assert [found.path(0, k).cut for k in (0, 1)] == [False, False]
    assert [after.path(0, k).cut for k in (0, 1)] == [True, False]
    assert after.path(0, 1).corner == ((3.0, 4.0),)


@pytest.mark.parametrize("text", ["i", "j", "ä", "é", "Å", "!", "?", ";", "ő"])
def test_dots_and_accents_come_after_their_letter_and_need_no_trim_of_their_own(text):
    made = plan(text, height_mm=5.0)
    (only,) = made.letters
    largest = max(only.ink, key=lambda shape: shape.area)
    order = list(dict.fromkeys(made.needles["column"].tolist()))
    of_body = [shapely.contains_xy(largest, *c.centre[len(c.centre) // 2]) for c in only.columns]

    sewn = [of_body[number - 1] for number in order]
    assert sewn == sorted(sewn, reverse=True)
    assert len(only.ink) > 1
    parts = np.array([[a.distance(b) for b in only.ink] for a in only.ink])
    if np.sort(parts, axis=1)[:, 1].max() < made.settings.join_mm:
        assert made.whole.trims == 0


SMALL_LETTERS = [
    (name, text)
    for name in (None, "DejaVuSans.ttf", "LiberationSerif-Regular.ttf")
    for text in string.ascii_letters + string.digits
]


@pytest.mark.parametrize(("name", "text"), SMALL_LETTERS)
def test_real_letters_of_up_to_four_columns_are_sewn_at_the_least_cost(name, text):
    """Every order and way of each, one by one, on the letter's own travel table."""
    made = plan(text, face=None if name is None else font_file(name), height_mm=5.0)
    (station,) = stations_of([made.letters[0].shape], made.settings)
    count = len(station.strokes)
    assert station.orders.exact
    if count > 4:
        pytest.skip(f"{text} has {count} columns")
    masks = np.arange(1 << count)[:, None] >> np.arange(count) & 1 == 1
    # One column has no travel inside, and of it none is asked.
    table = [] if count == 1 else all_travel(station.links, station.ways.cost.T.shape, masks)
    late = late_columns(made.letters[0].shape).tolist()
    of = all_ways(station.ways)

    least = NEVER
    for columns in permutations(range(count)):
        if [late[k] for k in columns] == sorted(late):
            costs = every_choice(table, station.ways, columns, [of[k] for k in columns])
            least = min(least, int(costs.min()))
    assert station.orders.cost.min() == least
