#include <offnominal/offnominal.h>
#include <string.h>

static const char text[] =
    "offnominal: system/1\n"
    "name: one page, invented\n"
    "cooling:\n"
    "  basis: {capacity: gross, airflow: standard, standard_pound: dry, power: outdoor unit, sensible_at: 80 degF,\n"
    "          sensible_slope: 1.10 Btu/h/cfm/delta_degF, elevation: 0 ft}\n"
    "  stages:\n"
    "    only:\n"
    "      table: |\n"
    "        odb   airflow  ewb   total  sensible  power\n"
    "        degF  scfm     degF  MBh    MBh       kW\n"
    "        85    1000     63    33.3   29.9      2.19\n"
    "        85    1000     67    35.8   25.7      2.23\n"
    "        95    1000     63    31.5   29.1      2.48\n"
    "        95    1000     67    33.9   24.9      2.52\n";

int main(void) {
    offnominal_system* system = NULL;
    offnominal_conditions question;
    offnominal_expected answer;
    offnominal_error error;
    offnominal_design design;
    const offnominal_system* candidate;
    const double airflow = 1000;
    char* choices = NULL;
    int failed = 0;
    error.struct_size = sizeof error;
    answer.struct_size = sizeof answer;
    if (offnominal_version() != OFFNOMINAL_VERSION)
        return 1;
    if (offnominal_system_parse(text, strlen(text), "page.yaml", NULL, &system, &error) != OFFNOMINAL_OK) return 2;
    offnominal_conditions_init(&question, sizeof question);
    question.stage = "only";
    question.boundary = OFFNOMINAL_BOUNDARY_COIL;
    question.outdoor_dry_bulb = 95;
    question.entering_dry_bulb = 80;
    question.entering_wet_bulb = 67;
    question.airflow = 1000;
    question.airflow_is = OFFNOMINAL_AIRFLOW_STANDARD;
    question.elevation = 0;
    if (offnominal_expect(system, OFFNOMINAL_UNITS_IP, &question, &answer, &error) != OFFNOMINAL_OK) failed = 3;
    if (!(answer.total_capacity > 33899.99 && answer.total_capacity < 33900.01)) failed = 4; /* what the page prints */
    question.outdoor_dry_bulb = 96;
    if (offnominal_expect(system, OFFNOMINAL_UNITS_IP, &question, &answer, &error) != OFFNOMINAL_REFUSED) failed = 5;
    if (strcmp(error.message, "outdoor dry bulb 96 degF is outside 85 degF to 95 degF") != 0) failed = 6;
    if (strcmp(offnominal_word(OFFNOMINAL_ENUMERATION_WHY, error.reason.why), "outside") != 0) failed = 7;
    offnominal_design_init(&design, sizeof design);
    design.total_load = 31000;
    design.sensible_load = 22500;
    design.outdoor_dry_bulb = 95;
    design.entering_dry_bulb = 80;
    design.entering_wet_bulb = 67;
    design.elevation = 0;
    design.airflows = &airflow;
    design.airflow_count = 1;
    candidate = system;
    if (offnominal_choose(&candidate, 1, OFFNOMINAL_UNITS_IP, &design, &choices, &error) != OFFNOMINAL_OK)
        failed = 8;
    else if (strstr(choices, "\"stage\":\"only\"") == NULL || strstr(choices, "\"misfit\":\"none\"") == NULL)
        failed = 9;
    offnominal_text_free(choices);
    offnominal_system_free(system);
    return failed;
}
