"""A real PostgreSQL server for the tests: a folder of its own, a free loopback port, gone afterwards."""

import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg

USER, PASSWORD = "keeper", "Salt+Sugar_17"  # the server lives for one test run, on loopback
_START_S = 30.0
_STOP_S = 20.0
_TRIES = 3
_QUICK = (
    "fsync=off",
    "synchronous_commit=off",
    "full_page_writes=off",
    "max_connections=40",
    "shared_buffers=16MB",
)


def programs() -> Path:
    """The folder with `postgres` and `initdb`.

    Raises:
        RuntimeError: there is none; the tests need it and do not do without.
    """
    named = os.environ.get("POSTGRES") or shutil.which("postgres")
    found = [Path(named)] if named else sorted(Path("/usr/lib/postgresql").glob("*/bin/postgres"))
    if not found or not (found[-1].with_name("initdb")).exists() or not found[-1].exists():
        raise RuntimeError(
            "The tests of the hub need a PostgreSQL server (Debian: apt-get install postgresql). Set POSTGRES to "
            f"its 'postgres' program with 'initdb' beside it; looked at: {named or 'PATH and the usual places'}."
        )
    return found[-1].resolve().parent


def _runner() -> dict[str, object]:
    """Who runs the server: PostgreSQL refuses root, so root hands it to an account that owns nothing else."""
    if os.geteuid() != 0:
        return {}
    for name in ("postgres", "nobody"):
        try:
            account = pwd.getpwnam(name)
        except KeyError:
            continue
        return {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}
    raise RuntimeError(
        "PostgreSQL does not run as root, and there is no account 'postgres' or 'nobody' for it."
    )


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Server:
    """One server process; `stop` and `start` again keep port and data."""

    def __init__(self, folder: Path) -> None:
        self.folder, self._bin, self._as = folder, programs(), _runner()
        self._data, self._process = folder / "data", None
        self.port = 0

    def initialise(self) -> None:
        secret = self.folder / "password"
        secret.write_text(PASSWORD, encoding="utf-8")
        if self._as:
            for path in (self.folder, secret):
                os.chown(path, self._as["user"], self._as["group"])
        made = self._run(
            "initdb", "-D", str(self._data), "-U", USER, f"--pwfile={secret}", "-A", "scram-sha-256", "-E", "UTF8",
            "--locale=C", "--no-sync",
        ).communicate()  # fmt: skip
        if not (self._data / "PG_VERSION").exists():
            raise RuntimeError(f"initdb failed: {made}\n{self._log()}")

    def start(self) -> None:
        for _ in range(_TRIES):
            port = self.port or _free_port()
            options = [word for setting in _QUICK for word in ("-c", setting)]
            self._process = self._run(
                "postgres", "-D", str(self._data), "-h", "127.0.0.1", "-p", str(port), "-k", "", *options
            )
            if self._answers(port):
                self.port = port
                return
            self.stop()
        raise RuntimeError(f"PostgreSQL did not start:\n{self._log()}")

    def stop(self) -> None:
        """Fast shutdown; the hard one only where that takes too long."""
        process, self._process = self._process, None
        if process is None:
            return
        for sign in (signal.SIGINT, signal.SIGQUIT):
            if process.poll() is None:
                process.send_signal(sign)
                try:
                    process.wait(_STOP_S)
                except subprocess.TimeoutExpired:
                    continue
        process.wait(_STOP_S)

    def url(
        self, database: str = "postgres", user: str = USER, password: str = PASSWORD, schema: str = "public"
    ) -> str:
        server = f"{user}:{password}@127.0.0.1:{self.port}"
        return f"postgresql://{server}/{database}?options=-csearch_path%3D{schema}"

    def schema(self, name: str) -> str:
        """The address of a new, empty schema: to a hub it is what a database is, and made ten times as fast."""
        self.make(f"create schema {name}")
        return self.url(schema=name)

    def make(self, what: str) -> None:
        with psycopg.connect(self.url(), autocommit=True) as connection:
            connection.execute(what)

    def _answers(self, port: int) -> bool:
        """True as soon as it lets somebody in; False when it ended or took too long."""
        until = time.monotonic() + _START_S
        while self._process.poll() is None and time.monotonic() < until:
            try:
                psycopg.connect(
                    host="127.0.0.1", port=port, user=USER, password=PASSWORD, dbname="postgres"
                ).close()
            except psycopg.OperationalError:
                time.sleep(0.05)
            else:
                return True
        return False

    def _run(self, program: str, *args: str) -> subprocess.Popen:
        with (self.folder / "log").open("ab") as log:
            return subprocess.Popen(
                [str(self._bin / program), *args], cwd=self.folder, stdin=subprocess.DEVNULL, stdout=log,
                stderr=log, env={"LC_ALL": "C", "PATH": os.defpath}, **self._as,
            )  # fmt: skip

    def _log(self) -> str:
        return (self.folder / "log").read_text(encoding="utf-8", errors="replace")[-2000:]


@contextmanager
def running_server() -> Iterator[Server]:
    """A server that is gone, with its folder, at the end.

    pytest's own temporary folders are closed to other accounts, so this one stands beside them.
    """
    folder = Path(tempfile.mkdtemp(prefix="intake-hub-"))
    server = None
    try:
        server = Server(folder)
        server.initialise()
        server.start()
        yield server
    finally:
        if server is not None:
            server.stop()
        shutil.rmtree(folder, ignore_errors=True)
