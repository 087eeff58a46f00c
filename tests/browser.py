"""A page in headless Chromium, driven over the DevTools protocol's pipe: no driver to install.

Chromium reads commands from file descriptor 3 and writes answers and events to 4, each a JSON
text ended by a zero byte (``--remote-debugging-pipe``; Chrome DevTools Protocol 1.3).
"""

import json
import os
import select
import signal
import time
from fcntl import F_DUPFD, fcntl
from pathlib import Path

from outside import chromium

PATIENCE_S = 60.0
# Descriptors are moved out of the way of 3 and 4 first.
_FIRST_FREE = 10


class Browser:
    """One tab.

    Parameters
    ----------
    folder : Path
        For the browser's own files.
    width, height : int
        Of the window, in CSS pixels.
    """

    def __init__(self, folder: Path, width: int = 1280, height: int = 900) -> None:
        commands, self._out = os.pipe()
        self._in, answers = os.pipe()
        ends = [fcntl(end, F_DUPFD, _FIRST_FREE) for end in (commands, answers)]
        command = [
            *chromium(folder, width, height),
            "--remote-debugging-pipe",
            "about:blank",
        ]
        dup2, null = os.POSIX_SPAWN_DUP2, os.open(os.devnull, os.O_RDWR)
        wiring = [(dup2, ends[0], 3), (dup2, ends[1], 4), (dup2, null, 1), (dup2, null, 2)]
        self._process = os.posix_spawn(command[0], command, os.environ, file_actions=wiring)
        for end in (commands, answers, *ends, null):
            os.close(end)
        self._unread, self._number, self.events = b"", 0, []
        self._session = None
        targets = self.ask("Target.getTargets")["targetInfos"]
        page = next(t["targetId"] for t in targets if t["type"] == "page")
        self._session = self.ask("Target.attachToTarget", targetId=page, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network", "Accessibility"):
            self.ask(f"{domain}.enable")

    def close(self) -> None:
        """End the browser."""
        os.kill(self._process, signal.SIGTERM)
        os.waitpid(self._process, 0)
        os.close(self._in)
        os.close(self._out)

    def ask(self, method: str, **params) -> dict:
        """The answer to one command; events that come before it are kept."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": params}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + PATIENCE_S
        while True:
            answer = self._message(until)
            if answer.get("id") == self._number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")  # noqa: EM102
                return answer["result"]
            self.events.append(answer)

    def _message(self, until: float) -> dict:
        """The next message from the browser."""
        while b"\0" not in self._unread:
            ready, _, _ = select.select([self._in], [], [], max(0.0, until - time.monotonic()))
            chunk = os.read(self._in, 1 << 20) if ready else b""
            if not chunk:
                msg = "the browser fell silent"
                raise TimeoutError(msg)
            self._unread += chunk
        text, self._unread = self._unread.split(b"\0", 1)
        return json.loads(text)

    def open(self, url: str) -> None:
        """Load a page, and wait for it."""
        self.events.clear()
        self.ask("Page.navigate", url=url)
        until = time.monotonic() + PATIENCE_S
        while not any(e.get("method") == "Page.loadEventFired" for e in self.events):
            self.events.append(self._message(until))
        self.settle()

    def settle(self) -> None:
        """Wait until the page has drawn twice."""
        self.run("new Promise(ok => requestAnimationFrame(() => requestAnimationFrame(ok)))")

    def run(self, script: str):
        """Value of an expression in the page; a promise is waited for."""
        done = self.ask(
            "Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True
        )
        if "exceptionDetails" in done:
            raise RuntimeError(done["exceptionDetails"])
        return done["result"].get("value")

    def press(self, key: str, shift: bool = False) -> None:
        """Press a key where the focus is."""
        text = {"text": key} if len(key) == 1 else {}
        for kind in ("keyDown", "keyUp"):
            self.ask("Input.dispatchKeyEvent", type=kind, key=key, modifiers=8 * shift, **text)
            text = {}
        self.settle()

    def click(self, x: float, y: float) -> None:
        """Press and let go at a place of the window."""
        for kind in ("mousePressed", "mouseReleased"):
            self.ask("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)
        self.settle()

    def complaints(self) -> list[str]:
        """Errors and warnings on the console so far, and exceptions nobody caught."""
        self.settle()
        said = []
        for event in self.events:
            params = event.get("params", {})
            if event.get("method") == "Runtime.exceptionThrown":
                said.append(json.dumps(params["exceptionDetails"]))
            if event.get("method") == "Runtime.consoleAPICalled" and params["type"] != "log":
                said.append(json.dumps(params["args"]))
            if event.get("method") == "Log.entryAdded":
                said.append(params["entry"]["text"])
        return said

    def requests(self) -> list[str]:
        """Addresses that the page asked for."""
        sent = [e for e in self.events if e.get("method") == "Network.requestWillBeSent"]
        return [e["params"]["request"]["url"] for e in sent]
