/// @file
/// The whole library but for `files.hpp`, `collate.hpp` and `standard205.hpp`, whose functions are compiled (link
/// `offnominal::files`), `grid/threads.hpp`, which brings the standard library's threads, and readings over time:
/// `field/calibration.hpp`, `field/compare.hpp`, `field/duct.hpp`, `field/mean.hpp`, `field/series.hpp`,
/// `field/steady.hpp`.
#pragma once

#include "offnominal/air.hpp"
#include "offnominal/airflow/blower.hpp"
#include "offnominal/airflow/determine.hpp"
#include "offnominal/airflow/practice.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/audit.hpp"
#include "offnominal/choose.hpp"
#include "offnominal/derates/faults.hpp"
#include "offnominal/envelope.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/expect/batch.hpp"
#include "offnominal/expect/extras.hpp"
#include "offnominal/expect/slopes.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/field/practice.hpp"
#include "offnominal/field/second_capacity.hpp"
#include "offnominal/field/visit.hpp"
#include "offnominal/grid.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/proof/causes.hpp"
#include "offnominal/proof/change.hpp"
#include "offnominal/proof/many.hpp"
#include "offnominal/proof/settle.hpp"
#include "offnominal/reason.hpp"
#include "offnominal/report.hpp"
#include "offnominal/site.hpp"
#include "offnominal/system.hpp"
#include "offnominal/units.hpp"
#include "offnominal/version.hpp"
#include "offnominal/words.hpp"
