/**
 * @file
 * The C interface of offnominal: for apps in any language that can call C. Link `offnominal::c`; or
 * `offnominal::c_core`, which opens no file, needs no yaml-cpp and is a third of its size: then OFFNOMINAL_C_CORE is
 * defined, which hides what is not in it (systems and visits from files and text, prove, causes, choose, audit).
 *
 *     offnominal_system* system = NULL;
 *     if (offnominal_system_load("alder.yaml", &system, &error) != OFFNOMINAL_OK) ...error.message...
 *     offnominal_conditions question;
 *     offnominal_conditions_init(&question, sizeof question);
 *     question.outdoor_dry_bulb = 91;  ...
 *     offnominal_expected answer = {sizeof answer};
 *     if (offnominal_expect(system, OFFNOMINAL_UNITS_IP, &question, &answer, &error) == OFFNOMINAL_OK) ...
 *     offnominal_system_free(system);
 *
 * Status. Every function that can fail returns an `enum offnominal_status` and takes an `offnominal_error`, which may
 * be NULL. No C++ exception leaves a function. Where the status is not OFFNOMINAL_OK nothing is made: a handle asked
 * for is set to NULL, numbers to NaN.
 *
 * Lifetimes. A handle lives until its own `_free`, which takes NULL too. A proof keeps what it needs of its system and
 * its visit: handles may be freed in any order. A text (`char**`) is the caller's, until offnominal_text_free(). What
 * is returned as `const char*` belongs to the handle it was asked of, or to the library. Arguments are read during the
 * call only.
 *
 * Memory. offnominal_expect(), offnominal_deliver(), their batches and offnominal_ledger() allocate nothing: all is in
 * the caller's structs. Only to word a refusal they do, where `error` is given.
 *
 * Threads. There is no global state. Handles do not change: any number of threads may use one at once, and get the same
 * bits. Freeing one while another thread uses it is the caller's mistake.
 *
 * Units. There is no default: every call says OFFNOMINAL_UNITS_IP or OFFNOMINAL_UNITS_SI, for all its numbers in and
 * out. What is not given is NaN, never 0.
 *
 * Versions. Structs begin with their size. Later versions add members at the end only, and enumerators with new numbers
 * only; a caller compiled with an older header of the same interface keeps working. offnominal_version() tells what
 * runs.
 */
#ifndef OFFNOMINAL_H
#define OFFNOMINAL_H

#include <stddef.h>
#include <stdint.h>

#include "offnominal/quantities.h"
#include "offnominal/version.hpp" /* in C nothing but macros */

