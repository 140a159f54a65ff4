"""Does it deliver what was bought? A visit to an invented library, proved; what would settle it; and the record to hand on.

The readings, the instruments and the limit that was agreed stand in the visit's file. Nothing of it has a default.

It prints:

    proof: undecided
      ratio of delivered to expected total 0.965 +- 0.131 (coverage factor 2, about 95 %)
      chance that it truly delivers 90 %: 83 %. (Pass needs 95 %, fail 5 %.)
      why: what is read leaves it open; most of it is return humidity, which moves the ratio 3.8 %
      next: hold both probes side by side in the return air for ten minutes, correct the supply probe until they agree, and say so (side_by_side): that settles it with a chance of 40 %
     31 % of the doubt is return humidity
     17 % of the doubt is airflow
     12 % of the doubt is supply humidity
"""

import offnominal as on

visit = on.Visit(on.demo_file("library-visit.yaml"))
proof = on.load(on.demo_file(visit.system_file)).prove(visit, units="IP")
print(proof.verdict(units="IP"), end="")
for line in proof.budget[:3]:
    print(f"{100 * line['share']:3.0f} % of the doubt is {line['input'].replace('_', ' ')}")
proof.record().write("library.html", force=True)
