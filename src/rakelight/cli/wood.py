"""Questions about the wood: the moisture air brings it to, how far it moves, whether it cups, whether it is ready."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from rakelight.cli.plain import per_cent


def _percent(name: str, help: str) -> Any:
    return typer.Option(name, parser=per_cent, metavar="PER_CENT", help=help)


WoodName = Annotated[str, typer.Option("--wood", help='As "black walnut".', metavar="NAME")]
Width = Annotated[str, typer.Option("--width", help='Across the grain, as "400 mm" or "16 1/2 in".')]
Cut = Annotated[str, typer.Option("--cut", help="How it is sawn: flat, rift or quarter.")]
FromRh = Annotated[float | None, _percent("--from-rh", "Humidity it comes from, in per cent.")]
ToRh = Annotated[float | None, _percent("--to-rh", "Humidity it comes to, in per cent.")]
FromMc = Annotated[float | None, _percent("--from-mc", "Moisture it starts at, in per cent.")]
ToMc = Annotated[float | None, _percent("--to-mc", "Moisture it ends at, in per cent.")]
Temp = Annotated[str, typer.Option("--temp", help='Temperature of the air, as "20 C" or "68 F".')]
Shrinkage = Annotated[str, typer.Option("--shrinkage", help='Own figures, as "4.6 %, 7.4 %" (radial, tangential).')]
Gravity = Annotated[float | None, typer.Option("--gravity", help="Dry weight against water, as 0.65.")]
Core = Annotated[str, typer.Option("--core", help="A veneer's core: plywood, mdf, particleboard or blockboard.")]
Town = Annotated[str, typer.Option("--town", help="Town it will live in, heated; else own readings.")]
HeatedTo = Annotated[str, typer.Option("--heated-to", help='With --town: warmth indoors, as "68 F".')]
DryRh = Annotated[float | None, _percent("--dry-rh", "Driest humidity where it will live, in per cent.")]
DampRh = Annotated[float | None, _percent("--damp-rh", "Dampest humidity where it will live.")]
Json = Annotated[bool, typer.Option("--json", help="Plain data instead of text.")]
Thickness = Annotated[str, typer.Option("--thickness", help='As "22 mm" or "7/8 in".')]


def register(app: typer.Typer) -> None:
    """Add the commands of this room."""
    app.command()(emc)
    app.command()(movement)
    app.command()(cup)
    app.command()(ready)


def emc(
    temp: Temp = "20 C",
    rh: Annotated[float | None, _percent("--rh", "Humidity of the air, in per cent.")] = None,
    mc: Annotated[float | None, _percent("--mc", "The way back: which humidity keeps this moisture?")] = None,
    as_json: Json = False,
) -> None:
    """Moisture that wood comes to in this air; or the air that keeps it at a moisture."""
    from rakelight.cli import wood_answers

    wood_answers.emc(temp, rh, mc, as_json)


def movement(
    wood: WoodName,
    width: Width,
    cut: Cut = "flat",
    from_rh: FromRh = None,
    to_rh: ToRh = None,
    from_mc: FromMc = None,
    to_mc: ToMc = None,
    temp: Temp = "20 C",
    town: Town = "",
    heated_to: HeatedTo = "",
    dry_rh: DryRh = None,
    damp_rh: DampRh = None,
    thickness: Thickness = "20 mm",
    finish: Annotated[str, typer.Option("--finish", help='With a year: on both faces, as "shellac x3".')] = "bare",
    fixed: Annotated[str, typer.Option("--fixed", help="The line that stays: middle or edge.")] = "middle",
    crack: Annotated[str, typer.Option("--crack", help='A crack in it, as "1/8 in": fill it or not?')] = "",
    core: Core = "",
    shrinkage: Shrinkage = "",
    gravity: Gravity = None,
    svg: Annotated[str, typer.Option("--svg", help="With a year: write the picture to this file.")] = "",
    as_json: Json = False,
) -> None:
    """How far a board or top moves between two airs, or through the year where it will live."""
    from rakelight.cli import wood_answers as answers

    ask = answers.Asked(wood, width, thickness, cut, temp, shrinkage, gravity, as_json)
    if answers.on_a_core(core, ask):
        return
    if town or dry_rh is not None or damp_rh is not None:
        answers.year(ask, answers.Home(town, heated_to, dry_rh, damp_rh), from_rh, from_mc, finish, fixed, svg, crack)
        return
    answers.movement(ask, (from_rh, to_rh), (from_mc, to_mc), fixed, crack)


def cup(
    wood: WoodName,
    width: Width,
    thickness: Thickness,
    cut: Cut = "flat",
    top: Annotated[str, typer.Option("--top", help='On top, as "shellac x3".')] = "bare",
    under: Annotated[str, typer.Option("--under", help='Beneath: "bare", "shellac x1", "bench", "wall".')] = "bare",
    from_rh: FromRh = None,
    to_rh: ToRh = None,
    from_mc: FromMc = None,
    to_mc: ToMc = None,
    temp: Temp = "20 C",
    town: Town = "",
    heated_to: HeatedTo = "",
    dry_rh: DryRh = None,
    damp_rh: DampRh = None,
    pith: Annotated[str, typer.Option("--pith", help="How far the pith was from the board: adds the rings' cup.")] = "",
    shrinkage: Shrinkage = "",
    gravity: Gravity = None,
    svg: Annotated[str, typer.Option("--svg", help="Write its picture to this file; of a place alone, its year.")] = "",
    as_json: Json = False,
) -> None:
    """Will it cup: how far, when and which way, for the coats on either face, when the air changes."""
    from rakelight.cli import wood_answers as answers

    ask = answers.Asked(wood, width, thickness, cut, temp, shrinkage, gravity, as_json)
    lived_in = town or dry_rh is not None or damp_rh is not None
    home = answers.Home(town, heated_to, dry_rh, damp_rh) if lived_in else None
    answers.cup(ask, (top, under), (from_rh, to_rh), (from_mc, to_mc), pith, svg, home)


def ready(
    wood: WoodName,
    thickness: Thickness,
    mc: Annotated[float, _percent("--mc", "What the meter reads, in per cent.")],
    correction: Annotated[float, typer.Option("--correction", help="To add for this wood, as -0.5.")] = 0.0,
    mc_core: Annotated[float | None, _percent("--mc-core", "Read at half depth.")] = None,
    pin: Annotated[bool, typer.Option("--pin", help="Read with a pin meter.")] = False,
    lain_rh: Annotated[float | None, _percent("--lain-rh", "Humidity of the air it has lain in.")] = None,
    lain_weeks: Annotated[float | None, typer.Option("--lain-weeks", help="For how long it lay there.")] = None,
    rh: Annotated[float | None, _percent("--rh", "Humidity where it waits; else as at home.")] = None,
    temp: Temp = "20 C",
    target_mc: Annotated[float | None, _percent("--target-mc", "Moisture where it will live.")] = None,
    home_rh: Annotated[float | None, _percent("--home-rh", "Humidity where it will live.")] = None,
    town: Town = "",
    weight: Annotated[str, typer.Option("--weight", help='Weight of a board now, as "4.2 kg": makes the sheet.')] = "",
    gravity: Gravity = None,
    as_json: Json = False,
) -> None:
    """Is the wood ready to work, or how many weeks must it lie first?"""
    from rakelight.cli import wood_answers as answers

    ask = answers.Asked(wood, "1 m", thickness, "flat", temp, "", gravity, as_json)
    meter = answers.Meter(mc, correction, mc_core, pin, lain_rh, lain_weeks)
    answers.ready(ask, meter, rh, (target_mc, home_rh, town), weight)
