"""A headless Chromium through its driver, and a running desk: what check-desk drives. W3C WebDriver over HTTP."""

import atexit
import base64
import json
import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import time
import urllib.error
import urllib.request

ELEMENT = "element-6066-11e4-a52e-4f735466cecf"


class Desk:
    """The program's desk on a free port."""

    def __init__(self, *arguments):
        program = os.environ.get("MASTSIDE", "target/debug/mastside")
        self.child = subprocess.Popen(
            [program, "desk", "--port", "0", *arguments], stdout=subprocess.PIPE, text=True
        )
        self.address = self.child.stdout.readline().strip()
        self.own = re.match(r"http://[^/]+", self.address).group(0)

    def end(self):
        self.child.kill()
        self.child.wait()


class Browser:
    """One session."""

    def __init__(self, width=1280, height=900, code=True, dark=False, log=False):
        # A check that breaks off leaves nothing behind.
        atexit.register(self.end)
        self.folder = tempfile.mkdtemp(prefix="desk-")
        self.driver = subprocess.Popen(
            ["chromedriver", "--port=0"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        for line in self.driver.stdout:
            found = re.search(r"on port (\d+)", line)
            if found and "success" in line:
                self.base = f"http://127.0.0.1:{found.group(1)}"
                break
        arguments = ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"]
        arguments += [f"--user-data-dir={self.folder}", f"--window-size={width},{height}"]
        arguments += ["--blink-settings=preferredColorScheme=0"] if dark else []
        preferences = {"download.default_directory": self.folder + "/saved"}
        if not code:
            preferences["profile.managed_default_content_settings.javascript"] = 2
        options = {"args": arguments, "prefs": preferences}
        capabilities = {
            "goog:chromeOptions": options,
            "goog:loggingPrefs": {"performance": "ALL", "browser": "ALL"} if log else {},
            "unhandledPromptBehavior": "ignore",
        }
        answer = self.ask("POST", "/session", {"capabilities": {"alwaysMatch": capabilities}}, root=True)
        self.session = answer["sessionId"]
        # A narrow window has a least width; the emulated screen has none.
        self.cdp("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        if dark:
            self.cdp("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark"}])

    def ask(self, method, path, body=None, root=False):
        address = self.base + ("" if root else f"/session/{self.session}") + path
        data = None if method == "GET" else json.dumps(body or {}).encode()
        request = urllib.request.Request(address, data, {"Content-Type": "application/json"}, method=method)
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            raise RuntimeError(json.load(error)["value"]["message"].split("\n")[0]) from None

    def cdp(self, command, **parameters):
        return self.ask("POST", "/goog/cdp/execute", {"cmd": command, "params": parameters})

    def open(self, address):
        self.ask("POST", "/url", {"url": address})

    def address(self):
        return self.ask("GET", "/url")

    def run(self, script, *arguments):
        return self.ask("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def run_later(self, script, *arguments):
        return self.ask("POST", "/execute/async", {"script": script, "args": list(arguments)})

    def find(self, selector):
        """An element; a page that is on its way is waited for."""
        self.until(selector, "return document.querySelector(arguments[0]) !== null", selector)
        return self.ask("POST", "/element", {"using": "css selector", "value": selector})

    def all(self, selector):
        return self.ask("POST", "/elements", {"using": "css selector", "value": selector})

    def click(self, selector):
        self.ask("POST", f"/element/{self.find(selector)[ELEMENT]}/click")

    def type(self, selector, text):
        self.ask("POST", f"/element/{self.find(selector)[ELEMENT]}/value", {"text": text})

    def text(self, selector):
        """The text of an element; a page that is on its way is waited for."""
        for _ in range(50):
            try:
                return self.ask("GET", f"/element/{self.find(selector)[ELEMENT]}/text")
            except RuntimeError:
                time.sleep(0.1)
        raise AssertionError(f"there is no {selector}")

    def keys(self, *keys):
        """Presses keys one after the other, wherever the focus is; a tuple is pressed together."""
        actions = []
        for key in keys:
            together = key if isinstance(key, tuple) else (key,)
            actions += [{"type": "keyDown", "value": k} for k in together]
            actions += [{"type": "keyUp", "value": k} for k in reversed(together)]
        self.ask("POST", "/actions", {"actions": [{"type": "key", "id": "keys", "actions": actions}]})

    def until(self, what, script, *arguments):
        """Waits until a script gives something true."""
        for _ in range(100):
            if found := self.run(script, *arguments):
                return found
            time.sleep(0.1)
        raise AssertionError(f"waited in vain for {what}")

    def picture(self, path, whole=True):
        if whole:
            size = self.cdp("Page.getLayoutMetrics")["cssContentSize"]
            clip = {"x": 0, "y": 0, "width": size["width"], "height": min(size["height"], 6000), "scale": 1}
            data = self.cdp("Page.captureScreenshot", captureBeyondViewport=True, clip=clip)["data"]
        else:
            data = self.ask("GET", "/screenshot")
        pathlib.Path(path).write_bytes(base64.b64decode(data))

    def pdf(self, width, height):
        """The page as printed, centimetres."""
        page = {"page": {"width": width, "height": height}, "shrinkToFit": False, "background": True}
        return base64.b64decode(self.ask("POST", "/print", page))

    def log(self, kind):
        return self.ask("POST", "/se/log", {"type": kind})

    def end(self):
        atexit.unregister(self.end)
        try:
            self.ask("DELETE", "")
        except (RuntimeError, OSError, AttributeError):
            pass
        self.driver.kill()
        self.driver.wait()
        shutil.rmtree(self.folder, ignore_errors=True)
