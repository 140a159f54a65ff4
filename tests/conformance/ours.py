"""Our own implementations, as the runner asks them: a question in, an answer out, both plain dicts. None: it cannot be asked that."""

import ctypes
import json
import math
import re
import sys
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(CHECKOUT / "tests/support"))

import c_interface  # noqa: E402

# What a note is called, by what it says: Python tells the sentence alone.
_NOTES = {
    text: word.lower()
    for word, text in re.findall(
        r"OFFNOMINAL_NOTE_(\w+) = \d+, /\*\*< (.*?) \*/", (c_interface.INCLUDE / "quantities.h").read_text(encoding="utf-8")
    )
}


def _plain(told, notes):
    """An answer without what is none of it: no number, no bound, no reason."""
    told["notes"] = ", ".join(notes)
    return {name: value for name, value in told.items() if value not in (None, "none", "nothing") and not _unbounded(value)}


def _unbounded(value):
    return isinstance(value, float) and not math.isfinite(value)


class Python:
    """The package that is imported."""

    def __init__(self):
        import offnominal

        self._on, self._systems = offnominal, {}

    def _system(self, path):
        if path not in self._systems:
            self._systems[path] = self._on.load(path)
        return self._systems[path]

    def __call__(self, question):
        on, arguments = self._on, dict(question)
        ask, system = arguments.pop("ask"), arguments.pop("system", None)
        try:
            if ask == "expect":
                told = self._system(system).expect(**arguments).to_dict()
            elif ask == "deliver":
                told = on.deliver(**arguments).to_dict()
            elif ask == "air":
                told = on.air.state(**arguments).to_dict()
                told["notes"] = []
            else:
                told = self._system(system).prove(arguments["visit"], units=arguments["units"]).to_dict()
        except on.Refused as refused:
            told = {"reason": refused.why, "about": refused.subject, "notes": []}
            told.update(value=refused.value, lower=refused.lower, upper=refused.upper)
        return _plain(told, [_NOTES[note] for note in told["notes"]])


class C:
    """The C interface, by ctypes. It has no moist air."""

    def __init__(self):
        import offnominal

        self._c = c = ctypes.CDLL(str(Path(offnominal.__file__).parents[2] / "src/liboffnominal_c.so"))
        c.offnominal_word.restype = ctypes.c_char_p
        c.offnominal_text_free.argtypes = [ctypes.c_void_p]
        self._systems = {}
        self._enumerations = {}
        for name, words in c_interface.ENUMERATIONS.items():
            number = c_interface.ENUMERATORS.get(name.upper().replace("OFFNOMINAL_", "OFFNOMINAL_ENUMERATION_"))
            if number is not None:
                self._enumerations[name[len("offnominal_") :]] = {
                    c.offnominal_word(number, value).decode(): value for value in words.values()
                }

    def _number(self, enumeration, word):
        return self._enumerations[enumeration][word]

    def _word(self, enumeration, number):
        return next(word for word, value in self._enumerations[enumeration].items() if value == number)

    def _made(self, function, *arguments):
        handle, error = ctypes.c_void_p(), c_interface.sized("error")
        if function(*arguments, ctypes.byref(handle), ctypes.byref(error)) != 0:
            raise ValueError(error.message.decode())
        return handle

    def _system(self, path):
        if path not in self._systems:
            self._systems[path] = self._made(self._c.offnominal_system_load, path.encode())
        return self._systems[path]

    def __call__(self, question):
        arguments = dict(question)
        ask, system = arguments.pop("ask"), arguments.pop("system", None)
        units = self._number("units", arguments.pop("units"))
        if ask == "air":
            return None
        if ask == "prove":
            return self._prove(self._system(system), units, arguments["visit"])
        asked, answer = ("conditions", "expected") if ask == "expect" else ("readings", "delivered")
        struct = c_interface.STRUCTS["offnominal_" + asked]()
        init = getattr(self._c, f"offnominal_{asked}_init")
        init(ctypes.byref(struct), ctypes.c_size_t(ctypes.sizeof(struct)))
        self._fill(struct, arguments)
        out, error = c_interface.sized(answer), c_interface.sized("error")
        handles = (self._system(system),) if ask == "expect" else ()
        function = getattr(self._c, "offnominal_" + ask)
        if function(*handles, units, *map(ctypes.byref, (struct, out, error))) > 1:
            raise ValueError(error.message.decode())
        return self._told(out)

    def _fill(self, struct, arguments):
        line = arguments.pop("line_set", None)
        if line == "reference":
            struct.line_set = self._number("line_set", "reference")
        elif line is not None:
            line = dict(line)
            struct.line_set = self._number("line_set", "modelled" if line.pop("beyond", "") == "model" else "given")
            if "tubing" in line:
                line["length"], fittings = line.pop("tubing"), line.pop("fittings", "unknown")
                struct.fittings_are = 2 if fittings == "unknown" else 1
                for name, count in fittings.items() if fittings != "unknown" else ():
                    struct.fittings[self._number("fitting", name)] = count
            arguments.update(line)
        outside = arguments.get("outside")
        for axis, (_, far) in outside.items() if isinstance(outside, dict) else ():
            setattr(struct, f"hold_{axis}", far)
            arguments["outside"] = "refuse"
        for name, value in arguments.items():
            if name in ("airflow_basis", "airflow_at"):
                struct.airflow_is = self._number("airflow", value if name == "airflow_basis" else "actual")
                struct.airflow_at = self._number("place", value) if name == "airflow_at" else -1
            elif name in ("stage", "match"):
                setattr(struct, name, value.encode())
            elif isinstance(value, str):
                setattr(struct, name, self._number(name, value))
            else:
                setattr(struct, name, value)

    def _told(self, out):
        told = {name: getattr(out, name) for name, kind in out._fields_ if kind is ctypes.c_double}
        told.update(reason=self._word("why", out.reason.why), about=self._word("about", out.reason.about))
        if out.reason.why:
            told.update(value=out.reason.value, lower=out.reason.lower, upper=out.reason.upper)
        elif hasattr(out, "footing"):
            words = [word for word, bit in self._enumerations["footing"].items() if out.footing & bit]
            told["footing"] = ", ".join(words) or self._word("footing", 0)
        notes = [word for word, k in self._enumerations["note"].items() if out.notes[k // 64] >> k % 64 & 1]
        return _plain(told, notes)

    def _prove(self, system, units, visit):
        text = json.dumps(visit).encode()
        visit = self._made(self._c.offnominal_visit_parse, text, ctypes.c_size_t(len(text)), b"visit")
        proof = self._made(self._c.offnominal_prove, system, visit)
        out = c_interface.sized("verdict")
        if self._c.offnominal_proof_verdict(proof, units, ctypes.byref(out), None) != 0:
            raise ValueError("no verdict")
        told = self._told(out)
        told.update(outcome=self._word("outcome", out.outcome), other_outcome=self._word("outcome", out.other_outcome))
        told.update(suspect=self._word("about", out.suspect), method=self._word("method", out.method))
        told = {name: value for name, value in told.items() if value != "nothing"}
        self._c.offnominal_visit_free(visit)
        self._c.offnominal_proof_free(proof)
        return told


if __name__ == "__main__":  # as a command, for an example: a question a line, an answer a line
    _one = Python()
    for _line in sys.stdin:
        print(json.dumps(_one(json.loads(_line))))
