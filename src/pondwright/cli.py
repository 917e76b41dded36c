"""The command line: start, plan, check. Thin: it reads the arguments, calls the library, and turns faults into one line each."""
from __future__ import annotations

import argparse
import os
import sys
from datetime import date
from pathlib import Path

from . import __version__


class Fault(Exception):
    """One or more lines for a person; nothing was overwritten or lost."""


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with the arguments in one line."""

    def error(self, message: str):
        self.exit(2, f"{self.prog}: {_line(message)}; '{self.prog} --help' shows what may be given.\n")


def _line(text) -> str:
    from .report.words import plain

    return plain(text)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="pondwright", allow_abbrev=False,
                     description="A workbook for people who build a pond into a small recirculating system.")
    parser.add_argument("--version", action="version", version=f"pondwright {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", parser_class=_Parser)

    start = commands.add_parser("start", help="make a working folder with the lessons and open it", allow_abbrev=False,
                                description="Make a working folder and open its first lesson in JupyterLab. Run again, it brings the "
                                            "lessons up to date and leaves everything that you changed.")
    start.add_argument("folder", nargs="?", default="my-pond", metavar="FOLDER", help="default: ./my-pond")
    start.add_argument("--no-browser", action="store_true", help="print the address instead of opening a browser")
    start.add_argument("--port", type=_port, metavar="N", help="listen on this port; default: the first free one from 8888")
    start.set_defaults(run=_start)

    plan = commands.add_parser("plan", help="compute the plan of a pond", allow_abbrev=False,
                               description="Compute the plan of a pond and print it, or write it as a page to print, or as JSON.")
    plan.add_argument("pond", nargs="?", metavar="pond.toml", help="default: pond.toml here, else the packaged demo pond")
    plan.add_argument("--html", metavar="FILE", help="write the printable report")
    plan.add_argument("--json", action="store_true", help="print every result as value and unit under a stable dotted name")
    plan.add_argument("--units", choices=("metric", "us", "imperial"), help="default: what the pond file says")
    plan.set_defaults(run=_plan)

    check = commands.add_parser("check", help="say what is wrong with a pond file", allow_abbrev=False,
                                description="Check a pond file: one line a fault, exit code 1; exit code 0 when it is clean.")
    check.add_argument("pond", nargs="?", default="pond.toml", metavar="pond.toml", help="default: pond.toml here")
    check.set_defaults(run=_check)
    return parser


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"'{text}' is not a port; a whole number from 1 to 65535 would do")
    return int(text)


def _start(args) -> int:
    from .classroom.server import ServerError, serve
    from .classroom.workfolder import WorkFolderError, make

    def say(sentence: str) -> None:
        print(_line(sentence), flush=True)

    try:
        outcome = make(args.folder)
        for sentence in outcome.sentences():
            say(sentence)
        return serve(outcome.folder, outcome.first_lesson, port=args.port, browser=not args.no_browser, say=say)
    except (WorkFolderError, ServerError) as error:
        raise Fault(str(error)) from None


def _plan(args) -> int:
    from .pond.file import MY_POND, demo_pond, load_pond, my_pond, write_atomically
    from .pond.findings import findings
    from .pond.plan import plan
    from .units import showing_in

    pond = my_pond() if args.pond is None else load_pond(args.pond)
    whose = f"your file {Path(args.pond or MY_POND).name}"
    if args.pond is None and pond == demo_pond():
        whose = f"the packaged demo pond, which is invented; no {MY_POND} with a shape is in this folder"
    system = args.units or pond.pond.units
    if args.html is not None:
        _spare(Path(args.html), Path(args.pond or MY_POND))
    with showing_in(system):
        planned = plan(pond)
        found = findings(planned)
        if args.html is not None:
            from .report.printable import printable

            today = f"{date.today():%d %B %Y}".lstrip("0")
            write_atomically(Path(args.html), printable(planned, found, system, whose=whose, when=today))
            print(f"The printable plan of {_line(pond.name)} is in {_line(args.html)}: open it in a browser and print it.",
                  file=sys.stderr if args.json else sys.stdout)
        if args.json:
            from .report.as_json import as_json

            print(as_json(planned, found, system))
        elif args.html is None:
            from .report.terminal import tell

            tell(planned, found, system, whose=whose)
    return 0


def _spare(target: Path, source: Path) -> None:
    """Refuse to write the report over the pond file, or over anything else that is no page."""
    if target.is_dir():
        raise Fault(f"{target}: is a folder; give the name of a file, such as plan.html.")
    if target.exists() and (target.suffix.lower() not in (".html", ".htm") or (source.exists() and target.samefile(source))):
        raise Fault(f"{target}: is there already and is not an .html file, so it was left alone; give a name such as plan.html.")


def _check(args) -> int:
    from .pond.faults import contradictions
    from .pond.file import PondFileError, load_pond

    pond = load_pond(args.pond)
    if said := contradictions(pond):
        raise PondFileError(said)
    print(f"{_line(args.pond)}: no fault found; {_line(pond.name)} can be planned.")
    return 0


def main(argv=None) -> int:
    """Run one command and return its exit code."""
    parser = _parser()
    args = parser.parse_args(argv)
    if not hasattr(args, "run"):
        parser.print_help()
        return 0
    return _shielded(lambda: args.run(args))


def _shielded(run) -> int:
    """Turn every fault that a person can mend into plain lines on stderr and an exit code."""
    from .pond.file import PondFileError
    from .units import QuantityError

    if sys.stdout is None:
        return _complain("there is nowhere to write to: standard output is closed.")
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that knows no ² shows ? instead of stopping
    try:
        code = run()
        sys.stdout.flush()
        return code
    except PondFileError as error:
        return _complain(*error.faults)
    except (Fault, QuantityError) as error:
        return _complain(error)
    except KeyboardInterrupt:
        return _complain("stopped.", code=130)
    except BrokenPipeError:
        _drop_stdout()
        return _complain("whoever read the output closed it before the end.")
    except OSError as error:
        _drop_stdout()
        return _complain(f"{error.filename or 'the output'}: cannot be written ({error.strerror}).")


def _drop_stdout() -> None:
    """Point standard output at nothing, so that Python does not complain once more when it ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)


def _complain(*lines, code: int = 1) -> int:
    for line in lines:
        print(_line(line), file=sys.stderr)
    return code


if __name__ == "__main__":
    sys.exit(main())
