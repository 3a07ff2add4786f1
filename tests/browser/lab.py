"""A JupyterLab of its own for a test: free port, random token, folders that vanish, a real Chromium."""

import contextlib
import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, expect, sync_playwright

from tests.discovery import ROOT

CHROMIUMS = ("chromium", "chromium-browser", "google-chrome")
TABLET = {"width": 1024, "height": 768}
START_SECONDS = 60.0
expect.set_options(timeout=20_000)

NO_NEWS = {"fetchNews": "false", "checkForUpdates": False}
QUIET = [
    "--LabApp.news_url=None",
    "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
    "--LabApp.extension_manager=readonly",
    "--ServerApp.open_browser=False",
    "--ServerApp.allow_root=True",
    "--ServerApp.port_retries=0",
]


def chromium() -> str | None:
    """Path of the system's Chromium, or None."""
    return next((path for name in CHROMIUMS if (path := shutil.which(name))), None)


@dataclass
class Lab:
    """A running server on a copy of the notebooks."""

    address: str
    token: str
    folder: Path

    def url(self, notebook: str) -> str:
        """Address of one notebook as a single document, in a fresh workspace."""
        return f"{self.address}/doc/tree/{notebook}?reset&token={self.token}"


@dataclass
class Watched:
    """A page, what it complained about, and the words of its stored picture."""

    page: Page
    errors: list[str] = field(default_factory=list)
    stored_alt: str = ""


@contextlib.contextmanager
def lab() -> Iterator[Lab]:
    """Start the server, wait until it answers, stop it."""
    with tempfile.TemporaryDirectory() as scratch, contextlib.ExitStack() as stack:
        home = Path(scratch)
        folder = home / "work"
        shutil.copytree(ROOT / "notebooks", folder, ignore=shutil.ignore_patterns(".*"))
        settings = home / "settings" / "@jupyterlab" / "apputils-extension"
        settings.mkdir(parents=True)
        (settings / "notification.jupyterlab-settings").write_text(json.dumps(NO_NEWS), "utf-8")
        log = stack.enter_context((home / "log").open("w"))
        port, token = _free_port(), secrets.token_hex(16)
        places = {"JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "run"}
        environment = {**os.environ, **{name: str(home / place) for name, place in places.items()}}
        environment |= {"PYTHONPATH": str(ROOT), "HOME": scratch}
        command = [sys.executable, "-m", "jupyterlab", str(folder), f"--port={port}", *QUIET]
        command += [f"--IdentityProvider.token={token}", f"--LabApp.workspaces_dir={home / 'spaces'}"]
        command += [f"--LabApp.user_settings_dir={home / 'settings'}"]
        server = subprocess.Popen(command, env=environment, stdout=log, stderr=log)
        stack.callback(server.wait)
        stack.callback(server.terminate)
        _wait(server, f"http://127.0.0.1:{port}/api", home / "log")
        yield Lab(f"http://127.0.0.1:{port}", token, folder)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def _wait(server: subprocess.Popen, address: str, log: Path) -> None:
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end:
        if server.poll() is not None:
            break
        with contextlib.suppress(urllib.error.URLError, ConnectionError):
            urllib.request.urlopen(address, timeout=5).read()
            return
        time.sleep(0.1)
    raise RuntimeError("JupyterLab did not start:\n" + log.read_text("utf-8"))


@contextlib.contextmanager
def browser() -> Iterator[BrowserContext]:
    """One browser for all notebooks: JupyterLab is fetched and compiled once."""
    with sync_playwright() as player:
        launched = player.chromium.launch(executable_path=chromium())
        yield launched.new_context(viewport=TABLET)
        launched.close()


@contextlib.contextmanager
def opened(context: BrowserContext, address: str) -> Iterator[Watched]:
    """One notebook in a page of its own, its complaints collected."""
    page = context.new_page()
    watched = Watched(page)
    page.on("pageerror", lambda error: watched.errors.append(f"page error: {error}"))
    page.on(
        "console",
        lambda said: (
            watched.errors.append(f"{said.text} ({said.location.get('url')})")
            if said.type == "error"
            else None
        ),
    )
    page.goto(address)
    page.wait_for_selector(".jp-Notebook .jp-Cell")
    yield watched
    page.close()


def run_all(page: Page, controls: str = ".noUi-handle") -> None:
    """Run every cell by the menu, as a reader would, and wait for the controls."""
    # Before the kernel has connected, the command would ask which kernel to take.
    page.get_by_text("| Idle").wait_for(timeout=60_000)
    page.click(".lm-MenuBar-itemLabel:text-is('Run')")
    page.click(".lm-Menu-itemLabel:text-is('Run All Cells')")
    page.wait_for_selector(controls, state="attached", timeout=60_000)
