"""The facts as loaded: rows that must be there, and the choices the loader makes."""

from __future__ import annotations

import pytest

from rakelight.errors import NotFound, SourceKind
from rakelight.facts import load
from rakelight.facts.sources import Origin, Sources
from rakelight.spread import Spread

FACTS = load()


def test_it_is_read_once() -> None:
    assert load() is FACTS


def test_counts_of_the_tables_taken_over() -> None:
    """As the collection they come from says of itself."""
    assert len(FACTS.materials) == 27
    assert len(FACTS.pairs) == 436 + 11  # and oil and varnish blend over films, by the rule of the trade
    assert len(FACTS.practice) == 94
    assert len(FACTS.woods) == 87
    assert len(FACTS.cautions) == 45 + 3  # one of an old film, two of spirits on paper: by the rule of the trade
    assert sum(len(caution.text) for caution in FACTS.cautions) == 97 + 4
    assert len(FACTS.solvents) == 12
    assert len(FACTS.towns) == 9 * 12


def test_what_is_set_free_is_the_actual_figure_of_a_water_borne_finish() -> None:
    """The figure less water would count the can of a water-borne finish three times too high."""
    assert FACTS.materials["wb_acrylic"].voc_g_per_l == Spread(14, 69, 107)
    assert FACTS.materials["wb_acrylic"].source("voc_g_per_l").kind is SourceKind.COMPUTED
    assert FACTS.materials["alkyd_varnish"].voc_g_per_l == Spread(380, 460, 500)


@pytest.mark.parametrize(
    ("id", "bare"),
    [("linseed_boiled", True), ("hardwax_oil", True), ("dye_water", True), ("shellac_dewaxed", False),
     ("lacquer_nc", False), ("wax_paste", False), ("filler_wb_clear", False)],
)  # fmt: skip
def test_whether_the_coverage_already_is_of_bare_wood(id: str, bare: bool) -> None:
    assert FACTS.materials[id].basis_is_bare is bare


def test_the_first_way_of_laying_is_the_one_the_coverage_is_for() -> None:
    assert FACTS.materials["shellac_dewaxed"].methods == ("brush", "spray", "pad")
    assert FACTS.materials["lacquer_nc"].methods[0] == "spray"


def test_times_and_wet_films_have_their_own_source() -> None:
    oil, shellac = FACTS.materials["linseed_boiled"], FACTS.materials["shellac_dewaxed"]
    assert oil.time_source("touch_dry").kind is SourceKind.PUBLISHED and "Ohio" in oil.time_source("touch_dry").text
    assert oil.source("default") is not oil.time_source("touch_dry")
    own = [m for m in FACTS.materials.values() for by in m.methods if m.wet_source(by) is not m.source("default")]
    assert own and shellac.wet_source("brush")


@pytest.mark.parametrize("name", ["time_sandable", "sandable", "time_h", "wet_film_um", "time_h.no_such", "x", ""])
def test_a_source_of_what_is_no_field_is_refused(name: str) -> None:
    with pytest.raises(NotFound, match="no field"):
        FACTS.materials["omu_brush"].source(name)


def test_grain_of_papers() -> None:
    assert FACTS.paper_um(320) == FACTS.abrasives["FEPA_P P320"].size_um
    assert FACTS.paper_um(400, us=True) == FACTS.abrasives["CAMI 400"].size_um
    assert FACTS.paper_um(321) is None


def test_humidity_is_a_share() -> None:
    assert FACTS.materials["shellac_dewaxed"].max_rh == 0.65


