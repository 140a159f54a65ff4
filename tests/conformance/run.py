"""Hold an implementation against the conformance set. README.md beside this says what the set is, and how its files are written.

python tests/conformance/run.py                             the Python package
python tests/conformance/run.py --by c                      the C interface: liboffnominal_c.so beside the package
python tests/conformance/run.py --by "./mine --fast"        any command: a question a line on its input, an answer a line on its output
... --within 1e-9                                           for implementations that promise less than the same bits
... tests/conformance/expect_demo.json                      some of the files
"""

import argparse
import hashlib
import json
import shlex
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
SCHEMA = HERE / "schema.json"
FILES = sorted({*HERE.glob("*.json")} - {SCHEMA})
FORMAT = "conformance/1"
SHOWN = 20  # differences that are told one by one


class Set:
    """One file of the set."""

    def __init__(self, path):
        self.path = Path(path)
        self.data = json.loads(self.path.read_text(encoding="utf-8"))
        form = self.data.get("offnominal") if isinstance(self.data, dict) else None
        if form != FORMAT:
            raise SystemExit(f"{path}: offnominal: {form!r}; accepted: {FORMAT!r} (a newer set needs the runner beside it)")
        self.told = self.data["told"]
        self.systems = {}
        for name, system in self.data["systems"].items():
            file = self.path.parent / system["file"]
            if sha256(file) != system["sha256"]:
                raise SystemExit(f"{path}: {file}: not the file that its answers were made of; make.py makes them again")
            self.systems[name] = str(file.resolve())

    def questions(self):
        """Every question with its answer: (where, question, answer)."""
        for group in self.data["groups"]:
            columns, answers = group["questions"], group["answers"]
            for row in range(group["rows"]):
                question = {"ask": group["ask"]}
                if "system" in group:
                    question["system"] = self.systems[group["system"]]
                question.update(json.loads(json.dumps(group["same"])))  # a copy, which the columns may enter
                for name, column in columns.items():
                    put(question, name, of_row(column, row))
                told = {name: of_row(column, row) for name, column in answers.items()}
                where = f"{self.path.name}: {group['name']}, row {row}"
                yield where, question, {name: value for name, value in told.items() if value is not None}


def sha256(file):
    return hashlib.sha256(Path(file).read_bytes()).hexdigest()


def of_row(column, row):
    """A column is a list, or what all rows have."""
    return column[row] if isinstance(column, list) else column


def put(question, name, value):
    """`line_set.length` is the length in the line set; null is not given."""
    *into, name = name.split(".")
    for part in into:
        question = question[part]
    if value is not None:
        question[name] = value


def differences(told, answer, given, within=0.0):
    """What an implementation told otherwise: (name, the set's, its own). `told` says how closely each name is promised."""
    for name, closely in told.items():
        here, there = answer.get(name), given.get(name)
        if not same(here, there, closely, within):
            yield name, here, there


def same(here, there, closely, within):
    if not isinstance(here, float) or not isinstance(there, (int, float)):
        return here == there
    relative = max(within, 0.0 if closely == "bits" else float(closely))
    return abs(here - there) <= relative * max(abs(here), 0.0 if closely == "bits" else 1.0)


def command(line):
    """An implementation that is a command. All questions are sent before the first answer is waited for."""

    def answer(questions):
        text = "".join(json.dumps(question) + "\n" for question in questions)
        done = subprocess.run(shlex.split(line), input=text, stdout=subprocess.PIPE, text=True, encoding="utf-8")
        answers = done.stdout.splitlines()
        if len(answers) != len(questions):
            raise SystemExit(f"{line}: {len(answers)} answers to {len(questions)} questions; exit status {done.returncode}")
        return [json.loads(one) for one in answers]

    return answer


def implementation(name):
    """What answers a list of questions."""
    if name not in ("python", "c"):
        return command(name)
    import ours

    one = ours.Python() if name == "python" else ours.C()
    return lambda questions: list(map(one, questions))


def main(arguments=None):
    parser = argparse.ArgumentParser(description="Hold an implementation against the conformance set.")
    parser.add_argument("--by", default="python", help="python (if left out), c, or a command")
    parser.add_argument("--within", type=float, default=0.0, help="relative tolerance of every number; 0: what the set says")
    parser.add_argument("files", nargs="*", type=Path, help="files of the set; all of them if left out")
    parsed = parser.parse_args(arguments)
    sets = [Set(path) for path in parsed.files or FILES]
    answer = implementation(parsed.by)
    asked = wrong = numbers = 0
    left_out = {}
    for one in sets:
        rows = list(one.questions())
        for (where, question, right), given in zip(rows, answer([question for _, question, _ in rows])):
            if given is None:
                left_out[question["ask"]] = left_out.get(question["ask"], 0) + 1
                continue
            asked += 1
            told = one.told[question["ask"]]
            numbers += sum(isinstance(value, float) for value in right.values())
            found = list(differences(told, right, given, parsed.within))
            wrong += bool(found)
            if found and wrong <= SHOWN:
                print(f"{where}:", "; ".join(f"{name} is {here!r}, not {there!r}" for name, here, there in found))
    print(
        f"{asked} questions, {numbers} numbers: {wrong} answered otherwise"
        if wrong
        else f"{asked} questions, {numbers} numbers: the same"
    )
    for ask, count in left_out.items():
        print(f"not asked: {count} of {ask}")
    return 1 if wrong or not asked else 0


if __name__ == "__main__":
    sys.exit(main())
