"""The guessed air of a shop: what a burner without a flue adds to it."""

from __future__ import annotations

import pytest

from rakelight.errors import SourceKind
from rakelight.facts.air_tables import heaters
from rakelight.facts.records import MonthAir, Source
from rakelight.physics.air import burner_pa_per_k
from rakelight.shop.file import read_shop
from rakelight.shop.guess import guessed_air


def test_a_burner_without_a_flue_leaves_its_water_in_the_room() -> None:
    """Propane gives 1.63 kg of water a kg (balance of burning): 0.85 g a m3 of air warmed by 20 K, walls apart.

    Its gross heat is 50.3 MJ/kg, the water condensed; water takes 2.44 MJ/kg to stay vapour (both from memory).
    """
    net = 50.3 - 1.634 * 2.44
    assert heaters()["unvented"].mj_per_kg == pytest.approx(net, rel=0.005)
    added = burner_pa_per_k(3, 8, net, walls_times=0.0) * 20
    assert 1e3 * added / (461.5 * 293.15) == pytest.approx(0.85, abs=0.01)
    frost = [MonthAir("Coldham", "", 1, 0.0, 0.8, Source("", SourceKind.ASSUMPTION))]
    (dry,), (damp,) = guessed_air(frost, 20.0, 1.0), guessed_air(frost, 20.0, 1.0, burner_pa_per_k(3, 8, 46.35, 2.0))
    assert dry.open_rh == pytest.approx(0.21, abs=0.01) and 0.3 < damp.open_rh < 0.4
    assert damp.open_temp_c == dry.open_temp_c


def test_only_a_burner_without_a_flue_damps_a_guessed_shop() -> None:
    text = 'shop = "S"\nzone = "America/Chicago"\nhours = { mon-fri = "8:00-17:00" }\n[place.shop]\ntown = "Chicago"\n'
    text += 'heated_to = "64 F"\nheater = "%s"\n'
    shops = {kind: read_shop((text % kind).encode(), "s.toml")[0] for kind in ("vented", "electric", "unvented")}
    winter = {kind: shop.places["shop"].air[0].open_rh for kind, shop in shops.items() if shop}
    assert winter["vented"] == winter["electric"] < winter["unvented"]
