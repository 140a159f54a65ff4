"""Find the typo: a page typed by hand, in which 33.5 became 35.3. The audit needs no second copy of the page to see it.

Alder is an invented machine, and so is the slip.

It prints:

    high: line 41: total 35.3, at odb 85 degF, airflow 1000 scfm, ewb 63 degF: 33.5 meant?
"""

import offnominal as on

PAGE = on.demo_file("alder.yaml").read_text(encoding="utf-8").replace("33.5 ", "35.3 ", 1)

system = on.parse(PAGE, name="alder.yaml", folder=on.demo_file("alder.yaml").parent)
for page in system.audit(units="IP"):
    for suspect in page.suspects:
        print(f"{page.stage}: line {suspect.line}: {suspect.column} {suspect.typed}, at {suspect.cell}: {suspect.guess} meant?")
