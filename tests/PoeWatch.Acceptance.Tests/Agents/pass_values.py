"""Answers Net-SNMP's pass_persist (snmpd.conf(5)) from a file of 'OID|type|value' lines, read again when it changed."""
import os
import sys


def arcs(oid):
    return tuple(int(arc) for arc in oid.strip(".").split("."))


class Values:
    def __init__(self, path):
        self.path, self.seen, self.rows = path, None, []

    def newest(self):
        stat = os.stat(self.path)
        mark = (stat.st_ino, stat.st_mtime_ns)
        if mark != self.seen:
            with open(self.path) as lines:
                rows = [line.rstrip("\n").split("|", 2) for line in lines if line.strip()]
            self.rows = sorted((arcs(oid), kind, value) for oid, kind, value in rows)
            self.seen = mark
        return self.rows


def answer(values, command, wanted):
    if command == "get":
        found = [row for row in values.newest() if row[0] == wanted]
    elif command == "getnext":
        found = [row for row in values.newest() if row[0] > wanted]
    else:
        found = []
    if not found:
        return "NONE"
    oid, kind, value = found[0]
    return ".%s\n%s\n%s" % (".".join(map(str, oid)), kind, value)


def main():
    values = Values(sys.argv[1])
    for line in iter(sys.stdin.readline, ""):
        command = line.strip()
        reply = "PONG" if command == "PING" else answer(values, command, arcs(sys.stdin.readline()))
        print(reply, flush=True)


main()
