"""``diagnose club`` and ``diagnose schema``: a club's own folder, begun, checked by an editor, and kept in use."""

from __future__ import annotations

from pathlib import Path

import click

from diagnose.commands.printed import show
from diagnose.errors import DiagnoseError

NONE = "none"


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def club() -> None:
    """Begin a club's own folder, or keep one in use.

    \b
    Examples:
      diagnose club new our-club
      diagnose club use our-club
    """


@club.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--name", help="Of the club; left out, that of the folder.")
def new(folder: Path, name: str | None) -> None:
    """Write a folder to begin from: club.yaml, an example of each kind, a case.

    \b
    Example:
      diagnose club new our-club --name "Our club"
    """
    import json

    from diagnose.graph import schema
    from diagnose.graph.club_folder import SCHEMA, skeleton
    from diagnose.graph.load import read_all, shipped_texts
    from diagnose.pages.club_folder import made

    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise DiagnoseError(f"{folder} exists already, and nothing is written over: give another name")
    files = skeleton(read_all(), shipped_texts(), json.dumps(name or folder.resolve().name))
    try:
        for file, text in files.items():
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
            (folder / file).write_text(text, "utf-8")
        schema.write(folder / SCHEMA)
    except OSError as error:
        raise DiagnoseError(f"{folder} can't be written: {error.strerror}") from error
    show(made(folder, files))


@club.command()
@click.argument("folder", metavar="DIR|none")
def use(folder: str) -> None:
    """Take a club's folder with you from now on, or none.

    It must hold: what is wrong with it is told, and it is not taken.

    \b
    Examples:
      diagnose club use our-club
      diagnose club use none
    """
    from diagnose.folders import use_club
    from diagnose.graph.load import load
    from diagnose.pages.club_folder import in_use

    chosen = None if folder == NONE else Path(folder).resolve()
    if chosen is not None:
        load((chosen,))
    try:
        use_club(chosen)
    except OSError as error:
        raise DiagnoseError(f"this can't be remembered: {error.strerror}") from error
    show(in_use(chosen))


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def schema(folder: Path) -> None:
    """Write the JSON Schema of each kind of file into DIR, for an editor.

    DIR/export holds those of what 'diagnose car' exports.

    \b
    Example:
      diagnose schema our-club/schema
    """
    from diagnose.graph.schema import write
    from diagnose.pages.club_folder import schemas_written
    from diagnose.workshop import export

    try:
        write(folder)
        export.write(folder / "export")
    except OSError as error:
        raise DiagnoseError(f"{folder} can't be written: {error.strerror}") from error
    show(schemas_written(folder))
