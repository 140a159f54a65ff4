// What a grid is measured against: the plain way to write it, and floors that no exact engine gets below by much.
// Compiled for the machine it runs on, with contraction, and callable from C so that the Python runner can measure them
// in its process.
#pragma once

extern "C" {

/// A table: rank 2 to 6, outputs 1 to 4, row-major, outputs last; breakpoints of all axes one after the other.
struct FloorTable {
    int rank;
    int outputs;
    const long* sizes;
    const double* breakpoints;
    const double* values;
};

/// The plain way: rank known at run time, std::upper_bound on each axis, a sum over corners. Points row after row.
void floor_naive(const FloorTable* table, const double* points, long count, double* out);

/// The phase floor: vector search as ours, then one polynomial per cell from coefficients that were worked out
/// beforehand (they take 2^rank x 4 doubles a cell, give no exact nodes, and know no blank). Points by column, one
/// after the other.
void* phase_floor_new(const FloorTable* table);
void phase_floor(const void* floor, const double* columns, long count, double* out);
void phase_floor_delete(void* floor);

/// The bandwidth floor: reads `in` doubles a point and writes `out_doubles`, with next to no arithmetic.
void bandwidth_floor(const double* points, long count, int in, int out_doubles, double* out);

/// The write floor of a sweep.
void write_floor(double* out, long doubles);

/// Billions of cycles a second, from a chain of dependent multiplications of three cycles each.
double clock_rate(void);
}
