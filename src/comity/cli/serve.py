"""The command ``comity serve``."""

from __future__ import annotations

import errno
import os
import signal
import socket
from contextlib import closing
from importlib.util import find_spec
from ipaddress import ip_address
from pathlib import Path
from typing import Annotated, Any, Final, NoReturn

import typer

from comity.cli.options import day_of

PORT: Final = 8765
LOOPBACK: Final = "127.0.0.1"
_PARTS: Final = (
    "django",
    "waitress",
    "whitenoise",
    "axes",
    "csp",
    "django_htmx",
    "argon2",
    "ninja",
)
_THREADS: Final = 8
_HIGHEST_PORT: Final = 65_535


def serve(
    *,
    demo: Annotated[
        bool,
        typer.Option("--demo", help="Open an office of invented people, on this machine only."),
    ] = False,
    host: Annotated[
        str,
        typer.Option(metavar="H", help="The address to listen at; this machine only unless told."),
    ] = LOOPBACK,
    port: Annotated[
        int, typer.Option(metavar="N", min=1, max=_HIGHEST_PORT, help="The port to listen at.")
    ] = PORT,
) -> None:
    """Open the desk, for a browser.

    The office's things are kept in one folder, ~/.local/share/comity unless COMITY_HOME names
    another one; its database is brought up to date at the start. Ctrl-C closes the desk.

    Example: comity serve --demo
    """
    missing = [name for name in _PARTS if find_spec(name) is None]
    if missing:
        _refuse("the desk's server is not installed; install it: pip install 'comity[desk]'")
    is_local = _is_loopback(host)
    if demo and not is_local:
        msg = f"{host} can be reached by others, who know the demo's passwords; leave --host out."
        raise typer.BadParameter(msg, param_hint="--host")
    day_of(os.environ.get("COMITY_TODAY") or None, "COMITY_TODAY")
    _set_environment(is_demo=demo, is_local=is_local)
    _make_sure_port_is_free(host, port)
    application = _opened()
    _tell(host, port, is_demo=demo)
    _run(application, host=host, port=port)


def _is_loopback(host: str) -> bool:
    try:
        return ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return host == "localhost"


def _set_environment(*, is_demo: bool, is_local: bool) -> None:
    """Say to the settings where this office runs; a name for the world asks for TLS before it."""
    os.environ.pop("COMITY_DEMO", None)
    if is_demo:
        os.environ["COMITY_DEMO"] = "1"
        data = os.environ.get("XDG_DATA_HOME") or "~/.local/share"
        os.environ.setdefault("COMITY_HOME", str(Path(f"{data}/comity-demo").expanduser()))
    if is_local and "COMITY_HOSTS" not in os.environ:
        os.environ["COMITY_LOCAL"] = "1"
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "comity.desk.settings")


def _make_sure_port_is_free(host: str, port: int) -> None:
    try:
        family, kind, _proto, _name, address = socket.getaddrinfo(
            host.strip("[]"), port, type=socket.SOCK_STREAM
        )[0]
        with closing(socket.socket(family, kind)) as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            trial.bind(address)
    except socket.gaierror:
        msg = f"{host} is no address of this machine."
        raise typer.BadParameter(msg, param_hint="--host") from None
    except OSError as error:
        _refuse(_why_not(error, host, port))


def _why_not(error: OSError, host: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        other = port + 1 if port < _HIGHEST_PORT else PORT
        return (
            f"port {port} is taken; stop what uses it, perhaps another desk, "
            f"or choose another one: comity serve --port {other}"
        )
    if error.errno == errno.EACCES:
        return f"port {port} needs special rights; choose one above 1023"
    return f"nothing can listen at {host}, port {port}: {error.strerror}"


def _opened() -> Any:  # noqa: ANN401 - a WSGI application
    """Return the application, with its database up to date and the demo's office filled."""
    from comity.store.home import HomeError, home  # noqa: PLC0415 - needs nothing of the desk

    try:
        home()
        return _application()
    except HomeError as error:
        _refuse(str(error))


def _application() -> Any:  # noqa: ANN401 - a WSGI application
    import django  # noqa: PLC0415 - the desk may not be installed
    from django.core.management import call_command  # noqa: PLC0415

    django.setup()
    from django.db import DatabaseError, InterfaceError  # noqa: PLC0415

    from comity.desk import clock  # noqa: PLC0415 - models need the settings
    from comity.store.demo import fill_demo_office, is_demo_mode, refuse_outside_demo  # noqa: PLC0415
    from comity.store.errors import StoreError  # noqa: PLC0415
    from comity.store.writing import sentence_for  # noqa: PLC0415

    try:
        call_command("migrate", verbosity=0, interactive=False)
        refuse_outside_demo()
        if is_demo_mode():
            fill_demo_office(clock.today_at())
    except StoreError as error:
        _refuse(str(error))
    except (DatabaseError, InterfaceError) as error:
        _refuse(sentence_for(error) or f"the office's database cannot be used: {error}")
    from comity.desk.wsgi import application  # noqa: PLC0415 - once the database is there

    return application


def _tell(host: str, port: int, *, is_demo: bool) -> None:
    shown = f"[{host}]" if ":" in host and not host.startswith("[") else host
    typer.echo(f"The desk is open at http://{shown}:{port}")
    if is_demo:
        _tell_demo()
    else:
        _tell_office()
    typer.echo("Ctrl-C closes it.")


def _tell_demo() -> None:
    from comity.desk import clock  # noqa: PLC0415 - see above
    from comity.desk.templatetags.desk import day  # noqa: PLC0415
    from comity.store.demo import ADVISER, APPLICANT, OWNER, PASSWORD  # noqa: PLC0415

    typer.echo(f"Invented people; the day there is {day(clock.demo_day())}. Sign in as")
    for role, email in (("owner", OWNER), ("adviser", ADVISER), ("applicant", APPLICANT)):
        typer.echo(f"  {role:<10} {email}")
    typer.echo(f"  password   {PASSWORD}")


def _tell_office() -> None:
    from comity.store.home import home  # noqa: PLC0415 - see above
    from comity.store.people import has_started  # noqa: PLC0415

    typer.echo(f"The office's things are in {home()}")
    if not has_started():
        typer.echo("Nobody has an account yet: open the address to set the office up.")


def _run(application: Any, *, host: str, port: int) -> None:  # noqa: ANN401 - a WSGI application
    from waitress.server import create_server  # noqa: PLC0415 - the desk may not be installed

    proxy = os.environ.get("COMITY_PROXY")
    behind = {
        "trusted_proxy": proxy,
        "trusted_proxy_count": 1,
        "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-proto", "x-forwarded-host"},
    }
    signal.signal(signal.SIGTERM, _interrupt)
    server = create_server(
        application,
        host=host.strip("[]"),
        port=port,
        threads=_THREADS,
        ident=None,
        clear_untrusted_proxy_headers=True,
        **(behind if proxy else {}),
    )
    server.run()
    typer.echo("The desk is closed.")


def _interrupt(*_signal: object) -> NoReturn:
    raise KeyboardInterrupt


def _refuse(sentence: str) -> NoReturn:
    typer.echo(f"error: {sentence}", err=True)
    raise typer.Exit(1)
