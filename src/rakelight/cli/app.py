"""Commands and their options; what they do stands in the desk, how it is shown in `show`."""

from __future__ import annotations

import gc
import io
import os
import sys
from contextlib import suppress
from copy import copy
from inspect import getdoc
from pathlib import Path
from typing import Annotated

import typer
from typer.models import CommandInfo

from rakelight.cli import choose as choose_commands
from rakelight.cli import keeping, shop_file, tell, tell_more
from rakelight.cli import wood as wood_commands
from rakelight.cli.asked import File
from rakelight.cli.tell import Piece as PieceNamed
from rakelight.errors import Finding, Misread, RakelightError, Refused, Severity

app = typer.Typer(
    name="rakelight",
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    help="Plans the finishing of a piece of furniture, from sanded parts to the date it is wanted.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

FINE, WARNED, WRONG_USE = 0, 1, 2
STOPPED = 130  # by the keyboard, as shells have it

PieceFile = Annotated[Path, typer.Argument(help="The piece, a TOML file.", metavar="PIECE.toml")]
ShopFile = Annotated[
    Path | None,
    typer.Option("--shop", help="The shop; else shop.toml beside the piece, or here.", metavar="SHOP.toml"),
]
By = Annotated[str, typer.Option("--by", help='Wanted by, as "19 March 2027 12:00"; else as the piece says.')]
For = Annotated[str, typer.Option("--for", help="With --by: pack (as if nothing is said), show, use, or a step.")]
Now = Annotated[str, typer.Option("--now", help="Plan as of this moment; else the clock.")]
LogFile = Annotated[Path | None, typer.Option("--log", help="The piece's log; else PIECE.log.jsonl beside it.")]
Json = Annotated[bool, typer.Option("--json", help="Plain data instead of text.")]
Pieces = Annotated[
    list[str] | None,
    typer.Argument(
        help="A piece's file, or several to plan together; or a piece of the shop's file; none: all at hand.",
        metavar="[PIECE ...]",
    ),
]


def _for(by: str, for_: str) -> str:
    if for_ and not by:
        raise Misread("--for says what must be so by a date, and no date is given.", "Say --by as well.")
    return for_ or "pack"


def _exit_for(found: list[Finding] | tuple[Finding, ...]) -> int:
    return WARNED if any(f.severity is Severity.ERROR for f in found) else FINE


@app.command(short_help="What to do on which day, what to mix and buy, what is wrong.")
def plan(
    pieces: Pieces = None,
    shop: ShopFile = None,
    file: File = None,
    by: By = "",
    for_: For = "",
    now: Now = "",
    log: LogFile = None,
    keep: Annotated[bool, typer.Option("--keep", help="Write the plan into the piece's log.")] = False,
    solver: Annotated[str, typer.Option("--solver", help="greedy, exact (slower, better), or auto.")] = "auto",
    seconds: Annotated[float | None, typer.Option("--seconds", help="Time to spend on a better plan.")] = None,
    odds: Annotated[bool, typer.Option("--odds", help="Say what drives the dates, and the latest start.")] = False,
    ics: Annotated[Path | None, typer.Option("--ics", help="Write a calendar file, with alarms.")] = None,
    svg: Annotated[Path | None, typer.Option("--svg", help="Draw the calendar.")] = None,
    narrow: Annotated[bool, typer.Option("--narrow", help="With --svg: upright, for a phone.")] = False,
    odds_svg: Annotated[Path | None, typer.Option("--odds-svg", help="Draw the odds of the last date.")] = None,
    goal: Annotated[str, typer.Option("--goal", help="early; or late, as late as keeps nine in ten.")] = "early",
    why: Annotated[str, typer.Option("--why", help="Why a step is when it is, as case/coat-3; or: date.")] = "",
    as_json: Json = False,
) -> None:
    """What to do on which day, how long each wait is, what to mix and buy, and what is wrong with the idea."""
    from rakelight.cli import at_hand, over_all
    from rakelight.plan.solving import Ask

    want = over_all.Wanted(
        by, _for(by, for_), keep, Ask(solver, seconds, goal), "all" if odds else "dates", ics, svg, narrow, odds_svg,
        why,
    )  # fmt: skip
    if pieces and len(pieces) > 1:
        from rakelight.cli import several

        raise typer.Exit(several.plan([Path(p) for p in pieces], shop, file, now, log, want, as_json))
    meant = at_hand.Meant(pieces[0] if pieces else "", shop, file, now, log)
    raise typer.Exit(over_all.plan(meant, want, as_json))


@app.command(short_help="What is wrong with a piece and its schedules.")
def check(
    piece: PieceFile, shop: ShopFile = None, by: By = "", now: Now = "", log: LogFile = None, as_json: Json = False
) -> None:
    """What is wrong with a piece and its schedules, before anything is planned."""
    from rakelight.cli import show

    desk = show.desk(piece, shop, by, "pack", now, log)
    found = desk.check()
    show.findings(found, as_json)
    raise typer.Exit(_exit_for(found))


@app.command(short_help="What to do now and next, and what is drying until when.")
def today(
    piece: PieceNamed = "",
    shop: ShopFile = None,
    file: File = None,
    now: Now = "",
    log: LogFile = None,
    as_json: Json = False,
) -> None:
    """What to do now and next, what dries until when, which test to make, what to buy, which rags must out."""
    from rakelight.cli import at_hand, over_all

    raise typer.Exit(over_all.today(at_hand.Meant(piece, shop, file, now, log), as_json))


tell.register(app)
tell_more.register(app)
shop_file.register(app)
keeping.register(app)


@app.command(short_help="Flakes and alcohol for a cut of shellac.")
def mix(
    what: Annotated[str, typer.Argument(help="shellac; or colour, with --share.")],
    cut: Annotated[str, typer.Option("--cut", help='Pounds of flake to a US gallon, as "1 1/2"; else 2.')] = "",
    alcohol: Annotated[str, typer.Option("--alcohol", help='As "16 fl oz" or "500 ml".')] = "",
    flakes: Annotated[str, typer.Option("--flakes", help='Weighed "60 g", or by the cup "2 fl oz" (rough).')] = "",
    make: Annotated[str, typer.Option("--make", help="How much is wanted, ready mixed; or the batch.")] = "",
    share: Annotated[str, typer.Option("--share", help='Colour added to a batch (--make), as "2 %".')] = "",
    as_json: Json = False,
) -> None:
    """How much flake and alcohol, and what it makes; or which cut this much flake gives; or a share in spoons."""
    from rakelight.cli import jars

    if share:
        jars.mix_in(what, share, make, bool(cut or alcohol or flakes), as_json)
    else:
        jars.mix(what, cut, alcohol, flakes, make, as_json)


@app.command(short_help="Thin a jar, or learn what it has become.")
def thin(
    what: Annotated[str, typer.Argument(help="shellac; or any finish, with --by.")],
    from_: Annotated[str, typer.Option("--from", help='The cut in the jar, as "2" or "1 1/2".')] = "",
    to: Annotated[str, typer.Option("--to", help="The cut wanted; or --add, to learn what it is.")] = "",
    of: Annotated[str, typer.Option("--of", help="How much is in the jar.")] = "100 ml",
    add: Annotated[str, typer.Option("--add", help="Alcohol that was added: what cut is it now?")] = "",
    by: Annotated[str, typer.Option("--by", help='Any other finish: thin by, as "25 %".')] = "",
    as_json: Json = False,
) -> None:
    """How much alcohol to add to a jar; or what is in the jar after adding some."""
    from rakelight.cli import jars

    jars.thin(what, from_, to, of, add, by, as_json)


@app.command(short_help="May this go over that, and after how long?")
def over(
    upper: Annotated[str, typer.Argument(help="What is to be laid.")],
    under: Annotated[str, typer.Argument(help="What lies there.")],
    by: Annotated[str, typer.Option("--by", help="brush, wipe, pad or spray.")] = "",
    as_json: Json = False,
) -> None:
    """May the first go over the second, after how long, and what to put between."""
    from rakelight.cli import jars

    jars.over(upper, under, by, as_json)


@app.command(short_help="What the tables say, and where it comes from.")
def facts(
    words: Annotated[list[str], typer.Argument(help="A material, wood, abrasive or rule.")], as_json: Json = False
) -> None:
    """What the tables say, and where each figure comes from."""
    from rakelight.cli import jars

    jars.facts(" ".join(words), as_json)


@app.command(short_help="The schedules in the book.")
def book(
    name: Annotated[str, typer.Argument(help="A schedule's name; none: all of them.")] = "",
    shop: Annotated[Path | None, typer.Option("--shop", help="A shop with a book of its own.")] = None,
    as_json: Json = False,
) -> None:
    """The schedules in the book, and one of them step by step."""
    from rakelight.cli import jars

    jars.book(name, shop, as_json)


choose_commands.register(app)
wood_commands.register(app)


from rakelight.cli import again as again_commands  # noqa: E402
from rakelight.cli import air as air_commands  # noqa: E402
from rakelight.cli import fault as fault_commands  # noqa: E402
from rakelight.cli import film  # noqa: E402
from rakelight.cli import learned as learned_commands  # noqa: E402
from rakelight.cli import papers as papers_commands  # noqa: E402
from rakelight.cli import serve as serve_command  # noqa: E402
from rakelight.cli import stock as stock_commands  # noqa: E402

film.register(app)
air_commands.register(app)
papers_commands.register(app)
serve_command.register(app)
learned_commands.register(app)
stock_commands.register(app)
again_commands.register(app)
fault_commands.register(app)


def main() -> None:
    """Run a command; a mistake of the maker's is told in plain words, never as a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    gc.set_threshold(100_000, 20, 20)  # a short run makes much and throws little away
    code = FINE
    try:
        code = _run()
        sys.stdout.flush()
    except BrokenPipeError:  # whoever was reading has read enough
        with suppress(OSError, ValueError, AttributeError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    gc.freeze()  # all that was made goes with the process: nothing is looked through once more
    sys.exit(code)


def _run() -> int:
    try:
        from rakelight.cli.help_words import in_plain_words

        command = in_plain_words(typer.main.get_group(_named(sys.argv[1:2])))
        return int(command(standalone_mode=False, prog_name="rakelight") or FINE)
    except typer.Exit as stop:
        return int(stop.exit_code)
    except (typer.Abort, KeyboardInterrupt):
        return _wrong("Stopped.", STOPPED)
    except Refused as bad:
        from rakelight.cli import show

        show.findings(bad.findings, "--json" in sys.argv)
        return WARNED
    except Misread as bad:
        return _wrong(f"{bad.says} {bad.mend}")
    except RakelightError as bad:
        return _wrong(str(bad))
    except SystemExit:  # what the option reader makes of a pipe that was closed
        return FINE
    except BrokenPipeError:
        raise
    except OSError as bad:
        return _wrong(f"{bad.filename}: {bad.strerror}." if bad.filename else f"{bad.strerror}.")
    except Exception as bad:
        return _unexpected(bad)


def _named(first: list[str]) -> typer.Typer:
    """The command that is named; else all of them for the list of them, without what each takes.

    To make ready what all of them take lasts as long as a small plan.
    """
    one = copy(app)
    one.registered_commands = [c for c in app.registered_commands if first == [_name(c)]]
    one.registered_commands = one.registered_commands or [_listed(c) for c in app.registered_commands]
    return one


def _listed(command: CommandInfo) -> CommandInfo:
    """A command as the list of all shows it."""
    found = copy(command)
    found.name, found.help = _name(command), command.help or getdoc(command.callback)
    found.callback = _nothing
    return found


def _name(command: CommandInfo) -> str:
    return str(command.name or getattr(command.callback, "__name__", ""))


def _nothing() -> None:
    """In the place of what a command does, where it is only listed."""


def _unexpected(bad: Exception) -> int:
    """A misused option, as the option reader says it; or a fault of this program."""
    if hasattr(bad, "format_message"):
        return _wrong(bad.format_message() + _nearest_command(str(bad.format_message())))
    if os.environ.get("RAKELIGHT_TRACE"):
        raise bad
    kind = type(bad).__name__
    return _wrong(f"A fault of rakelight itself, not of your files: {kind}: {bad}. RAKELIGHT_TRACE=1 shows where.")


def _nearest_command(says: str) -> str:
    if "No such command" not in says or "Did you mean" in says:
        return " `rakelight COMMAND --help` shows how it is used." if "Missing" in says else ""
    from difflib import get_close_matches

    names = [_name(c) for c in app.registered_commands]
    near = get_close_matches(says.split("'")[1] if "'" in says else "", names, 1, 0.5)
    return f" Did you mean {near[0]}?" if near else f" There are: {', '.join(names)}."


def _wrong(says: str, code: int = WRONG_USE) -> int:
    print(says, file=sys.stderr)
    return code