class TestPair:
    def test_by_hand_and_sprayed_differ(self) -> None:
        for way in ("brush", "wipe", "pad", "hand"):
            pair = FACTS.pair("shellac_dewaxed", "dye_alcohol", way)
            assert pair is not None and pair.verdict == "never"
        sprayed = FACTS.pair("shellac_dewaxed", "dye_alcohol", "spray")
        assert sprayed is not None and sprayed.verdict == "ok"

    def test_without_a_way_the_stricter_row_stands(self) -> None:
        pair = FACTS.pair("shellac_dewaxed", "dye_alcohol")
        assert pair is not None and pair.verdict == "never"

    def test_a_row_for_any_way_serves_each(self) -> None:
        pair = FACTS.pair("linseed_boiled", "wb_acrylic", "brush")
        assert pair is not None and (pair.verdict, pair.method) == ("needs-barrier", "any")

    def test_any_finish_over_bleach(self) -> None:
        pair = FACTS.pair("bleach_oxalic", "shellac_dewaxed", "spray")
        assert pair is not None and pair.over == "*" and pair.wait_h == 48

    def test_not_listed(self) -> None:
        assert FACTS.pair("wax_paste", "bleach_oxalic") is None

    def test_spread_of_its_wait_follows_the_lower_layer(self) -> None:
        """Boiled oil under shellac: 84 / 168 / 336 h, near rule P03 (5 to 14 days)."""
        pair = FACTS.pair("linseed_boiled", "shellac_dewaxed")
        assert pair is not None and FACTS.pair_wait(pair) == Spread(84, 168, 336)

    def test_never_has_no_wait(self) -> None:
        pair = FACTS.pair("shellac_dewaxed", "linseed_boiled")
        assert pair is not None and FACTS.pair_wait(pair) is None


class TestWood:
    def test_true_mahogany_stands_in_for_the_open_share_of_sapele(self) -> None:
        sapele = FACTS.woods["sapele"]
        assert sapele.pore_area == FACTS.woods["true mahogany"].pore_area
        assert sapele.sources["pore_area"].kind is SourceKind.ASSUMPTION

    def test_printed_movement_comes_before_the_shrinkage(self) -> None:
        """White oak is sold as a group: its printed figures do not follow from the shrinkage."""
        oak = FACTS.woods["white oak"]
        assert (oak.c_radial_per_pct, oak.c_tangential_per_pct) == (0.00180, 0.00365)

    def test_movement_from_the_shrinkage_where_none_is_printed(self) -> None:
        sapele = FACTS.woods["sapele"]
        assert (sapele.c_radial_per_pct, sapele.c_tangential_per_pct) == (0.00158, 0.00259)
        assert sapele.sources["movement"].kind is SourceKind.COMPUTED

    def test_another_wood_stands_in_and_it_says_so(self) -> None:
        beech = FACTS.woods["European beech"]
        assert beech.c_tangential_per_pct == FACTS.woods["American beech"].c_tangential_per_pct
        assert beech.sources["movement"].kind is SourceKind.MEMORY
        assert "American beech" in beech.sources["movement"].text

    def test_no_movement_is_guessed(self) -> None:
        assert FACTS.woods["ebony"].c_tangential_per_pct is None


def test_a_doubtful_figure_carries_its_doubt() -> None:
    source = FACTS.materials["lacquer_nc"].source("mee_pct_14d_3coats")
    assert source.kind is SourceKind.MEMORY and "doubtful" in source.text


def test_a_figure_that_is_not_there() -> None:
    with pytest.raises(NotFound):
        FACTS.figure("luck")


def test_open_pores_pass_at_flat() -> None:
    assert FACTS.filler_limits["flat"].likely_um is None
    assert FACTS.filler_limits["satin"].likely_um == 10


class TestSources:
    LIST = Sources(
        {
            "S1": Origin("S1", "a chart", SourceKind.PUBLISHED, "reprint"),
            "M": Origin("M", "remembered", SourceKind.MEMORY, ""),
        }
    )

    def test_the_first_code_gives_the_kind(self) -> None:
        source = self.LIST.read("M (likely; high); S1")
        assert source.kind is SourceKind.MEMORY
        assert source.text == "remembered (likely; high); a chart (reprint)"

    def test_several_codes_of_one_item(self) -> None:
        assert self.LIST.read("S1, M (both)").text == "a chart (reprint), remembered (both)"

    @pytest.mark.parametrize("cell", ["", "hearsay", "Mary said so"])
    def test_without_a_code_it_is_no_source(self, cell: str) -> None:
        with pytest.raises(NotFound):
            self.LIST.read(cell)
