// Where a read of a file fails, whichever it is, the error says so and names the file; a read that brings less than was
// asked for, or is interrupted, is gone on with. (Writes: tests/package/test_write.py; memory: tests/c/memory.cpp.)
#include <doctest/doctest.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <string>
#include <utility>

#include "offnominal/files.hpp"
#include "texts.hpp"

namespace {
struct {
    long calls = 0;
    long failing = 0;  ///< which call; 0: none
    int error = EIO;
    std::size_t most = static_cast<std::size_t>(-1);  ///< bytes that a call brings
} disk;
}  // namespace

/// What the C++ library reads files by: a program's own definition comes before that of the C library.
extern "C" ssize_t read(int handle, void* to, std::size_t size) {
    if (++disk.calls != disk.failing) return ::syscall(SYS_read, handle, to, std::min(size, disk.most));
    errno = disk.error;
    return -1;
}

using namespace offnominal;
using texts::tables;

namespace {

const std::pair<const char*, std::string (*)()> loaders[] = {
    {"system", [] { return write_system(load_system(tables + "/demo/alder.yaml")); }},
    {"pages", [] { return std::to_string(load_pages(tables + "/demo/alder.yaml").cooling.size()); }},
    {"visit", [] { return write_visit(load_visit(tables + "/demo/library-visit.yaml")); }},
    {"log", [] { return std::to_string(load_log(tables + "/../tests/fuzz/corpus/log/run.csv").times.size()); }},
};

}  // namespace

TEST_CASE("a read that fails") {
    for (const auto& loader : loaders) {
        const auto load = loader.second;
        CAPTURE(std::string(loader.first));
        disk = {};
        const std::string due = load();
        const long calls = disk.calls;
        REQUIRE(calls > 0);
        for (long n = 1; n <= calls; ++n) {
            CAPTURE(n);
            disk = {.failing = n};
            std::string said;
            try {
                (void)load();
            } catch (const InputError& error) {
                said = error.what();
            }
            CHECK(said.starts_with(tables));
            CHECK(said.find(": the file cannot be read") != std::string::npos);
            disk = {.failing = n, .error = EINTR};
            CHECK(load() == due);
        }
        disk = {.most = 7};
        CHECK(load() == due);
        disk = {};
        CHECK(load() == due);
    }
}