#ifdef __cplusplus
extern "C" {
#endif

#if defined(_WIN32) && defined(OFFNOMINAL_C_BUILDS)
#define OFFNOMINAL_API __declspec(dllexport)
#elif defined(__GNUC__)
#define OFFNOMINAL_API __attribute__((visibility("default")))
#else
#define OFFNOMINAL_API
#endif

/** What became of a call. */
enum offnominal_status {
    OFFNOMINAL_OK = 0,
    OFFNOMINAL_REFUSED = 1,      /**< there is no answer: `reason` says why */
    OFFNOMINAL_INPUT = 2,        /**< a file or a text is not what it should be: with file, line and column */
    OFFNOMINAL_NO_FILE = 3,      /**< there is no such file */
    OFFNOMINAL_BAD_ARGUMENT = 4, /**< a NULL that must not be, units that are none, a struct of another size */
    OFFNOMINAL_NO_MEMORY = 5,
    OFFNOMINAL_INTERNAL = 6 /**< a mistake of the library */
};

/** Why a call gave nothing. Set `struct_size` once; every call that fails fills the rest. Texts end with 0, cut if need
 * be. */
typedef struct offnominal_error {
    size_t struct_size;
    int32_t status; /**< enum offnominal_status */
    int32_t line;   /**< of a file, from 1; 0: unknown */
    int32_t column; /**< likewise */
    int32_t unused;
    offnominal_reason reason; /**< of OFFNOMINAL_REFUSED, in the units of the call; SI where it has none */
    char message[1024];       /**< all of it in words */
    char file[256];           /**< of OFFNOMINAL_INPUT and OFFNOMINAL_NO_FILE */
    char text[128];           /**< the offending text */
    char accepted[256];       /**< what would be right */
} offnominal_error;

typedef struct offnominal_system offnominal_system; /**< a checked, immutable system */
typedef struct offnominal_visit offnominal_visit;   /**< one set of readings, as a visit file has it */
typedef struct offnominal_proof offnominal_proof;   /**< the proof of a visit */

/** The version of what runs: 10000 major + 100 minor + patch; 200 is 0.2.0. OFFNOMINAL_VERSION is what the caller was
 * compiled with: the two must agree in major and minor. OFFNOMINAL_HAS_... say what came since. */
OFFNOMINAL_API int32_t offnominal_version(void);

/** The word of an enumerator, as files, JSON and Python have it; NULL for a number that is none.
 *  offnominal_word(OFFNOMINAL_ENUMERATION_WHY, OFFNOMINAL_WHY_OUTSIDE) is "outside". */
OFFNOMINAL_API const char* offnominal_word(int32_t enumeration, int32_t value);
/** What a note says; NULL for a number that is none. */
OFFNOMINAL_API const char* offnominal_note_text(int32_t note);
/** The sentence of a reason, for an app that translates it: `{what}` stands for offnominal_about_text(), `{value}`,
 * `{lower}` and
 *  `{upper}` for the reason's numbers. Every such sentence is one of a few dozen, and the same for the same reason. */
OFFNOMINAL_API const char* offnominal_reason_template(const offnominal_reason* reason);
/** What a quantity is called in a sentence: "outdoor dry bulb"; NULL for a number that is none. */
OFFNOMINAL_API const char* offnominal_about_text(int32_t about);
/** A reason in words: that sentence filled in. */
OFFNOMINAL_API int32_t offnominal_reason_text(int32_t units, const offnominal_reason* reason, char** text,
                                              offnominal_error* error);
/** Short cautions for whoever acts on an answer: an app shows them with it. The first line is their heading. */
OFFNOMINAL_API const char* offnominal_cautions(void);
/** Frees a text that the library gave. */
OFFNOMINAL_API void offnominal_text_free(char* text);

/* Systems. */

#ifndef OFFNOMINAL_C_CORE
/** Reads a system file. */
OFFNOMINAL_API int32_t offnominal_system_load(const char* path, offnominal_system** system, offnominal_error* error);
/** Reads a system from memory.
 *  @param size    bytes of `text`, which need not end with 0
 *  @param name    stands for the file in messages; NULL: "<text>"
 *  @param folder  where tables stand that the text names; NULL: nowhere, and no file is opened */
OFFNOMINAL_API int32_t offnominal_system_parse(const char* text, size_t size, const char* name, const char* folder,
                                               offnominal_system** system, offnominal_error* error);
/** Gives the text of a file that another one names, for a program that has its texts elsewhere than in a folder.
 *  @param context  what was handed over with it
 *  @param name     as typed; it leads out of no folder
 *  @param size     out: bytes of the text, which need not end with 0
 *  @return the text, which must stay until the next call or the end of the reading; NULL: there is none of that name */
typedef const char* (*offnominal_text_beside)(void* context, const char* name, size_t* size);
/** The same with the tables that the text names out of a function; NULL: there are none. */
OFFNOMINAL_API int32_t offnominal_system_parse_beside(const char* text, size_t size, const char* name,
                                                      offnominal_text_beside beside, void* context,
                                                      offnominal_system** system, offnominal_error* error);
#endif
/** A system that was embedded as bytes: `alder_bytes` of the CMake function offnominal_embed(app alder.yaml C). They
 * are read where they stand and not needed afterwards: nothing is copied but the numbers, laid out anew as look-ups
 * want them. Checked as a file is; OFFNOMINAL_INPUT for bytes that are damaged or none. */
OFFNOMINAL_API int32_t offnominal_system_from_bytes(const void* bytes, size_t size, offnominal_system** system,
                                                    offnominal_error* error);
OFFNOMINAL_API void offnominal_system_free(offnominal_system* system);

OFFNOMINAL_API const char* offnominal_system_name(const offnominal_system* system);
/** The stages with a page of a mode, and the indoor matches: how many, and the name of each. NULL past the last. */
OFFNOMINAL_API size_t offnominal_stage_count(const offnominal_system* system, int32_t mode);
OFFNOMINAL_API const char* offnominal_stage_name(const offnominal_system* system, int32_t mode, size_t stage);
OFFNOMINAL_API size_t offnominal_match_count(const offnominal_system* system);
OFFNOMINAL_API const char* offnominal_match_name(const offnominal_system* system, size_t match);

/** The published region of one page, for forms that limit entries. */
typedef struct offnominal_page {
    size_t struct_size;
    int32_t mode;  /**< enum offnominal_mode */
    int32_t frost; /**< heating: enum offnominal_frost */
    const char* stage;
    const char* match; /**< "": the system's own page */
    size_t axes, nodes;
    size_t blanks; /**< nodes without data */
} offnominal_page;
OFFNOMINAL_API size_t offnominal_page_count(const offnominal_system* system);
OFFNOMINAL_API int32_t offnominal_page_read(const offnominal_system* system, size_t number, offnominal_page* page,
                                            offnominal_error* error);
/** The name of an axis of a page: "outdoor dry bulb"; NULL past the last. */
OFFNOMINAL_API const char* offnominal_axis_name(const offnominal_system* system, size_t page, size_t axis);
/** The breakpoints of an axis, of which `room` at most are written. @return how many there are; 0 past the last axis */
OFFNOMINAL_API size_t offnominal_axis_breakpoints(const offnominal_system* system, size_t page, size_t axis,
                                                  int32_t units, double* breakpoints, size_t room);

/** All that a system covers as JSON, for forms: of every page the breakpoints of its axes, by their word of enum
 *  offnominal_about, and where it is blank; allowed lengths of line by suction size, limits of lift, airflows of
 * matches, elevations. */
OFFNOMINAL_API int32_t offnominal_coverage(const offnominal_system* system, int32_t units, char** json,
                                           offnominal_error* error);

/* expect: what the machine should deliver. */

/** A question of which nothing is given. @param size  sizeof the caller's struct */
OFFNOMINAL_API void offnominal_conditions_init(offnominal_conditions* conditions, size_t size);
/** One question. Of the measures of humidity exactly one is given; of elevation and
 *  pressure one, or both. */
OFFNOMINAL_API int32_t offnominal_expect(const offnominal_system* system, int32_t units,
                                         const offnominal_conditions* conditions, offnominal_expected* expected,
                                         offnominal_error* error);
/** Everything that keeps a question from an answer, at once, as JSON: a list, empty where offnominal_expect() answers.
 * Each has `about` and `why` (words of enum offnominal_about and enum offnominal_why), `value` where one was given,
 * what would be accepted (`lower` and `upper` in `unit`, null where there is no bound; `words` of a choice), and
 * `text`. */
OFFNOMINAL_API int32_t offnominal_missing(const offnominal_system* system, int32_t units,
                                          const offnominal_conditions* conditions, char** json,
                                          offnominal_error* error);
/** Many questions, each with the bits of offnominal_expect(). They share choices, stage and match, and the numbers that
 * have no column. Every row has a reason, and NaN in all columns where that is not OFFNOMINAL_WHY_NONE. Threads may
 * share the work by rows. */
OFFNOMINAL_API int32_t offnominal_expect_batch(const offnominal_system* system, int32_t units,
                                               const offnominal_conditions* conditions,
                                               const offnominal_condition_columns* columns, size_t rows,
                                               const offnominal_expected_columns* expected, offnominal_error* error);
/** The steps behind the answer to a question, in their order, of which `room` at most are written; there are 30 at
 * most. */
OFFNOMINAL_API int32_t offnominal_ledger(const offnominal_system* system, int32_t units,
                                         const offnominal_conditions* conditions, offnominal_ledger_step* steps,
                                         size_t room, size_t* count, offnominal_error* error);
/** The answer to a question as JSON: all that is told, its notes in words and its ledger. */
OFFNOMINAL_API int32_t offnominal_expect_json(const offnominal_system* system, int32_t units,
                                              const offnominal_conditions* conditions, char** json,
                                              offnominal_error* error);
/** The same as a text that can be followed with a finger on the page. */
OFFNOMINAL_API int32_t offnominal_expect_report(const offnominal_system* system, int32_t units,
                                                const offnominal_conditions* conditions, char** report,
                                                offnominal_error* error);

/** A question backwards: what offnominal_solve() tells beside the places. */
typedef struct offnominal_solution {
    size_t struct_size;
    size_t count;   /**< how many places there are */
    double best;    /**< the place that comes nearest: the first of them where there is one */
    double reached; /**< what is told there */
    double off;     /**< by how much that is more than `equals` */
} offnominal_solution;
/** Where, along one number of a question, something told has a value; all the rest of the question is given.
 *  @param vary       an argument of the question, as Python names it: "outdoor_dry_bulb", "airflow",
 * "entering_wet_bulb", "length"; what `conditions` have for it counts for nothing
 *  @param low, high  its range
 *  @param of, over   what is told, as offnominal_expected names it, "total_capacity"; over another one, or NULL
 *  @param places     of which `room` at most are written, rising; of a stretch that has the value its ends
 *  @return OFFNOMINAL_REFUSED where nothing in the range is answered, with why its middle is not;
 * OFFNOMINAL_BAD_ARGUMENT for a name that is none, with those there are */
OFFNOMINAL_API int32_t offnominal_solve(const offnominal_system* system, int32_t units,
                                        const offnominal_conditions* conditions, const char* vary, double low,
                                        double high, const char* of, const char* over, double equals, double* places,
                                        size_t room, offnominal_solution* solution, offnominal_error* error);
/** What offnominal_solve_batch() tells of each question: columns to be filled, NULL where not wanted. */
typedef struct offnominal_solution_columns {
    size_t struct_size;
    offnominal_reason* reasons;   /**< must be there: why nothing in the range is answered */
    size_t* counts;               /**< how many places there are */
    double *best, *reached, *off; /**< as offnominal_solution; NaN where nothing is answered */
} offnominal_solution_columns;
/** Many questions backwards along one range, each with the bits of offnominal_solve(). They share what the
 *  questions of offnominal_expect_batch() share.
 *  @param equals  a number for each question
 *  @param places  `room` for each question, one after another: its places, then NaN */
OFFNOMINAL_API int32_t offnominal_solve_batch(const offnominal_system* system, int32_t units,
                                              const offnominal_conditions* conditions,
                                              const offnominal_condition_columns* columns, size_t rows,
                                              const char* vary, double low, double high, const char* of,
                                              const char* over, const double* equals, double* places, size_t room,
                                              const offnominal_solution_columns* solutions, offnominal_error* error);

/* deliver: what it does deliver, from probe readings. */

/** Readings of which nothing is given. @param size  sizeof the caller's struct */
OFFNOMINAL_API void offnominal_readings_init(offnominal_readings* readings, size_t size);
OFFNOMINAL_API int32_t offnominal_deliver(int32_t units, const offnominal_readings* readings,
                                          offnominal_delivered* delivered, offnominal_error* error);
/** Many readings, as offnominal_expect_batch(). */
OFFNOMINAL_API int32_t offnominal_deliver_batch(int32_t units, const offnominal_readings* readings,
                                                const offnominal_reading_columns* columns, size_t rows,
                                                const offnominal_delivered_columns* delivered, offnominal_error* error);
OFFNOMINAL_API int32_t offnominal_deliver_json(int32_t units, const offnominal_readings* readings, char** json,
                                               offnominal_error* error);

#ifndef OFFNOMINAL_C_CORE
/* prove: whether the one reaches the other. */

/** Reads a visit file; not the system it names. */
OFFNOMINAL_API int32_t offnominal_visit_load(const char* path, offnominal_visit** visit, offnominal_error* error);
/** Reads a visit from memory: YAML, of which JSON is a part. Opens no file. */
OFFNOMINAL_API int32_t offnominal_visit_parse(const char* text, size_t size, const char* name, offnominal_visit** visit,
                                              offnominal_error* error);
/** The same with the logs that it takes readings from out of a function; NULL: there are none. */
OFFNOMINAL_API int32_t offnominal_visit_parse_beside(const char* text, size_t size, const char* name,
                                                     offnominal_text_beside beside, void* context,
                                                     offnominal_visit** visit, offnominal_error* error);
OFFNOMINAL_API void offnominal_visit_free(offnominal_visit* visit);

/** Proves a visit. A proof that is "not comparable" is one too: its verdict says why. */
OFFNOMINAL_API int32_t offnominal_prove(const offnominal_system* system, const offnominal_visit* visit,
                                        offnominal_proof** proof, offnominal_error* error);
OFFNOMINAL_API void offnominal_proof_free(offnominal_proof* proof);
/** Many visits of a kind at once, each with the bits of offnominal_prove(). They share all that the visit says and no
 * column does: stage and match, instruments, how they are judged; a humidity column is of the measure that the visit
 * reads. Every row has a reason, and NaN in all columns where there is no ratio for them to tell of. Threads may share
 * the work by rows.
 *  @return OFFNOMINAL_REFUSED, OFFNOMINAL_INPUT for what is wrong with all of them; what is wrong with one is its row's
 * reason */
OFFNOMINAL_API int32_t offnominal_prove_batch(const offnominal_system* system, int32_t units,
                                              const offnominal_visit* visit, const offnominal_visit_columns* columns,
                                              size_t rows, const offnominal_verdict_columns* verdicts,
                                              offnominal_error* error);
/** What a proof says, and both its sides. The expected side is OFFNOMINAL_REFUSED where the page has no answer. */
OFFNOMINAL_API int32_t offnominal_proof_verdict(const offnominal_proof* proof, int32_t units,
                                                offnominal_verdict* verdict, offnominal_error* error);
OFFNOMINAL_API int32_t offnominal_proof_expected(const offnominal_proof* proof, int32_t units,
                                                 offnominal_expected* expected, offnominal_error* error);
OFFNOMINAL_API int32_t offnominal_proof_delivered(const offnominal_proof* proof, int32_t units,
                                                  offnominal_delivered* delivered, offnominal_error* error);
/** All of a proof as JSON, with its budget of uncertainty and both sides; and as a text to read. */
OFFNOMINAL_API int32_t offnominal_proof_json(const offnominal_proof* proof, int32_t units, char** json,
                                             offnominal_error* error);
OFFNOMINAL_API int32_t offnominal_proof_report(const offnominal_proof* proof, int32_t units, char** report,
                                               offnominal_error* error);

/** What a proof says in sentences, part by part, as JSON: `verdict` (lines), `settling` (a list), `causes` (lines; none
 * where nothing asks for them), `notes` (a list), `cautions` (lines). The texts of a record's page. */
OFFNOMINAL_API int32_t offnominal_proof_texts(const offnominal_proof* proof, int32_t units, char** json,
                                              offnominal_error* error);

/** Likely causes of what a proof found as JSON, hypotheses and no verdict: `likely`, with `cause`, `probability` and
 * `severity`; `checks`, what would tell them apart; `reason`, why there is no ratio: then only what that names, such as
 * swapped probes. As Python's Proof.causes(). */
OFFNOMINAL_API int32_t offnominal_proof_causes(const offnominal_proof* proof, int32_t units, char** json,
                                               offnominal_error* error);

/* between visits: season to season, and what a revised page makes of decisions. */

/** Season to season at one machine as JSON: `seasons`, cooling first, by date, each with `outcome`, `ratio` and what
 * changed `since_last` and `since_first` (`ratio`, `ratio_u`, `less`; null where there is none to compare), and the
 * `stage` that ran. What is off in both visits alike is left out. As Python's seasons().
 *  @param proofs  of one system's handle, each of a visit with its date; in any order
 *  @return OFFNOMINAL_INPUT for a visit without a date, and two that cannot be to one machine */
OFFNOMINAL_API int32_t offnominal_seasons(const offnominal_proof* const* proofs, size_t count, char** json,
                                          offnominal_error* error);
/** Which decisions flip by a revision of a page, as JSON: visits as of offnominal_prove_batch(), proved by both
 * systems. `visits`, `moved` (whose ratio, outcome or reason is another one), and of each other outcome in `flips` its
 * `row`, from 0, `before` and `after`, both ratios, and `expected`: the revision over the first. As Python's revised(),
 * which also tells what differs between the two. */
OFFNOMINAL_API int32_t offnominal_revised(const offnominal_system* before, const offnominal_system* after,
                                          int32_t units, const offnominal_visit* visit,
                                          const offnominal_visit_columns* columns, size_t rows, char** json,
                                          offnominal_error* error);

/* choose: which machine meets design loads. */

/** Design loads and the conditions they are for. offnominal_design_init() fills it with what is not given: NaN, NULL.
 */
typedef struct offnominal_design {
    size_t struct_size;
    /** Published limits of size: "manual_s_2014", "manual_s_2014_condition_b", "manual_s_2004", "energy_star_v3"; NULL:
     * the first. Or others in
     * their place, as JSON: {"source": "our own", "total": [0.95, 1.2], "sensible": 0.9, "latent": [1, 1.5]}, of each
     * the least, or the least and the most, and of `heat_pump` what is not as `total`. */
    const char* limits;
    double total_load, sensible_load, latent_load; /**< of cooling: two of them, or three that add up; Btu/h or W */
    double outdoor_dry_bulb, entering_dry_bulb;    /**< degF or degC */
    double entering_wet_bulb, entering_dew_point;  /**< of the measures of humidity one; degF or degC */
    double entering_relative_humidity;             /**< a fraction */
    double heating_load;                           /**< left out: heating is not judged */
    double heating_outdoor_dry_bulb, heating_entering_dry_bulb; /**< entering: 70 degF where left out */
    double no_heating_load;     /**< outdoors, where that load is gone: 65 degF where left out */
    double elevation, pressure; /**< of the site: one of them, or both; ft or m, psia or Pa */
    double external_static;     /**< what the ducts take: airflow then comes from the blower table; in_wc or Pa */
    /** The line set of the site, where `line_set` is GIVEN or MODELLED: its equivalent length and size of suction line,
     * and what is known of lift and size of liquid line; ft or m, in or m */
    double length, suction, lift, liquid;
    /** enum offnominal_line_set: REFERENCE, the one that the pages are rated with, where left out; GIVEN; MODELLED,
     * which has a model where the system's table does not reach. A system whose table does not reach a GIVEN one has no
     * answer. */
    int32_t line_set;
    int32_t spare_latent; /**< 0 or 1: half of the latent capacity to spare counts as sensible; 1 where left out */
    double entering_humidity_ratio; /**< another measure of humidity; lb/lb or kg/kg */
    /** Airflows to try, `airflow_count` of them, of standard air; cfm or m3/s. None: seven across what page and match
     * allow, and the middle of those that fit. Not beside an external static pressure. */
    const double* airflows;
    size_t airflow_count;
    /** enum offnominal_frost, of the heating capacity that counts; UNKNOWN: integrated where the page has it, else
     * instantaneous. INTEGRATED is by the frost model of the US regulation where the page has none. */
    int32_t frost;
} offnominal_design;
/** A design of which nothing is given. @param size  sizeof the caller's struct */
OFFNOMINAL_API void offnominal_design_init(offnominal_design* design, size_t size);
/** Every combination of `count` systems, their matches and airflows or blower settings as JSON, a list, those that fit
 * first. As Python's choose(). */
OFFNOMINAL_API int32_t offnominal_choose(const offnominal_system* const* systems, size_t count, int32_t units,
                                         const offnominal_design* design, char** json, offnominal_error* error);

/* card: what a machine should deliver on a test day, to take along. */

/** The target card of a test day as JSON: `cells`, outdoor dry bulb by entering wet bulb, each with its numbers,
 * `footing` (what it leans on: "inside" where on what is printed alone) and `reason` (why it has none); `notes`; with a
 * forecast `decides`, what such a visit would decide, and `bring`, what would make it surer, best first. As Python's
 * target_card().
 *  @param conditions  what holds for all cells; what they have for outdoor dry bulb and humidity counts for nothing
 *  @param outdoor_dry_bulb, rows, entering_wet_bulb, columns  400 cells at most; NULL: what the page prints
 *  @param forecast    a visit with the instruments that will be brought, of the same stage, boundary and installation;
 *                     or NULL
 *  @return OFFNOMINAL_REFUSED where no cell has an answer, with why the first has none */
OFFNOMINAL_API int32_t offnominal_card(const offnominal_system* system, int32_t units,
                                       const offnominal_conditions* conditions, const double* outdoor_dry_bulb,
                                       size_t rows, const double* entering_wet_bulb, size_t columns,
                                       const offnominal_visit* forecast, char** json, offnominal_error* error);

/* audit: what a typist got wrong. It never corrects anything. */

/** The audit of every page of a system as JSON, a list: `stage`, `match`, `mode`, `frost`, `nodes`, `suspects`, and all
 * of it in words as `text`. A suspect has `file`, `line`, `column`, `cell`, `typed`, `guess`, `score` and `text`. */
OFFNOMINAL_API int32_t offnominal_audit(const offnominal_system* system, char** json, offnominal_error* error);
/** The same of a file, whose pages may contradict themselves so that no system can be made of them. */
OFFNOMINAL_API int32_t offnominal_audit_file(const char* path, char** json, offnominal_error* error);
#endif

#ifdef __cplusplus
}
#endif

#endif
