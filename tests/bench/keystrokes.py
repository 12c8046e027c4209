"""How long an editor waits, whole servers over pipes: keystrokes in a file of 2,000 lines, drawn by lot, each followed by what an
editor asks. Prints lines of "WORD MILLISECONDS", the 99th percentile (of answers to questions that wait for nothing else), to be read
by bench.sh. Usage: keystrokes.py waterleaf|clangd COMMAND FILE WORD STROKES

What is told for each: `hover` and `completion`, asked right behind a keystroke, so that the file must be read anew for the answer: that is names
and kinds for us, the syntax and types for a C server; `again`, a hover where nothing changed; `told`, from a keystroke to what is wrong
in all of the file, where the server lets itself be asked for it or, for clangd, when it tells of itself (it waits a while before; its own wish)."""

import json
import random
import subprocess
import sys
import time


class Server:
    def __init__(self, command):
        self.process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
        self.number = 0
        self.notices = []

    def send(self, method, params, question):
        message = {"jsonrpc": "2.0", "method": method, "params": params}
        if question:
            self.number += 1
            message["id"] = self.number
        body = json.dumps(message).encode()
        self.process.stdin.write(b"Content-Length: %d\r\n\r\n" % len(body) + body)
        self.process.stdin.flush()
        return self.number

    def take(self):
        length = None
        while True:
            line = self.process.stdout.readline()
            if not line:
                raise SystemExit("the server is gone")
            if line in (b"\r\n", b"\n"):
                break
            if line.lower().startswith(b"content-length:"):
                length = int(line.split(b":")[1])
        return json.loads(self.process.stdout.read(length))

    def ask(self, method, params):
        number = self.send(method, params, True)
        while True:
            message = self.take()
            if message.get("id") == number and "method" not in message:
                if "error" in message:
                    raise SystemExit("%s: %s" % (method, message["error"]))
                return message.get("result")
            self.notices.append(message)

    def wait_for_version(self, version):
        while True:
            for message in self.notices:
                if message.get("method") == "textDocument/publishDiagnostics" and message["params"].get("version", -1) >= version:
                    self.notices = []
                    return message["params"]["diagnostics"]
            self.notices = [self.take()]


def main():
    which, command, path, word, strokes = sys.argv[1], sys.argv[2].split(), sys.argv[3], sys.argv[4], int(sys.argv[5])
    text = open(path).read()
    uri = "file://" + path
    server = Server(command)
    server.ask("initialize", {"processId": None, "rootUri": None, "capabilities": {"textDocument": {"publishDiagnostics": {"versionSupport": True}}}})
    server.send("initialized", {}, False)
    server.send("textDocument/didOpen", {"textDocument": {"uri": uri, "languageId": which, "version": 0, "text": text}}, False)
    lines = text.split("\n")
    places = [(i, line.index(word)) for i, line in enumerate(lines) if word in line]
    dice = random.Random(2026)
    document = {"uri": uri}
    took = {"hover": [], "completion": [], "again": [], "told": []}
    server.ask("textDocument/hover", {"textDocument": document, "position": {"line": places[0][0], "character": places[0][1]}})
    version = 0
    asked = 0
    for stroke in range(strokes):
        line, column = dice.choice(places)
        end = len(lines[line])
        there = {"start": {"line": line, "character": end}, "end": {"line": line, "character": end}}
        typed = {"start": {"line": line, "character": end}, "end": {"line": line, "character": end + 1}}
        position = {"line": line, "character": column + 1}
        for change, kind in (({"range": there, "text": " "}, "hover"), ({"range": typed, "text": ""}, "completion")):
            version += 1
            begun = time.perf_counter()
            server.send("textDocument/didChange", {"textDocument": {"uri": uri, "version": version}, "contentChanges": [change]}, False)
            answer = server.ask("textDocument/" + kind, {"textDocument": document, "position": position})
            took[kind].append(time.perf_counter() - begun)
            asked += answer is not None
        begun = time.perf_counter()
        server.ask("textDocument/hover", {"textDocument": document, "position": position})
        took["again"].append(time.perf_counter() - begun)
        if stroke % 10 == 0:
            version += 1
            begun = time.perf_counter()
            server.send("textDocument/didChange", {"textDocument": {"uri": uri, "version": version}, "contentChanges": [{"range": there, "text": " "}]}, False)
            if which == "waterleaf":
                server.ask("textDocument/diagnostic", {"textDocument": document})
            else:
                server.wait_for_version(version)
            took["told"].append(time.perf_counter() - begun)
            version += 1
            server.send("textDocument/didChange", {"textDocument": {"uri": uri, "version": version}, "contentChanges": [{"range": typed, "text": ""}]}, False)
    if asked < strokes:
        raise SystemExit("%s answered %d of %d questions" % (which, asked, 2 * strokes))
    for kind, times in took.items():
        times.sort()
        print(kind, "%.3f" % (1000 * times[min(len(times) - 1, int(0.99 * len(times)))]))
    server.ask("shutdown", None)
    server.send("exit", None, False)
    server.process.wait()


main()
