"""Chromium without a window, driven through a pipe (the DevTools protocol): no driver, no library."""

import fcntl
import json
import os
import select
import subprocess
import time


class Chromium:
    """A browser with one page, and all that the page asked for and complained of: `requests`, `errors`."""

    def __init__(self, program, folder):
        to_read, self._write = (_high(end) for end in os.pipe())
        self._read, to_write = (_high(end) for end in os.pipe())
        options = ["--headless=new", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe", f"--user-data-dir={folder}"]
        self._process = subprocess.Popen(
            [program, *options, "about:blank"],
            stderr=subprocess.DEVNULL,
            close_fds=False,
            preexec_fn=lambda: (os.dup2(to_read, 3), os.dup2(to_write, 4)),  # the two that Chromium knows
        )
        os.close(to_read), os.close(to_write)
        self._rest, self._number, self._session = b"", 0, None
        self.requests, self.errors = [], []
        target = self("Target.createTarget", url="about:blank")["targetId"]
        self._session = self("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log", "DOM", "Accessibility"):
            self(f"{domain}.enable")

    def close(self):
        self._session = None
        self("Browser.close")
        self._process.wait(timeout=30)
        os.close(self._read), os.close(self._write)

    def __call__(self, method, **given):
        """A command, and its answer."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": given}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]

    def _next(self):
        while b"\0" not in self._rest:
            if not select.select([self._read], [], [], 300)[0]:
                raise TimeoutError("Chromium says nothing")
            more = os.read(self._read, 1 << 20)
            if not more:
                raise EOFError("Chromium has ended")
            self._rest += more
        one, _, self._rest = self._rest.partition(b"\0")
        message = json.loads(one)
        method, told = message.get("method"), message.get("params", {})
        if method == "Network.requestWillBeSent":
            self.requests.append(told["request"]["url"])
        elif method == "Runtime.exceptionThrown":
            self.errors.append(told["exceptionDetails"]["exception"].get("description", told))
        elif method == "Log.entryAdded":
            self.errors.append(told["entry"]["text"])
        return message

    def run(self, script):
        """What a script gives, awaited where it is a promise."""
        answer = self("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True, userGesture=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"]["exception"].get("description"))
        return answer["result"].get("value")

    def until(self, script):
        """Waits until a script gives something true, and gives that."""
        for _ in range(600):
            value = self.run(script)
            if value:
                return value
            time.sleep(0.05)
        raise TimeoutError(script)

    def press(self, key, text=None):
        """A key, as it is typed."""
        code = {"Tab": 9, "Enter": 13, " ": 32}.get(key, 0)
        given = {"key": key, "windowsVirtualKeyCode": code, **({"text": text} if text else {})}
        self("Input.dispatchKeyEvent", type="keyDown", **given)
        self("Input.dispatchKeyEvent", type="keyUp", key=key, windowsVirtualKeyCode=code)


def _high(end):
    """The same end of a pipe by a number that is not one of those that Chromium reads."""
    out = fcntl.fcntl(end, fcntl.F_DUPFD_CLOEXEC, 10)
    os.close(end)
    return out
