"""Questions of air: may it be laid now, is this vapour too much, what a logger has written."""

from __future__ import annotations

from math import isnan
from pathlib import Path
from typing import Annotated

import typer

from rakelight.cli.plain import changes, heater_of, method_of

Json = Annotated[bool, typer.Option("--json", help="Plain data instead of text.")]
Material = Annotated[str, typer.Option("--material", help='What is laid, as "dewaxed shellac".')]
Method = Annotated[str, typer.Option("--method", help="brush, wipe, pad, spray; else as it is mostly laid.")]
ShopFile = Annotated[
    Path | None, typer.Option("--shop", help="The shop: its air, hours and rooms.", metavar="SHOP.toml")
]
PlaceName = Annotated[str, typer.Option("--place", help="Room of the shop; else where work begins.")]
Heater = Annotated[str, typer.Option("--heater", help='none, electric, vented, unvented or "wood stove".')]


def register(app: typer.Typer) -> None:
    """Add the commands of this room."""
    app.command(short_help="May it be laid in this air.")(air)
    app.command(short_help="Is this vapour too much.")(vapour)
    app.command("air-log", short_help="Read a logger's file.")(air_log)


def air(
    material: Material,
    temp: Annotated[str, typer.Option("--temp", help='Of the air, as "75 F"; with --shop its own.')] = "",
    rh: Annotated[str, typer.Option("--rh", help="Humidity of the air in per cent, as 76.")] = "",
    dew_point: Annotated[
        str, typer.Option("--dew-point", help="Instead of --rh, as a weather report has it.")
    ] = "",
    outdoor: Annotated[
        str, typer.Option("--outdoor", help='Instead: the air outdoors, as "40 F, 80 %", warmed.')
    ] = "",
    method: Method = "",
    piece_temp: Annotated[str, typer.Option("--piece-temp", help="Of the piece; else as the air.")] = "",
    retarder: Annotated[bool, typer.Option("--retarder", help="Lacquer with retarder in it.")] = False,
    heater: Heater = "",
    shop: ShopFile = None,
    place: PlaceName = "",
    now: Annotated[str, typer.Option("--now", help="With --shop: at this moment; else the clock.")] = "",
    svg: Annotated[
        Path | None, typer.Option("--svg", help="With --shop: draw the week's air into this file.")
    ] = None,
    as_json: Json = False,
) -> None:
    """May it be laid in this air, which rule decides, and what to do; with a shop, tonight and the good hours too."""
    from rakelight.cli import air_told

    laid, heat = method_of(method), heater_of(heater)
    asked = air_told.Asked(material, laid, temp, rh, dew_point, outdoor, piece_temp, retarder, heat)
    raise typer.Exit(air_told.air(asked, shop, place, now, svg, as_json))


def vapour(
    material: Annotated[
        list[str], typer.Option("--material", help="What is laid; say it again for more in the same session.")
    ],
    amount: Annotated[
        list[str], typer.Option("--amount", help='Of the liquid as laid, as "500 ml"; one for each material.')
    ],
    method: Annotated[
        list[str] | None, typer.Option("--method", help="brush, wipe, pad, spray; else as it is mostly laid.")
    ] = None,
    room: Annotated[
        str, typer.Option("--room", help='"60 m3" or "20 ft x 20 ft x 9 ft"; with --shop its own.')
    ] = "",
    air_changes: Annotated[
        float | None,
        typer.Option("--air-changes", parser=changes, metavar="NUMBER", help="An hour; not known: 0.5."),
    ] = None,
    mixing: Annotated[
        float | None, typer.Option("--mixing", help="1 well stirred to 10 still corners; else 5.")
    ] = None,
    flame: Annotated[
        bool, typer.Option("--flame", help="A flame, pilot light or burner is in the place.")
    ] = False,
    heater: Heater = "",
    no_methanol: Annotated[
        bool, typer.Option("--no-methanol", help="The alcohol's sheet shows no methanol.")
    ] = False,
    shop: ShopFile = None,
    place: PlaceName = "",
    as_json: Json = False,
) -> None:
    """What so much of it, alone or together, does to the air of a room: breath, fire, how much may be laid."""
    from rakelight.cli import vapour_told

    known = air_changes if air_changes is not None and not isnan(air_changes) else None
    where = vapour_told.Where(room, known, mixing, flame, heater_of(heater), no_methanol, shop, place)
    ways = [method_of(way) for way in method or []]
    raise typer.Exit(vapour_told.vapour(material, amount, ways, where, as_json))


def air_log(
    csv: Annotated[
        Path | None, typer.Argument(help="The logger's CSV; none: what is kept already.", metavar="FILE.csv")
    ] = None,
    shop: Annotated[
        Path | None, typer.Option("--shop", help="The shop it hung in; else the shop's file.", metavar="SHOP.toml")
    ] = None,
    place: PlaceName = "",
    unit: Annotated[str, typer.Option("--unit", help="F or C, where no heading says it.")] = "",
    order: Annotated[str, typer.Option("--order", help="d/m or m/d, where the dates do not settle it.")] = "",
    time_column: Annotated[
        str, typer.Option("--time-column", help="Its heading; two with a comma between.")
    ] = "",
    temp_column: Annotated[str, typer.Option("--temp-column", help="Its heading.")] = "",
    rh_column: Annotated[str, typer.Option("--rh-column", help="Its heading.")] = "",
    material: Annotated[
        str, typer.Option("--material", help="Say how many days had an hour to lay this.")
    ] = "",
    method: Method = "",
    keep: Annotated[
        bool, typer.Option("--keep", help="Plan in this air from now on: written into the shop's file.")
    ] = False,
    file: Annotated[
        Path | None, typer.Option("--file", help="The shop's file; else RAKELIGHT_SHOP, else your data folder.")
    ] = None,
    as_json: Json = False,
) -> None:
    """The shop's year as a logger wrote it, the air lines it gives for the shop file, or what is kept of it."""
    from rakelight.cli import log_told

    columns = {"time": time_column, "temp": temp_column, "rh": rh_column, "unit": unit, "order": order}
    hung = log_told.Hung(shop, file, place, keep)
    if csv is None:
        raise typer.Exit(log_told.kept(hung, as_json))
    raise typer.Exit(log_told.air_log(csv, hung, columns, material, method, as_json))
