/// @file
/// Moist air: psychrometrics after ASHRAE Fundamentals chapter 1, and airflow standard and actual.
///
/// Two faces. `air::si` holds kernels on plain doubles (`noexcept`, no checks, the same bits everywhere); `air` itself
/// holds typed states, made by `try_state` or `state`, that were checked once.
#pragma once

#include "offnominal/air/elementary.hpp"
#include "offnominal/air/flow.hpp"
#include "offnominal/air/moist.hpp"
#include "offnominal/air/saturation.hpp"
#include "offnominal/air/solve.hpp"
#include "offnominal/air/state.hpp"
#include "offnominal/air/stream.hpp"
