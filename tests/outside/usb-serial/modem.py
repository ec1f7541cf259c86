"""A scripted modem behind the emulated USB serial port, and the emulator's monitor that pulls it out and plugs it in."""
import json, re, socket, threading, time


class Modem:
    """Contexts and the functionality level are stored; the forms of errors and reports go with the power."""

    NAME = "gauge.example"

    def __init__(self, path):
        self.contexts = {1: '"IPV4V6","gauge.exmaple"'}
        self.functionality = 1
        self.commands = []
        self.unanswered = None
        self.power_on()
        self.line = socket.socket(socket.AF_UNIX)
        self.line.connect(path)
        threading.Thread(target=self.serve, daemon=True).start()

    def power_on(self):
        self.errors = self.reports = 0
        self.waiting = b""

    def silent_at(self, command, action):
        """The next command of this beginning is taken and stays without an answer; the action follows."""
        self.unanswered = (command, action)

    def serve(self):
        while came := self.line.recv(4096):
            self.waiting += came
            while b"\r" in self.waiting:
                command, self.waiting = self.waiting.split(b"\r", 1)
                command = command.decode("ascii", "replace").strip()
                self.commands.append(command)
                lines = self.answer(command)
                if self.unanswered and command.startswith(self.unanswered[0]):
                    action, self.unanswered = self.unanswered[1], None
                    threading.Thread(target=action, daemon=True).start()
                    continue
                self.line.sendall("".join(f"\r\n{line}\r\n" for line in lines).encode())

    def answer(self, command):
        served = self.functionality == 1 and self.NAME in self.contexts.get(1, "")
        state = 1 if served else 3 if self.functionality == 1 else 0
        fixed = {
            "AT": [], "AT+CPIN?": ["+CPIN: READY"], "AT+CSQ": ["+CSQ: 21,99"], "AT+CIMI": ["001010000012345"],
            "AT+CESQ": ["+CESQ: 99,99,255,255,20,47"], "ATI": ["Gauge Works", "GW-40", "Revision: GW40.1.7"],
            "AT+CGMM": ["GW-40"], "AT+CGMR": ["GW40.1.7"], "AT+CGSN": ["004999010640000"],
            "AT+CCID": ["+CCID: 8988000000000000016"], "AT+CGREG?": [f"+CGREG: 0,{state}"],
            "AT+CREG?": [f"+CREG: 0,{state}"], "AT+CFUN?": [f"+CFUN: {self.functionality}"],
            "AT+COPS?": ['+COPS: 0,2,"00101",7'] if served else ["+COPS: 0"], "AT+CMEE?": [f"+CMEE: {self.errors}"],
            "AT+CGATT?": [f"+CGATT: {int(served)}"], "AT+CGACT?": [f"+CGACT: 1,{int(served)}"],
            "AT+CGDCONT?": [f'+CGDCONT: {n},{text},"",0,0' for n, text in sorted(self.contexts.items())],
            "AT+CGPADDR": ['+CGPADDR: 1,"192.0.2.44"'] if served else [], "AT+CEER": ["+CEER: ESM cause 27"],
        }
        if command in fixed:
            return fixed[command] + ["OK"]
        if command == "AT+CEREG?":
            cause = ',"0A11","0003A2B1",7,0,19' if self.reports == 3 and state == 3 else ""
            return [f"+CEREG: {self.reports},{state}{cause}", "OK"]
        for name, pattern in (("errors", r"AT\+CMEE=(\d)"), ("reports", r"AT\+CEREG=(\d)"), ("functionality", r"AT\+CFUN=(\d)")):
            if found := re.fullmatch(pattern, command):
                setattr(self, name, int(found[1]))
                return ["OK"]
        if found := re.fullmatch(r'AT\+CGDCONT=(\d+),("[A-Z0-9]+","[^"]*")', command):
            self.contexts[int(found[1])] = found[2]
            return ["OK"]
        return ["+CME ERROR: 4" if self.errors else "ERROR"]


class Monitor:
    """The emulator's monitor: one JSON object a line."""

    def __init__(self, path):
        link = socket.socket(socket.AF_UNIX)
        link.connect(path)
        self.lines = link.makefile("rw")
        self.lines.readline()
        self.lock = threading.Lock()
        self.order("qmp_capabilities")

    def order(self, command, **arguments):
        with self.lock:
            self.lines.write(json.dumps({"execute": command, "arguments": arguments}) + "\n")
            self.lines.flush()
            while "event" in (reply := json.loads(self.lines.readline())):
                pass
            if "error" in reply:
                print("monitor:", command, reply["error"]["desc"], flush=True)


class Socket:
    """The USB sockets of the guest."""

    def __init__(self, monitor, modem):
        self.monitor, self.modem = monitor, modem

    def plug(self, port="1"):
        self.modem.power_on()
        # Its serial number is its own: without one the socket would make it another device.
        self.monitor.order("device_add", driver="usb-serial", id="modem", chardev="line", serial="GW40-1", port=port)

    def pull(self):
        self.monitor.order("device_del", id="modem")

    def other(self):
        self.monitor.order("device_add", **{"driver": "usb-serial", "id": "other", "chardev": "nothing",
                                            "serial": "NOT-IT", "port": "2", "always-plugged": True})

    def pull_other(self):
        self.monitor.order("device_del", id="other")


def in_turn(*steps):
    """An action: each step after so many seconds."""
    def go():
        for seconds, step in steps:
            time.sleep(seconds)
            step()
    return go
